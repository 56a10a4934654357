"""Film mouths with fewer triangles: no surface moves by more than a film of that size shows."""

from dataclasses import replace

from bitewright.film.film_parts import FilmMouth, film_part
from bitewright.film.shells import ShellGroup
from bitewright.solids.thinned import thinned

TOLERANCE_MM = 0.05
"""How far thinning may move a tooth's or a filling's surface in a moving film."""

SOFTER_MM = {ShellGroup.SOFT_TISSUE: 0.15, ShellGroup.BONE: 0.08, ShellGroup.SPONGIOSA: 0.1}
"""The same for what attenuates less: as much signal for as many hundredths. Our choice."""


def thinned_mouth(mouth: FilmMouth, *, times: float = 1.0) -> FilmMouth:
    """A film mouth with few triangles: each surface moved by less than a moving film shows.

    Parameters
    ----------
    mouth : FilmMouth
    times : float
        How much further than by these tolerances a surface may move; under 1 for larger films.
    """
    return replace(
        mouth,
        parts=tuple(
            replace(
                film_part(
                    thinned(part.own, times * SOFTER_MM.get(part.group, TOLERANCE_MM)),
                    part.group,
                    is_lower=part.is_lower,
                ),
                standing=part.standing,
            )
            for part in mouth.parts
        ),
    )


__all__ = ["thinned_mouth"]
