"""Rows whose view names several films, such as "BW right and left" or "2 x BW"."""

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import lru_cache

from bitewright.sheets.asked_meanings import FOUR_BITEWINGS, TWO_BITEWINGS
from bitewright.sheets.cells import Cell, cell_text, plain, word_of
from bitewright.sheets.column_facts import of_each
from bitewright.sheets.joining_sheets import Joined
from bitewright.sheets.remarks_of_films import remark_of_each
from bitewright.sheets.sides_in_order import is_left_first, sides_in_order
from bitewright.sheets.table_body import Row
from bitewright.sheets.view_words import (
    are_at_odds,
    are_several,
    both_sides_told,
    teeth_in,
    view_in,
)
from bitewright.sheets.vocabulary import meanings
from bitewright.sheets.word_meanings import ACCEPTED, BETWEEN, decision_word, flag

TIMES = re.compile(
    r"(?:^|\s)([2-8])\s*[x\u00d7*]?\s*(?=[^\W\d])|(?<=\w)\s*[x\u00d7*]\s*([2-8])(?!\d)"
)
SERIES = re.compile(
    r"([24]) ?x? ?(?:bw|bws|bwx|bwxs|btw|btws|bite ?wings?|bf|rc)|"
    r"(?:bw|bws|bwx|bwxs|btw|btws|bite ?wings?|bf|rc) ?x? ?([24])"
)
MEANT = {TWO_BITEWINGS: "2", FOUR_BITEWINGS: "4"}
"""What a person may say that one word of a view stands for."""
SERIES_OF = {
    "2": ("right bitewing", "left bitewing"),
    "4": ("right premolar", "right molar", "left premolar", "left molar"),
}
"""Films of a series of bitewings: one a side, or two. Common practice, no source."""
ONE, COUNT = re.compile(r"(?<!\w)1(?!\w)"), re.compile(r"(?<!\w)[1-8](?!\w)")
APART = re.compile(r"\s*[/,;+|&]\s*")
BEGUN = re.compile(r"([^\W\d_]{1,10})(?:\.?\s*[:=]\s*|\.?\s+)(\S.*)", re.DOTALL)
"""A side and what is told of its film: "D M", "left: B", "G : overlap"."""
SIDE_AND_GRADE = re.compile(r"([^\W\d_]{1,10})\s?[:=]?\s?(\d{1,2})(?!\d)")
GLUED = re.compile(r"(?:[^\W\d_]{1,10}\s?[:=]?\s?\d{1,2}[\s,;/+&]*){2,4}")
SIDE = re.compile(r"[^\W\d_]{1,10}\.?\s*[:=]")
FEW = 0.04
"""Share of rows up to which those that name two films with a stroke are slips. Our choice."""
FEWEST_GRADED = 3
"""Rows with a grade for each of several films, from which it is no grade in doubt. Our choice."""
MARKED = ("retake", "retaken", "rejected")
"""What may be marked for the film of one side alone: "L redone"."""
OF_EACH = ("rating", "decision", "faults", "retake", "retaken", "rejected", "teeth")
"""What may be told of each film in one cell, in the order of the films."""


def films_counted(table: Joined, columns: Mapping[str, str], kind: str) -> int:
    """Rows that name several films; ``kind``: the view of every row, where none names its own."""
    meant = dict.fromkeys(_pairs(table, columns), SERIES_OF["2"])
    return sum(len(films) > 1 for films in _films_of_rows(table, columns, kind, meant))


def are_slips(table: Joined, columns: Mapping[str, str], kind: str) -> bool:
    """Whether the rows that name several films are few, and name them as "right/left" alone.

    Among rows of one film each, a stroke leaves open which of two it was.
    """
    meant = dict.fromkeys(_pairs(table, columns), SERIES_OF["2"])
    several = [
        row
        for row, films in zip(table.rows, _films_of_rows(table, columns, kind, meant), strict=True)
        if len(films) > 1
    ]
    few = len(several) <= max(1.0, FEW * len(table.rows))
    return few and all(_is_either(row, columns) for row in several)


def _is_either(row: Row, columns: Mapping[str, str]) -> bool:
    """Whether a row has a stroke between its places, and one outcome and no more."""
    written = " ".join(cell_text(row.cells[name]) for name in _places(row, columns))
    told = (
        cell_text(row.cells[name])
        for name, target in columns.items()
        if target in {"rating", "decision"} and name in row.cells
    )
    return "/" in written and not any(len(APART.split(text)) > 1 for text in told)


