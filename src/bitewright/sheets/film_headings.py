"""Headings of films side by side: which film a column is of, and what of that film it tells."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from bitewright.sheets.cells import Cell, cell_text, plain
from bitewright.sheets.finding_tables import Table
from bitewright.sheets.view_words import has_place, place_parts, view_in
from bitewright.sheets.vocabulary import EXACT, OVER, heading_scores, meanings
from bitewright.sheets.word_meanings import faults_in

COUNTED = re.compile(r"^\s*[2-8]\s*x?\s+(?=[^\W\d])")
"""How many films there are, before what they are: the 4 of "4 BWX" over four columns."""
NUMBER = re.compile(r"\d{1,2}")


@dataclass(frozen=True, slots=True)
class HeadingPart:
    """A heading taken apart: which film it is of, and what of that film."""

    slot: str
    rest: str


def without_remarks(table: Table, parted: Mapping[str, HeadingPart]) -> dict[str, HeadingPart]:
    """Headings of films without one whose cells name films themselves: it tells what was wrong."""
    return {
        heading: part
        for heading, part in parted.items()
        if part.rest or not _names_films(_column(table, heading))
    }


def _names_films(cells: Sequence[Cell]) -> bool:
    texts = [text for cell in cells if (text := cell_text(cell))]
    named = sum(
        has_place(text) and bool(faults_in(text, {}).faults) and len(plain(text).split()) > FEW
        for text in texts
    )
    return named > len(texts) / 2


FEW = 2
"""Words of a cell that names a film and what was wrong, more than these. Our choice."""


def by_numbers(table: Table) -> dict[str, HeadingPart]:
    """Headings with the number of the film: "View 1", "2nd grade", or the same heading again."""
    parted = {}
    for heading in table.headings:
        words = re.sub(r"(?<=\d)(?:st|nd|rd|th|er|e|\.|º|ª)\b", "", plain(heading)).split()
        words = [part for word in words for part in re.findall(r"\d+|\D+", word)]
        numbers = [word for word in words if NUMBER.fullmatch(word)]
        if len(numbers) <= 1 and any(not word.isdigit() for word in words):
            rest = " ".join(word for word in words if not word.isdigit())
            parted[heading] = HeadingPart(numbers[0] if numbers else "1", rest)
    return parted


def by_lines(table: Table) -> dict[str, HeadingPart]:
    """Headings of two lines, the upper one naming the film."""
    parted = {}
    for heading in table.headings:
        upper, over, lower = heading.rpartition(OVER)
        upper = COUNTED.sub("", upper)
        if not over and view_in(heading) and not _says_what(heading):
            parted[heading] = HeadingPart(heading, "")
        lower = re.sub(r" \(\d+\)$", "", lower)
        if over and place_parts(upper) and place_parts(lower):
            parted[heading] = HeadingPart(f"{upper} {lower}", "")
        elif over and (view_in(upper) or has_place(upper) or NUMBER.search(upper)):
            parted[heading] = HeadingPart(upper, plain(lower))
    return parted


def _says_what(heading: str) -> bool:
    """Whether a heading says beside its film what of it stands there: "BW right faults"."""
    rest = " ".join(word for word in plain(heading).split() if not _is_of_place(word))
    known = heading_scores(rest) if rest else {}
    return any(known.get(name, 0.0) >= EXACT for name in ("rating", "decision", "faults"))


def _is_of_place(word: str) -> bool:
    places = meanings("sides").keys() | meanings("regions").keys() | meanings("films").keys()
    return word in places or view_in(word) is not None or has_place(word)


def by_places(table: Table) -> dict[str, HeadingPart]:
    """Headings that hold a view or a place: "RPM grade", "left molar", "BW re"."""
    parted = {}
    for heading in table.headings:
        words = plain(heading).split()
        at = [word for word in words if _is_of_place(word)]
        rest = [word for word in words if word not in at]
        if at and (view_in(" ".join(at)) or has_place(" ".join(at))):
            parted[heading] = HeadingPart(" ".join(at), " ".join(rest))
    named: dict[tuple[str | None, str | None], str] = {}
    for part in parted.values():
        place = _place(part.slot)
        named[place] = max(named.get(place, ""), part.slot, key=len)
    return {  # "R fault" beside "Right BW" is of that film
        heading: HeadingPart(
            named[place] if any(place := _place(part.slot)) else part.slot, part.rest
        )
        for heading, part in parted.items()
    }


def _place(slot: str) -> tuple[str | None, str | None]:
    """Side and region that a text names, whatever sort of film it is of."""
    side, region, _ = place_parts(slot) or (None, None, None)
    return side, region


def _column(table: Table, heading: str) -> list[Cell]:
    return [row.cells[heading] for row in table.rows if heading in row.cells]


__all__ = ["HeadingPart", "by_lines", "by_numbers", "by_places", "without_remarks"]
