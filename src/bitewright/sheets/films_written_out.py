"""Visits written out in one cell: "RBW 1, LBW 3 cone cut - redone 1"; and "503 Sue"."""

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING

from bitewright.sheets.cells import Cell, cell_text, plain
from bitewright.sheets.dates import parts_of
from bitewright.sheets.films_beside import RESULT
from bitewright.sheets.films_taken_twice import AGAIN, KIND, WHY
from bitewright.sheets.grades import KNOWN
from bitewright.sheets.joining_sheets import Joined
from bitewright.sheets.takes import SAID_AGAIN
from bitewright.sheets.view_words import NAMED_TOOTH, has_other_words, view_in
from bitewright.sheets.vocabulary import EXACT, heading_scores
from bitewright.sheets.word_meanings import faults_in

if TYPE_CHECKING:
    from bitewright.sheets.table_body import Row

FILM = "Film"
"""Heading given to the film that a piece of a cell names."""
PIECES = re.compile(r"\s*[,;\n]\s*|\s+[+&]\s+")
GRADE = re.compile(r"[=:\-\u2013(]*\s*([0-9A-Za-z]{1,2}|[*+\-\u2713\u2714\u2717\u2718]{1,3})\)?")
SIGNS = re.compile(r"^[\s:=.\-\u2013\u2014>(/]+|[\s:=.\-\u2013\u2014>()/]+$")
MOST_WORDS = 5
"""Words with which a piece may name its film. Our choice."""
MOSTLY, FEWEST, SEVERAL = 0.6, 4, 0.15
"""Share of cells that must name films with a grade each, cells from which they do, and share that
name several films or a fault beside a grade. Our choice."""
MOST_GRADES, LEAST_FAULT = 8, 3
"""Grades of a scale, and letters that the longest word of a fault must have. Our choice."""
TWO_THINGS = re.compile(r"(\S*\d\S*)[\s,/:-]+([^\W\d_].*)|([^\W\d_].*?)[\s,/:-]+(\S*\d\S*)")
NUMBERED, NAMED = "Patient", "Operator"
"""Headings given to the number and to the name of a cell that holds both."""


@dataclass(frozen=True, slots=True)
class _Film:
    """A film of a piece of a cell: what names it, its grade, its fault, the grade made after it."""

    view: str
    grade: str
    fault: str
    then: str | None


def with_films_written_out(table: Joined) -> Joined:
    """A table with a row for each film where cells write out a visit; the same where none do."""
    for name in table.headings:
        if any(_tells_outcome(table, other) for other in table.headings if other != name):
            continue
        read = {text: _films(text) for text in set(map(cell_text, table.column(name)))}
        if _are_visits(table.column(name), read):
            return _apart(table, name, read)
    return table


def _tells_outcome(table: Joined, name: str) -> bool:
    known = heading_scores(name)
    is_named = max(known.get("rating", 0.0), known.get("decision", 0.0)) >= EXACT
    return is_named and len(table.column(name)) >= MOSTLY * len(table.rows)


def with_two_things_apart(table: Joined) -> Joined:
    """A table in which a column headed for a patient and for who exposed is two columns."""
    for name in table.headings:
        known = heading_scores(name)
        both = known.get("case", 0.0) > 0 < known.get("operator", 0.0)
        cells = table.column(name) if both else []
        found = [_two({name: cell}, name) for cell in cells if parts_of(cell) is None]
        told = [each for each in found if NAMED in each]
        names, numbers = ({cell_text(each[at]) for each in told} for at in (NAMED, NUMBERED))
        if len(told) >= max(FEWEST, MOSTLY * len(cells)) and len(names) < len(numbers):
            rows = tuple(replace(row, cells=_two(row.cells, name)) for row in table.rows)
            others = [each for each in table.headings if each != name]
            return replace(table, headings=(NUMBERED, NAMED, *others), rows=rows)
    return table


def _two(cells: Mapping[str, Cell], name: str) -> dict[str, Cell]:
    left = {each: cell for each, cell in cells.items() if each != name}
    found = TWO_THINGS.fullmatch(cell_text(cells.get(name)))
    if found is None:
        return {**left, NUMBERED: cells[name]} if name in cells else left
    return {**left, NUMBERED: found[1] or found[4], NAMED: found[2] or found[3]}


