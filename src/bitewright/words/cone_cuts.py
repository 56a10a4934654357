"""A cone cut seen on a film: what to do about it, and what it was."""

from collections.abc import Mapping

from bitewright.exposing.beam_cover import BEAM_EDGES, BeamPlace
from bitewright.words.movements import with_unit
from bitewright.words.phrases import listed
from bitewright.words.placement import BEAM_PLACE_WORDS

WAYS = {
    BeamPlace.FRONT: "towards the front of the mouth",
    BeamPlace.BACK: "towards the back of the mouth",
    BeamPlace.UPPER: "up",
    BeamPlace.LOWER: "down",
    BeamPlace.FRONT_UPPER: "towards the front of the mouth and up",
    BeamPlace.FRONT_LOWER: "towards the front of the mouth and down",
    BeamPlace.BACK_UPPER: "towards the back of the mouth and up",
    BeamPlace.BACK_LOWER: "towards the back of the mouth and down",
}
LEAST_MM = 0.5
"""Nobody is told to slide a tube by less. Our choice."""


FIELD_TOO_SMALL = "take a tube with a larger field, or a smaller receptor"
OPPOSITE = ((BeamPlace.FRONT, BeamPlace.BACK), (BeamPlace.UPPER, BeamPlace.LOWER))


def cone_cut_instruction(
    cut_mm: Mapping[BeamPlace, float], *, tube_moves: bool, margin_mm: float | None = None
) -> str:
    """What the hand does about it, without a full stop.

    Parameters
    ----------
    cut_mm : mapping
        What stayed blank at each edge and corner that is cut; empty where that is not marked. [mm]
    tube_moves : bool
        Whether the tube is to be moved besides, which brings it onto the receptor anew.
    margin_mm : float, optional
        The beam beyond the receptor at the best exposure; below nought no place of this tube covers
        the receptor. [mm]
    """
    if margin_mm is not None and margin_mm < 0.0:
        return f"{FIELD_TOO_SMALL}: {still_missed(margin_mm)}"
    if any(one in cut_mm and other in cut_mm for one, other in OPPOSITE):
        return f"{FIELD_TOO_SMALL}: the beam missed two opposite edges of this one"
    if not cut_mm:
        return "centre the tube on the receptor, for a part of the film stayed blank"
    if tube_moves:
        return f"then centre the tube on the receptor, for {cone_cut_fact(cut_mm)}"
    slides = [f"at least {_size(cut_mm[place])} {WAYS[place]}" for place in _told(cut_mm)]
    return (
        f"slide the whole tube {listed(slides)}, without turning it, so that the beam covers the "
        "receptor"
    )


def still_missed(margin_mm: float) -> str:
    """That a centred beam misses the receptor, by how much, without a full stop.

    Parameters
    ----------
    margin_mm : float
        The beam beyond the receptor, below nought. [mm]
    """
    return f"even centred on this one, the beam misses about {_size(-margin_mm)} at its edge"


def cone_cut_fact(cut_mm: Mapping[BeamPlace, float]) -> str:
    """What the beam missed, without a full stop: "the beam missed 9 mm at its front edge"."""
    if not cut_mm:
        return "the beam missed a part of the receptor, how much is not marked"
    sizes = [f"{_size(cut_mm[place])} at its {BEAM_PLACE_WORDS[place]}" for place in _told(cut_mm)]
    return f"the beam missed {listed(sizes)}"


def cone_cut_ways(cut_mm: Mapping[BeamPlace, float]) -> list[str]:
    """Which ways the tube has to slide: "towards the front of the mouth", "up"."""
    return [WAYS[place] for place in _told(cut_mm)]


def _told(cut_mm: Mapping[BeamPlace, float]) -> list[BeamPlace]:
    """The edges that are cut; where none is, the corner that is cut most."""
    edges = [place for place in BEAM_EDGES if place in cut_mm]
    return edges or [max(cut_mm, key=lambda place: cut_mm[place])]


def _size(cut_mm: float) -> str:
    return with_unit(max(cut_mm, LEAST_MM), "mm")


__all__ = [
    "FIELD_TOO_SMALL",
    "cone_cut_fact",
    "cone_cut_instruction",
    "cone_cut_ways",
    "still_missed",
]
