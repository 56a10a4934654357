"""Film mouths with fewer triangles: no surface moves by more than a film of that size shows.

Figures: ``tables/thinning.toml``.
"""

from dataclasses import replace
from typing import NamedTuple

from bitewright.figure_tables import figures_of
from bitewright.film.film_parts import FilmMouth, film_part
from bitewright.film.shells import ShellGroup
from bitewright.solids.thinned import thinned


def thinned_mouth(mouth: FilmMouth, *, times: float = 1.0) -> FilmMouth:
    """A film mouth with few triangles: each surface moved by less than a moving film shows.

    Parameters
    ----------
    mouth : FilmMouth
    times : float
        How much further than usual a surface may move; under 1 for larger films.
    """
    softer_mm = {
        ShellGroup.SOFT_TISSUE: THINNING.soft_tissue_mm,
        ShellGroup.BONE: THINNING.bone_mm,
        ShellGroup.SPONGIOSA: THINNING.spongiosa_mm,
    }
    return replace(
        mouth,
        parts=tuple(
            replace(
                film_part(
                    thinned(part.own, times * softer_mm.get(part.group, THINNING.tooth_mm)),
                    part.group,
                    is_lower=part.is_lower,
                ),
                standing=part.standing,
            )
            for part in mouth.parts
        ),
    )


class Thinning(NamedTuple):
    """How far thinning may move surfaces."""

    tooth_mm: float
    bone_mm: float
    spongiosa_mm: float
    soft_tissue_mm: float


THINNING = figures_of(Thinning, "bitewright.film", "thinning")

__all__ = ["thinned_mouth"]