def _are_visits(cells: Sequence[Cell], read: Mapping[str, tuple[_Film, ...]]) -> bool:
    texts = [text for cell in cells if (text := cell_text(cell))]
    told = [films for text in texts if (films := read[text])]
    if len(told) < max(FEWEST, MOSTLY * len(texts)):
        return False
    more = sum(len(films) > 1 or bool(faults_in(films[0].fault, {}).faults) for films in told)
    grades = Counter(plain(film.grade) or film.grade for films in told for film in films)
    return more >= SEVERAL * len(told) and 1 < len(grades) <= MOST_GRADES


@lru_cache(maxsize=20_000)
def _films(text: str) -> tuple[_Film, ...]:
    """The films that a cell writes out; none where a piece of it is no film with its grade."""
    pieces: list[str] = []
    for piece in PIECES.split(text):
        if pieces and _film(piece) is None and not view_in(piece):
            pieces[-1] += f", {piece}"  # one more fault of the film before
        else:
            pieces.append(piece)
    films = [_film(piece) for piece in pieces]
    return tuple(film for film in films if film is not None) if None not in films else ()


def _film(piece: str) -> _Film | None:
    words = piece.split()
    for size in range(min(MOST_WORDS, len(words)), 0, -1):
        view = " ".join(words[:size])
        if not _names_view(view):
            continue
        rest = " ".join(words[size:])
        word = next((each for each in _begun(rest) if plain(each) in KNOWN), None)
        found = GRADE.match(rest)
        grade = word or (found[1] if found is not None and _ends(rest, found.end()) else None)
        if grade is None:
            return None
        behind = rest[len(word) if word else found.end() if found is not None else 0 :]
        again = SAID_AGAIN.search(behind)
        said = behind if again is None else behind[: again.start()]
        if SIGNS.sub("", said) and max(map(len, plain(said).split()), default=0) < LEAST_FAULT:
            return None  # "BW 1 4" is a film of the 4 on side 1
        if again is None:
            return _Film(view, grade, SIGNS.sub("", behind), None)
        then = SIGNS.sub("", behind[again.end() :])
        return _Film(view, grade, SIGNS.sub("", behind[: again.start()]), then)
    return None


def _begun(text: str) -> list[str]:
    words = text.split()
    return [" ".join(words[:size]) for size in (2, 1) if len(words) >= size]


def _ends(text: str, at: int) -> bool:
    return at == len(text) or not text[at].isalnum()


@lru_cache(maxsize=20_000)
def _names_view(text: str) -> bool:
    bare = NAMED_TOOTH.sub(" ", text.lower())
    last = text.rsplit(maxsplit=1)[-1]
    if len(last) == 1 and last.isdigit():
        return False  # a grade behind the film
    return view_in(text) is not None and not has_other_words(bare)


def _apart(table: Joined, name: str, read: Mapping[str, tuple[_Film, ...]]) -> Joined:
    rows: list[Row] = []
    for row in table.rows:
        films = read.get(cell_text(row.cells.get(name)), ())
        common = {each: cell for each, cell in row.cells.items() if each != name}
        if not films and name in row.cells:
            rows.append(replace(row, cells={**common, FILM: row.cells[name]}))
        elif not films:
            rows.append(row)
        for film in films:
            told = {FILM: film.view, RESULT: film.grade, WHY: film.fault}
            told |= {} if film.then is None else {AGAIN: "yes"}
            made = [told]
            if film.then:
                made.append({FILM: film.view, RESULT: film.then, KIND: "retake"})
            rows += [
                replace(row, cells={**common, **{at: text for at, text in each.items() if text}})
                for each in made
            ]
    others = [each for each in table.headings if each != name]
    there = [
        each for each in (FILM, RESULT, WHY, AGAIN, KIND) if any(each in row.cells for row in rows)
    ]
    return replace(table, headings=tuple(dict.fromkeys((*others, *there))), rows=tuple(rows))


__all__ = ["with_films_written_out", "with_two_things_apart"]
