"""Placement as the trade says it: against which teeth the receptor's edges lie."""

from collections.abc import Iterable, Mapping

from bitewright.exposing.beam_cover import BEAM_CORNERS, BEAM_EDGES, BeamPlace
from bitewright.exposing.receptor_edges import THIRDS, AgainstTooth, EdgeName, EdgePlace
from bitewright.words.phrases import listed

EDGES = {
    EdgeName.CASING_FRONT: "front edge of the casing",
    EdgeName.ACTIVE_FRONT: "front edge of the active area",
    EdgeName.ACTIVE_BACK: "back edge of the active area",
    EdgeName.CASING_BACK: "back edge of the casing",
}
BARE_EDGES = {
    EdgeName.ACTIVE_FRONT: "front edge of the receptor",
    EdgeName.ACTIVE_BACK: "back edge of the receptor",
}
"""Of a film or plate, which has no casing."""
BEAM_PLACE_WORDS = {
    BeamPlace.FRONT: "front edge",
    BeamPlace.BACK: "back edge",
    BeamPlace.UPPER: "upper edge",
    BeamPlace.LOWER: "lower edge",
    BeamPlace.FRONT_UPPER: "upper front corner",
    BeamPlace.FRONT_LOWER: "lower front corner",
    BeamPlace.BACK_UPPER: "upper back corner",
    BeamPlace.BACK_LOWER: "lower back corner",
}
AGAINST = {
    AgainstTooth.DISTAL_THIRD: "distal third of {tooth}",
    AgainstTooth.MIDDLE_THIRD: "middle third of {tooth}",
    AgainstTooth.MESIAL_THIRD: "mesial third of {tooth}",
    AgainstTooth.IN_FRONT: "in front of {tooth}",
    AgainstTooth.BEHIND: "behind {tooth}",
    AgainstTooth.MESIAL_SPACE: "in the space mesial to {tooth}",
    AgainstTooth.DISTAL_SPACE: "in the space distal to {tooth}",
}


def told_edges(edges: Iterable[EdgePlace]) -> tuple[tuple[str, EdgePlace], ...]:
    """What each edge is called, with the edge; where there is no casing, each end once."""
    titled = ((EDGES if each.has_casing else BARE_EDGES, each) for each in edges)
    return tuple((titles[each.edge], each) for titles, each in titled if each.edge in titles)


def edge_words(edge: EdgePlace) -> str:
    """Where an edge lies: "middle third of 45", "in front of 43"."""
    return AGAINST[edge.against].format(tooth=edge.tooth)


def lies_words(edge: EdgePlace) -> str:
    """The same for a sentence: "against the middle third of 45", "in front of 43"."""
    is_third = edge.against in THIRDS
    return f"against the {edge_words(edge)}" if is_third else edge_words(edge)


def beam_place_words(place: str) -> str:
    """Where a beam's reach was measured: "front edge"."""
    return BEAM_PLACE_WORDS[BeamPlace(place)]


def cover_words(cover_mm: Mapping[BeamPlace, float]) -> str:
    """How far the beam reaches beyond each edge, or how much it leaves blank, one sentence."""
    edges = listed([_reach(place, cover_mm[place]) for place in BEAM_EDGES])
    corner = min(BEAM_CORNERS, key=lambda place: cover_mm[place])
    said = f"Beam beyond the receptor: {edges}."
    if cover_mm[corner] < 0.0 <= min(cover_mm[place] for place in BEAM_EDGES):
        said += f" It cuts {-cover_mm[corner]:.1f} mm off the {BEAM_PLACE_WORDS[corner]}."
    return said


def _reach(place: BeamPlace, cover_mm: float) -> str:
    size = f"{abs(cover_mm):.1f} mm"
    return f"{BEAM_PLACE_WORDS[place]} {size if cover_mm >= 0.0 else f'cut off by {size}'}"


__all__ = ["beam_place_words", "cover_words", "edge_words", "lies_words", "told_edges"]
