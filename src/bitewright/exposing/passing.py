"""Getting a receptor in: through the opening, and up behind the teeth."""

import numpy as np

from bitewright.equipment.receptors import Receptor
from bitewright.exposing.region import Format

TIPPED_DEG = 45.0
"""A receptor is brought in tipped so far and stood up behind the teeth. Common practice, no source;
the figure is our choice."""


def needed_to_pass_mm(receptor: Receptor, form: Format) -> float:
    """How far the front teeth must part for a receptor to be brought in and stood up. [mm]

    Our model: the side that will stand upright, less what it bends, passes tipped, its thickness
    with it.
    """
    flat = form is Format.HORIZONTAL
    side = receptor.outer_short_mm if flat else receptor.outer_long_mm
    angle = np.deg2rad(TIPPED_DEG)
    return float((side - receptor.flex_mm) * np.cos(angle) + receptor.thickness_mm * np.sin(angle))


__all__ = ["needed_to_pass_mm"]
