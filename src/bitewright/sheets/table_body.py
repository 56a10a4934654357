"""The rows under a heading: films, totals, headings again, sections and remarks."""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum

from bitewright.sheets.cells import Cell, CellDay, MergedCells, Sheet, cell_text, is_blank, plain
from bitewright.sheets.dates import month_and_year, parts_of
from bitewright.sheets.said_above import NO_COLOUR, said_between, said_in_pairs
from bitewright.sheets.view_words import view_in
from bitewright.sheets.vocabulary import EXACT, heading_scores, lowest, meanings, words_of
from bitewright.sheets.weekdays import names_week

OTHER_HEADING = 0.8
"""Share of cells that must be words for headings, for a row to be a heading in other words. Our
choice."""
ALONE = "alone under "
"""What stands before a heading under which one cell stood alone."""
SIGNS_OF_TOTALS = frozenset({"%", "\u03a3", "\u2211", "#", "\u00f8", "\u00d8", "=", "in %", "%:"})
FIGURE = re.compile(r"[<>~=]?\s*\d+(?:[.,]\d+)?\s*%?")
HALF = 0.5
"""The same where the others are words of the first heading, and no figure stands in the row."""
AGAIN = 3
"""Cells that must be headings, for a row to be a heading again. Our choice."""


class LeftOut(StrEnum):
    """Why a row of a sheet is no exposure."""

    BEFORE = "before the table"
    HEADING = "heading again"
    TOTAL = "total"
    SECTION = "section"
    REMARK = "remark"


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """A row under the heading.

    Parameters
    ----------
    sheet : str
        Tab of its sheet.
    line : int
    cells : mapping of heading to Cell
        What stands in it; empty ones left out.
    section : str
        The heading between rows that it stands under, or the sheet's tab.
    above : mapping of what a column may hold to Cell
        What lines above it say of it: its day, who exposed, its view.
    dittos : frozenset of str
        Headings under which a mark says "as above"; the cell above stands in its place.
    """

    sheet: str
    line: int
    cells: Mapping[str, Cell]
    section: str = ""
    above: Mapping[str, Cell] = field(default_factory=dict)
    dittos: frozenset[str] = frozenset()


