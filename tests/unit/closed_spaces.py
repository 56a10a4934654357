"""Mouths whose missing teeth's spaces have closed, and films of them."""

from bitewright.exposing.aim import Aim
from bitewright.exposing.exposure import Exposures, Station, expose
from bitewright.exposing.placement import Placement
from bitewright.mouth.mouth import Mouth
from bitewright.mouth.mouth_description import MOUTH_FORMAT, mouth_from_description


def closed_mouth(*left_out: int) -> Mouth:
    """The standard mouth without some teeth, their spaces closed."""
    return mouth_from_description({"format": MOUTH_FORMAT, "left_out": list(left_out)})


def swung(at: Station, ring_offset_deg: float) -> Exposures:
    """The receptor beside the teeth, the tube swung from square onto it. [deg]"""
    return expose(
        at,
        Placement(forward_mm=4.0, lingual_mm=4.0),
        Aim(ring_offset_deg=ring_offset_deg, vertical_deg=5.0),
    )
