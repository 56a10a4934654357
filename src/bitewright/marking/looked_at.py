"""What a person made of the marks that were proposed on a film, counted."""

from dataclasses import dataclass

from bitewright.marking.marks import MarkedFilm, MarkOrigin, MarkStatus
from bitewright.mouth.landmark_names import Feature, SurfaceLandmark, parse_landmark

PROPOSABLE = frozenset({Feature.OUTLINE, Feature.CEJ, Feature.CREST})
"""What is proposed at all: no cusp is, so one that a person sets edits nothing."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LookedAtMarks:
    """Counts of one film.

    Parameters
    ----------
    proposed : int
        Marks proposed at first.
    doubted : int
        Those of them that had to be looked at one by one.
    doubted_looked_at : int
        Those of the doubted that somebody did confirm, move or take away.
    corrected : int
        Proposed ones that were moved, or set anew by hand.
    removed : int
        Proposed ones that are gone, taken away or given to another tooth.
    added : int
        Edges, junctions and crests that a person set where none had been proposed.
    """

    proposed: int
    doubted: int
    doubted_looked_at: int
    corrected: int
    removed: int
    added: int

    @property
    def accepted(self) -> int:
        """Proposed ones that stayed as they were."""
        return self.proposed - self.corrected - self.removed

    @property
    def is_unedited(self) -> bool:
        """Whether no mark was moved, taken away or added."""
        return not (self.corrected or self.removed or self.added)


def looked_at_marks(film: MarkedFilm) -> LookedAtMarks | None:
    """What became of a film's proposed marks; None where none was proposed.

    A file that does not keep what was proposed at first counts the marks that say they were: what
    was taken away of them, or added, is not known then, and counts as none.
    """
    if film.proposed is None:
        names = {name for name, mark in film.marks.items() if mark.origin is not None}
        doubted = {name for name in names if film.marks[name].doubt is not None}
        added = 0
    else:
        names, doubted = set(film.proposed.names), set(film.proposed.doubted)
        added = sum(_is_proposable(film, name) for name in film.marks.keys() - names)
    if not names:
        return None
    there = {name: film.marks[name].origin for name in names if name in film.marks}
    return LookedAtMarks(
        proposed=len(names),
        doubted=len(doubted),
        doubted_looked_at=sum(there.get(name) is not MarkOrigin.PROPOSED for name in doubted),
        corrected=sum(origin in {None, MarkOrigin.CORRECTED} for origin in there.values()),
        removed=len(names) - len(there),
        added=added,
    )


def _is_proposable(film: MarkedFilm, name: str) -> bool:
    landmark = parse_landmark(name)
    is_seen = film.marks[name].status is MarkStatus.SEEN
    return is_seen and isinstance(landmark, SurfaceLandmark) and landmark.feature in PROPOSABLE


__all__ = ["LookedAtMarks", "looked_at_marks"]