def each_film(
    table: Joined, columns: Mapping[str, str], kind: str, said: Mapping[str, str]
) -> Joined:
    """A table in which each of several films named in a row has a row of its own.

    ``said``: what a person says that words for views mean.
    """
    meant = {
        **{word: SERIES_OF["2"] for word in _pairs(table, columns) if word not in said},
        **{word: SERIES_OF[MEANT[held]] for word, held in said.items() if held in MEANT},
    }
    films_of_rows = _films_of_rows(table, columns, kind, meant)
    if all(len(films) < 2 for films in films_of_rows):
        return table
    rows: list[Row] = []
    usual, left_first = _usual(table, columns), is_left_first(table, columns)
    for row, films in zip(table.rows, films_of_rows, strict=True):
        if len(films) < 2:
            rows.append(row)
            continue
        ordered = sides_in_order(films, _written(row, columns), left_first=left_first)
        rows += _apart(row, columns, ordered, usual)
    return replace(table, rows=tuple(rows))


def _films_of_rows(
    table: Joined, columns: Mapping[str, str], kind: str, meant: Mapping[str, tuple[str, ...]]
) -> list[tuple[str, ...]]:
    """The films that each row names, or that its grades tell where several rows have them."""
    named = _named(table, columns)
    films = [
        meant.get(_written(row, columns)) or _films(row, columns, kind, named) for row in table.rows
    ]
    graded = [
        _graded_apart(row, columns, each) for row, each in zip(table.rows, films, strict=True)
    ]
    if sum(map(bool, graded)) < FEWEST_GRADED:
        return films
    return [apart or each for apart, each in zip(graded, films, strict=True)]


def _written(row: Row, columns: Mapping[str, str]) -> str:
    return word_of(" ".join(cell_text(row.cells[name]) for name in _places(row, columns)))


def _pairs(table: Joined, columns: Mapping[str, str]) -> frozenset[str]:
    """Words for bitewings of both sides, such as "BWs", where most rows name one side or the other.

    Where no row does, they are what all films are called.
    """
    words = [_written(row, columns) for row in table.rows]
    pairs = frozenset(word for word in words if are_several(word))
    if not pairs:
        return pairs
    sided = sum((view_in(word) or "").startswith(("right-", "left-")) for word in words)
    return pairs if sided > sum(word in pairs for word in words) else frozenset()


def _named(table: Joined, columns: Mapping[str, str]) -> frozenset[str]:
    """Views in which a 1 stands where others have a 2: it names a side and counts no films."""
    texts = {cell_text(row.cells[name]) for row in table.rows for name in _places(row, columns)}
    ones = {ONE.sub("#", text) for text in texts if ONE.search(text)}
    return frozenset(text for text in texts if COUNT.sub("#", text) in ones)


def _films(
    row: Row, columns: Mapping[str, str], kind: str, named: frozenset[str]
) -> tuple[str, ...]:
    texts = [cell_text(row.cells[name]) for name in _places(row, columns)]
    texts = [text for text in texts if not text.isdigit()]  # a side called 2 is not two films
    if not named.isdisjoint(texts) or are_at_odds(texts):
        return (" ".join(texts),)
    return films_in(" ".join(texts), kind)


def _graded_apart(row: Row, columns: Mapping[str, str], films: tuple[str, ...]) -> tuple[str, ...]:
    """The films of a row of bitewings whose side is not told and that has two or four grades."""
    if len(films) != 1 or view_in(films[0]) != "bitewing" or teeth_in(films[0]):
        return ()
    graded = next((name for name, target in columns.items() if target == "rating"), "")
    return SERIES_OF.get(str(len(of_each(cell_text(row.cells.get(graded))))), ())


def _places(row: Row, columns: Mapping[str, str]) -> list[str]:
    return [
        name for name, target in columns.items() if target in {"view", "side"} and name in row.cells
    ]


@lru_cache(maxsize=50_000)
def films_in(text: str, kind: str) -> tuple[str, ...]:  # noqa: PLR0911  one a way to write
    """The films that a text names, each in words of its own; one where that cannot be told."""
    if not plain(text):
        return ()
    pieces = [piece for piece in BETWEEN.split(text) if plain(piece)]
    if len(pieces) > 1 and _are_films(pieces):
        return tuple(film for piece in pieces for film in films_in(piece, kind))
    series = SERIES.fullmatch(plain(text))
    if series is not None:
        return SERIES_OF[series[1] or series[2]]
    if teeth_in(text):
        return (text,)
    is_bitewing = (view_in(text) or view_in(f"{kind} {text}") or "").endswith("bitewing")
    sides = both_sides_told(text)
    if is_bitewing and sides is not None:
        return tuple(f"{side} {sides}" for side in ("right", "left"))
    found = TIMES.search(text)
    if found is not None and view_in(text) is not None:
        alone = TIMES.sub(" ", text, count=1).strip()
        return (alone,) * int(found[1] or found[2])
    return (text,)


