"""Marks that lie far from where all others of their film lead one to expect them."""

from bitewright.estimation.allowances import kind_of
from bitewright.estimation.left_out import MarksLeftOut

DOUBTFUL_SD = {"outline": 2.1, "cusp": 2.9, "cej": 2.7, "crest": 2.3}
"""Marks further off than this are named, by what they are: how surely others foretell a mark is not
the same for an edge and for a cusp. Chosen so that of good marks about one in fifty is: edges and
cusps of real crowns, junctions and crests of outlines, none of them of a film that is judged."""


def doubtful_marks(beside: MarksLeftOut) -> tuple[str, ...]:
    """Names of the marks to check, the one that stands out most first.

    Parameters
    ----------
    beside : MarksLeftOut
        What all other marks of the film say of each.
    """
    out = {name: off / DOUBTFUL_SD[kind_of(name)] for name, off in beside.off_sd.items()}
    return tuple(sorted((name for name in out if out[name] > 1.0), key=lambda name: -out[name]))


__all__ = ["doubtful_marks"]
