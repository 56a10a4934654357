"""Marks to check, in words: by the picture beside them, or by all other marks."""

from collections.abc import Sequence

from bitewright.explanation.doubtful_marks import DoubtfulMark
from bitewright.mouth.landmark_names import Feature, Surface, SurfaceLandmark, parse_landmark
from bitewright.words.landmarks import landmark_words
from bitewright.words.phrases import capital, listed

MOST_MARKS = 3
"""So many marks are named at once, of each sort. Our choice."""


def mark_doubts(doubtful: Sequence[DoubtfulMark]) -> list[str]:
    """Sentences on marks to check, the one that stands out most first."""
    shown = [each for each in doubtful if each.border_mm is not None][:MOST_MARKS]
    others = [each for each in doubtful if each.border_mm is None][:MOST_MARKS]
    said = [_elsewhere(each.name, each.border_mm) for each in shown if each.border_mm is not None]
    if others:
        names = listed([landmark_words(each.name) for each in others])
        lie, them, whose = (
            ("lies", "it", "its name and place")
            if len(others) == 1
            else ("lie", "them", "their names and places")
        )
        said.append(
            f"{capital(names)} {lie} far from where the other marks lead one to expect {them}: "
            f"check {whose}."
        )
    return said


def contact_of(name: str) -> str | None:
    """The contact whose overlap a mark decides, such as "15-16"; None where it is no such mark.

    Raises
    ------
    UnknownLandmarkError, UnknownToothError
    """
    landmark = parse_landmark(name)
    if not isinstance(landmark, SurfaceLandmark) or landmark.feature is not Feature.OUTLINE:
        return None
    code = int(name[:2])
    front = code if landmark.surface is Surface.DISTAL else code - 1
    return f"{front}-{front + 1}"


def _elsewhere(name: str, border_mm: float) -> str:
    edge = "edge of bone" if name.endswith(".crest") else "edge"
    return (
        f"Where {landmark_words(name)} is marked, the picture shows no clear {edge}; the one that "
        f"fits lies {abs(border_mm):.1f} mm further {_way(name, border_mm)}: check the mark."
    )


def _way(name: str, border_mm: float) -> str:
    if name.endswith(".crest"):
        return "towards the roots" if border_mm > 0.0 else "towards the crowns"
    to_front = (border_mm > 0.0) == (".mesial" in name)
    return "to the front" if to_front else "to the back"


__all__ = ["contact_of", "mark_doubts"]