def _are_films(pieces: Sequence[str]) -> bool:
    """Whether each piece is a view by itself, all of them told as fully."""
    if all(SERIES.fullmatch(plain(piece)) or view_in(piece) for piece in pieces) and any(
        SERIES.fullmatch(plain(piece)) for piece in pieces
    ):
        return True
    views = [view_in(piece) for piece in pieces]
    bitewings = [view for view in views if view and "-" in view]
    full = sum(not view.endswith("bitewing") for view in bitewings)
    return None not in views and full in {0, len(bitewings)}


def _usual(table: Joined, columns: Mapping[str, str]) -> dict[str, str]:
    """What stands most often in each column of outcomes, where that is of a film that was kept."""
    found = {}
    for name, target in columns.items():
        counts = Counter(cell_text(cell) for cell in table.column(name))
        if target in {"decision", "rating"} and counts:
            word = counts.most_common(1)[0][0]
            if decision_word(word) == ACCEPTED or flag(word):
                found[name] = word
    return found


def _of_one_film(text: str, films: Sequence[str], usual: str) -> list[str]:
    """What is told of each film where a cell names one side and the outcome of its film alone."""
    found = BEGUN.match(text.strip())
    sides = [(view_in(film) or "").partition("-")[0] for film in films]
    side = meanings("sides").get(plain(found[1]), "") if found is not None else ""
    if found is None or sides.count(side) != 1:
        return []
    return [found[2] if each == side else usual for each in sides]


def _apart(
    row: Row, columns: Mapping[str, str], films: tuple[str, ...], usual: Mapping[str, str]
) -> list[Row]:
    places = _places(row, columns)
    told = {
        name: parts
        for name, target in columns.items()
        if target in OF_EACH
        and name in row.cells
        and len(parts := APART.split(cell_text(row.cells[name]))) == len(films)
        and all(parts)
        and not _is_of_one_side(parts)
    }
    told = {name: _of_sides(parts, films) for name, parts in told.items()}
    told |= {
        name: parts
        for name, target in columns.items()
        if target == "rating"
        and name not in told
        and (parts := _glued(cell_text(row.cells.get(name)), films))
    }
    told |= {
        name: parts
        for name, word in usual.items()
        if name not in told and (parts := _of_one_film(cell_text(row.cells.get(name)), films, word))
    }
    told |= {
        name: parts
        for name, target in columns.items()
        if target in MARKED
        and name not in told
        and (parts := _of_one_film(cell_text(row.cells.get(name)), films, ""))
    }
    remarks = _remarks(row, columns, films)
    apart = []
    for at, film in enumerate(films):
        cells: dict[str, Cell] = {
            name: cell for name, cell in row.cells.items() if name not in places
        }
        cells[places[0]] = film
        cells.update({name: parts[at] for name, parts in told.items()})
        for name, said in remarks.items():
            if name not in told:
                cells.pop(name, None)
                cells |= {name: said[film]} if film in said else {}
        apart.append(replace(row, cells=cells))
    return apart


def _glued(text: str, films: Sequence[str]) -> list[str]:
    """The grade in figures of each film where its side stands right before it: "R1 L2"."""
    if GLUED.fullmatch(text.strip()) is None:
        return []
    parts = [f"{side} {grade}" for side, grade in SIDE_AND_GRADE.findall(text)]
    told = _of_sides(parts, films)
    return told if len(parts) == len(films) and told != parts else []


def _is_of_one_side(parts: Sequence[str]) -> bool:
    """Whether some parts begin with a side and others do not: they are of one film together."""
    told = sum(SIDE.match(part.strip()) is not None and _side(part) != "" for part in parts)
    return 0 < told < len(parts)


def _side(part: str) -> str:
    found = BEGUN.match(part.strip())
    return "" if found is None else meanings("sides").get(plain(found[1]), "")


def _of_sides(parts: Sequence[str], films: Sequence[str]) -> list[str]:
    """What is told of each film, in their order, where each part begins with its film's side.

    "D M / G B" of a right and a left film are M and B; parts that begin otherwise stay as they are.
    """
    begun = [BEGUN.match(part.strip()) for part in parts]
    sides = [_side(part) for part in parts]
    wanted = [(view_in(film) or "").partition("-")[0] for film in films]
    if not all(sides) or sorted(sides) != sorted(wanted) or len(set(sides)) < len(sides):
        return list(parts)
    rests = {side: each[2] for side, each in zip(sides, begun, strict=True) if each is not None}
    return [rests[side] for side in wanted]


def _remarks(
    row: Row, columns: Mapping[str, str], films: tuple[str, ...]
) -> dict[str, dict[str, str]]:
    """What remarks that all films of a row share say of each, where they name one."""
    if len(set(films)) < len(films):
        return {}
    results = dict.fromkeys(films, "")
    return {
        name: told
        for name, target in columns.items()
        if target == "faults"
        and name in row.cells
        and len(told := remark_of_each(cell_text(row.cells[name]), results)) < len(films)
    }


__all__ = ["are_slips", "each_film", "films_counted", "films_in"]
