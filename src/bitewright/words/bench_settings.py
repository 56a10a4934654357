"""What a hand can set on the bench, by label, and what its numbers count from."""

SETTING_LABELS = {
    "ring_offset_deg": "Tube swing",
    "vertical_deg": "Vertical angle",
    "tube_forward_mm": "Tube slid forward",
    "tube_up_mm": "Tube slid up",
    "forward_mm": "Receptor forward",
    "lingual_mm": "Space to the teeth",
    "turn_deg": "Turn",
    "height_mm": "Height",
    "tilt_deg": "Tilt",
    "roll_deg": "Roll",
}
SETTING_HINTS = {
    "ring_offset_deg": "from square to the receptor; plus is towards the front of the mouth",
    "vertical_deg": "plus is pointing down, from above the bite's plane",
    "tube_forward_mm": "the whole tube, its direction kept",
    "tube_up_mm": "the whole tube, its direction kept",
    "forward_mm": "from the middle of the view's region",
    "lingual_mm": "between the crowns and the casing, towards the midline",
    "turn_deg": "plus is the front end towards the opposite canine",
    "height_mm": "plus is up, from the middle of the bite block",
    "tilt_deg": "plus is the upper edge to the palate",
    "roll_deg": "plus is the front edge dipping",
}

__all__ = ["SETTING_HINTS", "SETTING_LABELS"]
