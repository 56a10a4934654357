"""Names of the faults that exercises plant."""

from enum import StrEnum


class PlantedFault(StrEnum):
    """A fault that an exercise plants or offers as a choice; the first as causes are named."""

    TUBE_TOO_FAR_FORWARD = "tube-too-far-forward"
    TUBE_TOO_FAR_BACK = "tube-too-far-back"
    TUBE_TOO_HIGH = "tube-too-high"
    TUBE_TOO_LOW = "tube-too-low"
    RECEPTOR_TOO_FAR_FORWARD = "receptor-too-far-forward"
    RECEPTOR_TOO_FAR_BACK = "receptor-too-far-back"
    RECEPTOR_TOO_HIGH = "receptor-too-high"
    RECEPTOR_TOO_LOW = "receptor-too-low"
    RECEPTOR_ROLLED_FRONT_DOWN = "receptor-rolled-front-down"
    RECEPTOR_ROLLED_FRONT_UP = "receptor-rolled-front-up"
    TURNED_TO_CANINE = "receptor-turned-to-canine"
    """The receptor's front end turned to the opposite canine, ring and tube with it."""
    TURNED_TO_TEETH = "receptor-turned-to-teeth"
    BEAM_OFF_FRONT = "beam-off-the-front"
    """The tube stood too far back beside the receptor: its front edge stays blank."""
    BEAM_OFF_BACK = "beam-off-the-back"
    RECEPTOR_REVERSED = "receptor-turned-over"
    """From here on what was done with the receptor, not how it was aimed."""
    RECEPTOR_BENT = "receptor-was-bent"
    MOVED = "moved-while-exposed"
    EXPOSED_TWICE = "receptor-exposed-twice"
    UNDER_EXPOSED = "exposed-too-little"
    OVER_EXPOSED = "exposed-too-much"
    SCRATCHED = "receptor-scratched"
    LIT = "light-before-reading"


__all__ = ["PlantedFault"]
