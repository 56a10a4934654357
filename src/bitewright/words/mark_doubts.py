"""Marks to check, in words: by the picture beside them, or by all other marks."""

from collections.abc import Sequence

from bitewright.explanation.doubtful_marks import DoubtfulMark
from bitewright.words.landmarks import landmark_words
from bitewright.words.phrases import capital, listed

MOST_MARKS = 3
"""So many marks are named at once, of each sort. Our choice."""


def mark_doubts(doubtful: Sequence[DoubtfulMark]) -> list[str]:
    """Sentences on marks to check, the one that stands out most first."""
    shown = [each for each in doubtful if each.is_shown_elsewhere][:MOST_MARKS]
    others = [each for each in doubtful if not each.is_shown_elsewhere][:MOST_MARKS]
    said = [_elsewhere(each) for each in shown]
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


def contact_of(name: str, contacts: Sequence[str]) -> str | None:
    """Which of some contacts, such as "15-16", a mark decides the overlap of; None if none."""
    for contact in contacts:
        front, back = contact.split("-")
        if name in (f"{front}.distal", f"{back}.mesial"):
            return contact
    return None


def _elsewhere(doubted: DoubtfulMark) -> str:
    name, border_mm = doubted.name, doubted.border_mm
    marked = f"Where {landmark_words(name)} is marked, the picture shows no clear "
    if border_mm is not None:
        is_crest = name.endswith(".crest")
        way = _in_height(border_mm) if is_crest else _along(name, border_mm)
        edge = "edge of bone" if is_crest else "edge"
        return f"{marked}{edge}; the one that fits lies {way}: check the mark."
    outward_mm, rootward_mm = doubted.seen_mm or (0.0, 0.0)
    is_along = abs(outward_mm) >= abs(rootward_mm)
    way = _along(name, outward_mm) if is_along else _in_height(rootward_mm)
    return (
        f"Looking by itself, the program sees {landmark_words(name)} elsewhere, {way}: "
        "check the mark."
    )


def _in_height(rootward_mm: float) -> str:
    way = "roots" if rootward_mm > 0.0 else "crowns"
    return f"{abs(rootward_mm):.1f} mm further towards the {way}"


def _along(name: str, outward_mm: float) -> str:
    way = "front" if (outward_mm > 0.0) == (".mesial" in name) else "back"
    return f"{abs(outward_mm):.1f} mm further to the {way}"


__all__ = ["contact_of", "mark_doubts"]