class TableBody:
    """Reads the rows of a table under its heading."""

    def __init__(
        self, sheet: Sheet, names: Sequence[str], above: Mapping[str, Cell] | None = None
    ) -> None:
        self._sheet = sheet
        self._said: Mapping[str, Cell] = above or {}
        self._names = list(names)
        self._first_names = tuple(names)
        self._known = {plain(lowest(name)): name for name in reversed(names) if plain(lowest(name))}
        self._section = ""
        self._above: dict[str, Cell] = {}
        self._rows: list[Row] = []
        self._left_out: list[tuple[int, LeftOut, str]] = []

    def read(self, start: int) -> tuple[tuple[Row, ...], tuple[tuple[int, LeftOut, str], ...]]:
        """The rows from one on, and those that are no films."""
        falls = _falling(self._sheet.merged, start)
        for at in range(start, len(self._sheet.rows)):
            raw = self._sheet.rows[at]
            if not is_blank(raw):
                self._row(at, raw, falls.get(at, ()))
        return tuple(self._rows), tuple(self._left_out)

    def _row(self, at: int, raw: Sequence[Cell], falling: Sequence[int]) -> None:
        line = self._sheet.lines[at]
        if self._is_heading(raw):
            self._left_out.append((line, LeftOut.HEADING, cell_text(next(filter(cell_text, raw)))))
            return
        cells = {
            name: cell for name, cell in zip(self._names, raw, strict=False) if cell_text(cell)
        }
        for column in falling:
            name = self._names[column] if column < len(self._names) else ""
            if name in self._above and name not in cells:
                cells[name] = self._above[name]
        named = said_in_pairs(raw)
        if named:  # a block of rows with its own day or person over it
            self._said = {**self._said, **named}
            self._left_out.append(
                (line, LeftOut.SECTION, " ".join(filter(None, map(cell_text, raw))))
            )
            return
        why = _left_out(cells, self._names, raw)
        if why is not None:
            first = cell_text(next(iter(cells.values()), ""))
            self._left_out.append((line, why, first))
            if len(cells) == 1:  # such as a day that the rows below repeat by leaving it out
                self._said = {
                    **self._said,
                    **{f"{ALONE}{name}": cell for name, cell in cells.items()},
                }
            if why is LeftOut.SECTION:
                self._begin_section(first, cells)
                self._said = {
                    **self._said,
                    **said_between(", ".join(map(cell_text, cells.values()))),
                }
            return
        dittos, marked = words_of("empty", "ditto"), set()
        for name, cell in cells.items():
            above = self._above.get(name)
            if above is not None and isinstance(cell, str) and _is_ditto(cell, dittos, above):
                cells[name] = above
                marked.add(name)
        self._above = {**self._above, **cells}
        self._rows.append(
            Row(
                sheet=self._sheet.name,
                line=line,
                cells=cells,
                section=self._section,
                above=self._colour(line),
                dittos=frozenset(marked),
            )
        )

    def _begin_section(self, first: str, cells: Mapping[str, Cell]) -> None:
        """Keep a line between rows; one that names neither a month nor a week ends none."""
        if _is_day_alone(map(cell_text, cells.values())):
            return
        if (
            any(month_and_year(first))
            or names_week(first)
            or (not any(month_and_year(self._section)) and not names_week(self._section))
        ):
            self._section = first

    def _colour(self, line: int) -> Mapping[str, Cell]:
        """What is said of a row, with its colour where the sheet has colours."""
        colour = self._sheet.colours.get(line)
        if not self._sheet.colours:
            return self._said
        return {**self._said, "decision": colour or NO_COLOUR}

    def _is_heading(self, raw: Sequence[Cell]) -> bool:
        """Whether a row is the heading again; if its columns stand in another order, so they do."""
        texts = [cell_text(cell) for cell in raw]
        known = [self._known.get(plain(text)) for text in texts]
        named = [name for name in known if name is not None]
        filled = sum(1 for text in texts if text)
        if len(named) < 0.7 * filled and _is_other_heading(texts):
            known = self._worded_otherwise(texts)
            named = [name for name in known if name is not None]
        least = OTHER_HEADING - 0.1 if any(map(_holds_figure, texts)) else HALF
        if len(named) < min(AGAIN, len(self._known)) or len(named) < least * filled:
            return False
        if len(set(named)) == len(named):
            self._first_names = self.headings
            anew = self._named_anew(texts, known)
            if anew != self._names:
                self._names, self._above = anew, {}
        return True

    def _named_anew(self, texts: Sequence[str], known: Sequence[str | None]) -> list[str]:
        """Columns under a heading in another order; a new one keeps its name."""
        used = set(known)
        spare = [name for name in self._names if name not in used]
        anew = []
        for at, (text, found) in enumerate(zip(texts, known, strict=True)):
            name = found
            if name is None and text:
                meant = _meant(text) or _likely_meant(text)
                name = next((each for each in spare if _meant(lowest(each)) & meant), text)
            if name in spare:
                spare.remove(name)
            anew.append(name or f"column {at + 1}")
        return anew

    @property
    def headings(self) -> tuple[str, ...]:
        """All headings, those of later tables on the sheet behind those of the first."""
        return tuple(dict.fromkeys(name for name in (*self._first_names, *self._names) if name))

    def _worded_otherwise(self, texts: Sequence[str]) -> list[str | None]:
        """The name of each column under a heading in other words, by what it means."""
        free = {name: _meant(lowest(name)) for name in self._names}
        known: list[str | None] = []
        for text in texts:
            meant = _meant(text)
            name = next((name for name, held in free.items() if meant and held & meant), None)
            free.pop(name or "", None)
            known.append(name if text else None)
        loose = {name: _likely_meant(lowest(name)) for name in free if name}
        for at, text in enumerate(texts):
            meant = _likely_meant(text) if text and known[at] is None else set()
            name = next((name for name, held in loose.items() if meant & held), None)
            if name is not None:
                loose.pop(name)
                known[at] = name
        return known


def _holds_figure(text: str) -> bool:
    return any(map(str.isdigit, text))


def _meant(heading: str) -> set[str]:
    """What a heading means by its words alone."""
    return {name for name, fit in heading_scores(heading).items() if fit >= EXACT}


def _likely_meant(heading: str) -> set[str]:
    """What a heading likeliest means, marks of retakes of either sort being one thing."""
    fits = heading_scores(heading)
    most = max(fits.values(), default=0.0)
    return {RETAKES.get(name, name) for name, fit in fits.items() if fit >= LIKELIEST * most}


LIKELIEST = 0.9
"""Share of the best fit from which a heading may mean a thing as well. Our choice."""
RETAKES = dict.fromkeys(("retake", "retaken", "is_retake"), "retake")


