"""What the network looks for: one channel a landmark, of the twelve teeth that bitewings show.

A channel belongs to an arch and a place, whatever the side: the network is asked for films with
either end in front, and the side follows from the mounting.
"""

from bitewright.mouth.landmark_names import CuspLandmark, Feature, Surface, parse_landmark
from bitewright.mouth.tooth_forms import is_upper

FIRST_PLACE, LAST_PLACE = 3, 8
PLACES = tuple(range(FIRST_PLACE, LAST_PLACE + 1))
"""Counted from the midline: canine to third molar."""

TOOTH_COUNT = 2 * len(PLACES)
"""Upper teeth first, each arch from the canine backwards."""

KINDS = (
    "mesial",
    "distal",
    "mesial.cej",
    "distal.cej",
    "mesial.crest",
    "distal.crest",
    "first cusp",
    "lingual cusp",
    "distobuccal cusp",
    "distolingual cusp",
    "distal cusp",
)
"""Of each tooth. Cusps share channels between teeth of different forms."""

CHANNEL_COUNT = TOOTH_COUNT * len(KINDS)

EDGE, JUNCTION, CREST, CUSP = "edge", "junction", "crest", "cusp"
SORTS = (EDGE, EDGE, JUNCTION, JUNCTION, CREST, CREST, CUSP, CUSP, CUSP, CUSP, CUSP)
"""The sort of each of `KINDS`."""

FIRST_CUSPS = ("tip", "buccal", "mesiobuccal")
LINGUAL_CUSPS = ("lingual", "mesiolingual")
CUSP_KINDS = (
    dict.fromkeys(FIRST_CUSPS, 6)
    | dict.fromkeys(LINGUAL_CUSPS, 7)
    | {"distobuccal": 8, "distolingual": 9, "distal": 10}
)
FEATURE_KINDS = {Feature.OUTLINE: 0, Feature.CEJ: 2, Feature.CREST: 4}


def tooth_row(code: int) -> int | None:
    """The row of a tooth of ISO 3950 code among the twelve; None of one that is not among them."""
    place = code % 10
    if place not in PLACES or code > 48:
        return None
    return (0 if is_upper(code) else len(PLACES)) + place - FIRST_PLACE


def tooth_code(row: int, *, is_right: bool) -> int:
    """The ISO 3950 code of one of the twelve teeth on a side."""
    upper, place = row < len(PLACES), row % len(PLACES) + FIRST_PLACE
    quadrant = (1 if is_right else 2) if upper else (4 if is_right else 3)
    return 10 * quadrant + place


def channel_of(name: str) -> int | None:
    """The channel of a landmark; None of one that the network does not look for.

    Raises
    ------
    UnknownLandmarkError, UnknownToothError
    """
    landmark = parse_landmark(name)
    row = tooth_row(int(name[:2]))
    if row is None:
        return None
    if isinstance(landmark, CuspLandmark):
        kind = CUSP_KINDS.get(name.split(".")[1])
    else:
        kind = FEATURE_KINDS.get(landmark.feature)
        if kind is not None and landmark.surface is Surface.DISTAL:
            kind += 1
    return None if kind is None else len(KINDS) * row + kind


__all__ = [
    "CHANNEL_COUNT",
    "CREST",
    "CUSP",
    "EDGE",
    "FIRST_PLACE",
    "JUNCTION",
    "KINDS",
    "LAST_PLACE",
    "PLACES",
    "SORTS",
    "TOOTH_COUNT",
    "channel_of",
    "tooth_code",
    "tooth_row",
]
