"""The standard mouth: the middle of a population of real dentitions."""

from dataclasses import replace
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from bitewright.mouth.crown_sections import usual_shear
from bitewright.mouth.mouth import Mouth, Tooth, textbook_mouth
from bitewright.mouth.population_table import crown_kind, kind_place, mean_arch

Floats = NDArray[np.float64]


@lru_cache(maxsize=2)
def standard_mouth(*, third_molars: bool = False) -> Mouth:
    """28 (or 32) mean crowns on the population's mean arches, touching, of the usual age.

    What the population does not tell is the textbook mouth's: lengths, necks, bone and the bite.
    """
    base = textbook_mouth(third_molars=third_molars)
    teeth = {
        code: replace(
            tooth,
            **crown_fields(code, tooth, crown_kind(code).mean, 1.0),
            out_of_line_mm=kind_place(code).out_of_line_mm,
        )
        for code, tooth in base.teeth.items()
    }
    return replace(
        base,
        name="standard mouth",
        teeth=teeth,
        upper=mean_arch(upper=True),
        lower=mean_arch(upper=False),
    )


def crown_fields(code: int, usual: Tooth, form: Floats, size: float) -> dict[str, Any]:
    """A crown's form (7,), as `CrownKind.mean`, in a tooth's fields; its neck's usual shares."""
    md, bl = (float(value) * size for value in form[:2])
    mesial, distal = np.rad2deg(np.arctan(np.tan(np.deg2rad(form[2:4])) - usual_shear(code)))
    return {
        "md_crown_mm": md,
        "bl_crown_mm": bl,
        "md_cervix_mm": md * usual.md_cervix_mm / usual.md_crown_mm,
        "bl_cervix_mm": bl * usual.bl_cervix_mm / usual.bl_crown_mm,
        "mesial_flank_deg": float(mesial),
        "distal_flank_deg": float(distal),
        "squareness": float(form[4]),
        "buccal_cusps_mm": float(form[5]) * size,
        "lingual_cusps_mm": float(form[6]) * size,
    }


__all__ = ["crown_fields", "standard_mouth"]
