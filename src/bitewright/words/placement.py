"""Placement as the trade says it: against which teeth the receptor's edges lie."""

from bitewright.exposing.receptor_edges import THIRDS, AgainstTooth, EdgeName, EdgePlace

EDGES = {
    EdgeName.CASING_FRONT: "front edge of the casing",
    EdgeName.ACTIVE_FRONT: "front edge of the active area",
    EdgeName.ACTIVE_BACK: "back edge of the active area",
    EdgeName.CASING_BACK: "back edge of the casing",
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


def edge_words(edge: EdgePlace) -> str:
    """Where an edge lies: "middle third of 45", "in front of 43"."""
    return AGAINST[edge.against].format(tooth=edge.tooth)


def lies_words(edge: EdgePlace) -> str:
    """The same for a sentence: "against the middle third of 45", "in front of 43"."""
    is_third = edge.against in THIRDS
    return f"against the {edge_words(edge)}" if is_third else edge_words(edge)


__all__ = ["EDGES", "edge_words", "lies_words"]