def _is_other_heading(texts: Sequence[str]) -> bool:
    """Whether a row is a heading in other words: nearly all its cells are, and none is data."""
    filled = [text for text in texts if text]
    if len(filled) < AGAIN or any(any(map(str.isdigit, text)) for text in filled):
        return False
    heads = [text for text in filled if max(heading_scores(text).values(), default=0.0) >= EXACT]
    return len(heads) >= OTHER_HEADING * len(filled) and len(set(heads)) == len(heads)


def _falling(merged: Sequence[MergedCells], start: int) -> dict[int, list[int]]:
    """Columns in which a row lies under a cell merged downwards, by row."""
    falling: dict[int, list[int]] = {}
    for span in merged:
        if span.first_row >= start and span.last_row > span.first_row:
            for row in range(span.first_row + 1, span.last_row + 1):
                falling.setdefault(row, []).extend(range(span.first_column, span.last_column + 1))
    return falling


def _is_ditto(text: str, dittos: frozenset[str], above: Cell) -> bool:
    """Whether a cell repeats the one above; "dto" among sides is a side in Portuguese."""
    if {plain(text), plain(cell_text(above))} <= meanings("sides").keys():
        return False
    return text.strip() in {'"', "''", "〃", "″", ",,", "„", "”"} or plain(text) in dittos


def _left_out(
    cells: Mapping[str, Cell], names: Sequence[str], raw: Sequence[Cell]
) -> LeftOut | None:
    texts = {name: cell_text(cell) for name, cell in cells.items()}
    if not texts:
        return LeftOut.REMARK
    has_day = any(_has_day(cell) for cell in cells.values())
    if not has_day and _is_total(texts):
        return LeftOut.TOTAL
    many = len([name for name in names if name]) > 2
    if has_day and many and len(texts) <= 2 and _is_day_alone(texts.values()):
        return LeftOut.SECTION
    if len(texts) == 1 and many:
        (text,) = texts.values()
        whole = isinstance(raw[0] if raw else None, str) or len(text) > 3
        if not has_day or len(text) > 12:
            return LeftOut.REMARK if len(text) > 60 or not whole else LeftOut.SECTION
    few = len(texts) <= 2 and (len(names) >= 5 or any(len(text) > 60 for text in texts.values()))
    is_film = len(texts) == 2 and any(_is_view(name, text) for name, text in texts.items())
    if not has_day and few and not is_film:  # a film's day and patient may stand above
        return LeftOut.REMARK
    return None


def _is_view(name: str, text: str) -> bool:
    """Whether a view stands under a heading of views."""
    return heading_scores(lowest(name)).get("view", 0.0) >= EXACT and view_in(text) is not None


def _is_day_alone(texts: Iterable[str]) -> bool:
    """Whether a row holds a day, its weekday beside it or not, and nothing else."""
    weekdays = meanings("weekdays")
    return all(parts_of(text) is not None or plain(text) in weekdays for text in texts)


def _has_day(cell: Cell) -> bool:
    return isinstance(cell, CellDay) or (isinstance(cell, str) and parts_of(cell) is not None)


def _is_figure(text: str) -> bool:
    return FIGURE.fullmatch(text) is not None


def _is_share(text: str) -> bool:
    """Whether a text is a part of a whole: per cent, or a fraction below one."""
    return _is_figure(text) and ("%" in text or re.fullmatch(r"0[.,]\d+", text) is not None)


def _is_total(texts: Mapping[str, str]) -> bool:
    sign, *figures_of = texts.values()
    if sign.strip() in SIGNS_OF_TOTALS and figures_of and all(map(_is_figure, figures_of)):
        return True
    if len(figures_of) > 1 and not _is_figure(sign) and all(map(_is_share, figures_of)):
        return True
    first = plain(sign)
    known = words_of("totals", "words")
    head = first.split(" ")
    is_named = first in known or any(first.startswith(f"{word} ") for word in known)
    if not is_named:
        is_named = any(
            plain(text).rstrip("s") in {"total", "summe", "gesamt"} for text in texts.values()
        )
    if not is_named or not head:
        return False
    others = list(texts.values())[1:]
    figures = sum(any(each.isdigit() for each in text) for text in others)
    return not others or figures >= len(others) / 2 or first in known


__all__ = ["ALONE", "LeftOut", "Row", "TableBody"]
