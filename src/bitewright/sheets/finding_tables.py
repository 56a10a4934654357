"""Where on a sheet the table lies: its heading, one or two lines high, and the rows under it."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise, zip_longest

from bitewright.sheets.cells import Cell, CellDay, MergedCells, Sheet, cell_text, is_blank, plain
from bitewright.sheets.dates import looks_like_days, parts_of
from bitewright.sheets.said_above import day_within, said_between, said_in_title
from bitewright.sheets.table_body import LeftOut, Row, TableBody
from bitewright.sheets.vocabulary import OVER, heading_scores

SEARCHED = 60
"""Rows in which a heading is looked for. Our choice."""
FEWEST = 3
"""Rows, and cells of a row, from which a list without headings is a table. Our choice."""
FEWEST_BELOW = 2
"""Rows of films below a heading, from which a better one further down is that of a later table.
Our choice."""
OFTEN = 3
"""How often a word stands below a row in its column, for it to be no heading. Our choice."""
BELOW = 1.0
"""How much a heading counts for all rows being below it. Our choice."""
FORM_OFTEN, FORMS_ALIKE = 0.4, 2
"""Share of rows in which figures are written alike in a column, and columns in which they are, from
which a row is like the others. Our choice."""
LOOKED_AT = 240
NEARLY_ALL = 0.9
"""Share of the cells of a column without a heading that must be days without a year. Our choice."""
FIGURES = re.compile(r"\d+")
LONG = 45
"""Letters beyond which a cell is a remark and no heading. Our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A table found on a sheet.

    Parameters
    ----------
    sheet : str
    headings : tuple of str
        In the order of the columns, each unlike the others.
    rows : tuple of Row
    left_out : tuple of (line, LeftOut, text)
    titles : tuple of str
        What stands above it.
    """

    sheet: str
    headings: tuple[str, ...]
    rows: tuple[Row, ...]
    left_out: tuple[tuple[int, LeftOut, str], ...]
    titles: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Heading:
    first: int
    height: int
    texts: tuple[str, ...]
    score: float


def find_table(sheet: Sheet) -> Table | None:
    """The table of a sheet; None where no row is a heading."""
    heading = _best_heading(sheet) or _no_heading(sheet)
    if heading is None:
        return None
    names = _unlike(heading.texts)
    titles = tuple(
        text
        for row in sheet.rows[: heading.first]
        if (text := " ".join(filter(None, map(cell_text, row))))
    )
    found = TableBody(sheet, names, _said_in_titles(sheet.rows[: heading.first]))
    rows, left_out = found.read(heading.first + heading.height)
    before = tuple(
        (sheet.lines[at], LeftOut.BEFORE, cell_text(next(filter(cell_text, sheet.rows[at]), "")))
        for at in range(heading.first)
        if not is_blank(sheet.rows[at])
    )
    return Table(
        sheet=sheet.name,
        headings=found.headings,
        rows=rows,
        left_out=(*before, *left_out),
        titles=titles,
    )


def _said_in_titles(rows: Sequence[Sequence[Cell]]) -> dict[str, Cell]:
    """What cells above the table say of all its rows, each by itself or with the one behind it."""
    said: dict[str, Cell] = {}
    for row in rows:
        texts = [text for cell in row if (text := cell_text(cell))]
        day = day_within(", ".join(texts)) if len(texts) <= 2 else None
        said |= {} if day is None else {"day": day}
        if len(texts) == 1 and len(texts[0]) <= LONG:
            said |= {name: held for name, held in said_between(texts[0]).items() if name == "view"}
        for text in texts:
            said |= said_in_title(text)
        for label, value in pairwise(texts):
            if label.rstrip().endswith((":", "=")):
                said |= said_in_title(f"{label} {value}" if "=" not in label else label + value)
    return said


def _best_heading(sheet: Sheet) -> _Heading | None:
    best: _Heading | None = None
    tall = range(min(SEARCHED, len(sheet.rows)))
    data = 0
    for first in tall:
        if data >= (FEWEST + 1 if best is None else FEWEST_BELOW):
            break  # below rows of data stands no heading, but one that comes again
        is_below = best is None or first >= best.first + best.height
        data += is_below and _is_row_of_data(sheet.rows[first])
        for height in (1, 2, 3):
            found = _heading_at(sheet, first, height)
            if found and (best is None or found.score > best.score + 0.01):
                best = found
    return best if best is None else _first_like(sheet, best)


def _is_row_of_data(row: Sequence[Cell]) -> bool:
    return sum(1 for cell in row if cell_text(cell)) >= FEWEST and any(map(_is_day, row))


def _no_heading(sheet: Sheet) -> _Heading | None:
    """Where a list without any headings begins: several rows as wide, each with a day."""
    looked = sheet.rows[: 4 * SEARCHED]
    wide = [
        at for at, row in enumerate(looked) if sum(1 for cell in row if cell_text(cell)) >= FEWEST
    ]
    with_day = [at for at in wide if any(map(_is_day, looked[at]))]
    if (
        len(with_day) < FEWEST
        and len(wide) > FEWEST
        and _has_short_days([looked[at] for at in wide])
    ):
        with_day = wide
    if len(with_day) < FEWEST:
        return None
    width = max(map(len, looked))
    return _Heading(first=with_day[0], height=0, texts=("",) * width, score=0.0)


def _has_short_days(rows: Sequence[Sequence[Cell]]) -> bool:
    """Whether a column of rows holds days without their year, such as 20-1."""
    columns = zip_longest(*rows)
    return any(looks_like_days(column) >= NEARLY_ALL for column in columns)


def _is_day(cell: Cell) -> bool:
    return isinstance(cell, CellDay) or (isinstance(cell, str) and _is_full_day(cell))


def _first_like(sheet: Sheet, best: _Heading) -> _Heading:
    """The first of the same headings, where each printed page has it again."""
    lines = [list(map(cell_text, row)) for row in sheet.rows[: best.first + best.height]]
    wanted = lines[best.first :]
    for first in range(best.first):
        if lines[first : first + best.height] == wanted:
            return replace(best, first=first)
    return best


def _heading_at(  # noqa: PLR0911  one a reason why not
    sheet: Sheet, first: int, height: int
) -> _Heading | None:
    lines = sheet.rows[first : first + height]
    if len(lines) < height or any(is_blank(line) for line in lines):
        return None
    if any(_is_data(line) for line in lines) or _is_like_the_rows(sheet, first):
        return None
    width = max(map(len, lines))
    rows = [[cell_text(cell) for cell in line] + [""] * (width - len(line)) for line in lines]
    if height == 3 and not _are_three(sheet, first, rows):
        return None
    if height > 1:
        if sum(1 for text in rows[0] if text) < 2 and not _spans_part(sheet.merged, first, width):
            return None
        written = list(rows[0])
        rows[0] = _spread(rows[0], rows[1], first, sheet.merged)
    texts = tuple(
        OVER.join(dict.fromkeys(part for part in column if part))
        for column in zip(*rows, strict=True)
    )
    named = [text for text in texts if text]
    if len(named) < 2 or sum(len(text) > LONG for text in named) > len(named) / 3:
        return None
    score = sum(_known(text) for text in texts)
    if score < 2 and not _stands_over_data(sheet, first + height, len(named)):
        return None
    is_parted = height == 2 and _spans_part(sheet.merged, first, width)
    told = rows[:1] if is_parted else rows  # what stands under a merged head is no row of data
    score -= _stand_below(sheet, first, height, told) + 2.0 * any(map(_reads_as_day, texts))
    score += BELOW * (len(sheet.rows) - first) / len(sheet.rows)
    if height > 1:  # a second line costs something, unless it tells apart what is below it
        lower = [text for text in rows[-1] if text]
        score += 0.5 * (_doubled(lower) - _doubled(named)) - 0.4
        score += 1.6 * _goes_on(sheet, first, written, rows[1]) + 0.5 * (height == 3)
    return _Heading(first=first, height=height, texts=texts, score=score)


def _is_like_the_rows(sheet: Sheet, at: int) -> bool:
    """Whether figures stand in two cells of a row or more as they do in the rows about it."""
    rows = [row for row in sheet.rows[:LOOKED_AT] if not is_blank(row)]
    alike = 0
    for column, cell in enumerate(sheet.rows[at]):
        form = _form(cell)
        if "9" in form:
            there = sum(len(row) > column and _form(row[column]) == form for row in rows)
            alike += there > FORM_OFTEN * len(rows)
    return alike >= FORMS_ALIKE


def _form(cell: Cell) -> str:
    """How a cell is written, all its numbers alike: "12-3" and "8-11" are one."""
    return FIGURES.sub("9", cell_text(cell))


def _reads_as_day(text: str) -> bool:
    """Whether a text is a day with its month, as in "November 26th": it stands in no heading."""
    found = parts_of(text)
    return found is not None and any(map(str.isdigit, text)) and len(text) <= LONG


def _are_three(sheet: Sheet, first: int, rows: Sequence[Sequence[str]]) -> bool:
    """Whether three lines are one heading: short words in each, none of which stands below."""
    words = [text for row in rows for text in row if text]
    if any(len(text) > 20 for text in words) or any(sum(map(bool, row)) < 2 for row in rows):
        return False
    return not _stand_below(sheet, first, 3, rows) and any(
        any(_is_day(cell) for cell in row) for row in sheet.rows[first + 3 : first + 6]
    )


def _stand_below(sheet: Sheet, first: int, height: int, lines: Sequence[Sequence[str]]) -> float:
    """Words of a heading that stand below it in its column too, in rows that are no headings."""
    below = [
        list(map(cell_text, row)) for row in sheet.rows[first + height : first + height + SEARCHED]
    ]
    wanted = [list(filter(None, line)) for line in lines]
    others = [row for row in below if list(filter(None, row)) not in wanted]
    return float(
        sum(
            sum(at < len(row) and row[at] == text for row in others) >= OFTEN
            for line in lines
            for at, text in enumerate(line)
            if text
        )
    )


def _goes_on(sheet: Sheet, first: int, upper: Sequence[str], lower: Sequence[str]) -> bool:
    """Whether a second line tells apart what the first has one word for, and is no row of data."""
    if not any(text and not upper[at] for at, text in enumerate(lower)):
        return False
    below = sheet.rows[first + 2 : first + 2 + SEARCHED]
    again = {
        at
        for row in below
        for at, cell in enumerate(row)
        if at < len(lower) and lower[at] and cell_text(cell) == lower[at]
    }
    return not again and any(any(_is_day(cell) for cell in row) for row in below)


def _doubled(texts: Sequence[str]) -> int:
    return len(texts) - len(set(texts))


def _known(text: str) -> float:
    return min(max(heading_scores(text).values(), default=0.0), 3.0) / 3.0 + (0.05 if text else 0.0)


def _is_data(line: Sequence[Cell]) -> bool:
    """Whether a row holds a day or several numbers, as no heading does."""
    filled = [cell for cell in line if cell_text(cell)]
    if any(isinstance(cell, CellDay) for cell in filled):
        return True
    if any(isinstance(cell, str) and _is_full_day(cell) for cell in filled):
        return True
    numbers = sum(isinstance(cell, (float, bool)) or cell_text(cell).isdigit() for cell in filled)
    return numbers > max(1, len(filled) / 3) and len(filled) > 1 and numbers > 3


def _is_full_day(text: str) -> bool:
    found = parts_of(text)
    return found is not None and found.year is not None and len(text) <= 24


def _stands_over_data(sheet: Sheet, start: int, width: int) -> bool:
    below = [row for row in sheet.rows[start : start + 12] if not is_blank(row)]
    filled = [sum(1 for cell in row if cell_text(cell)) for row in below]
    if len(below) < 3 or sum(filled) < 0.4 * width * len(filled):
        return False
    columns = zip(
        *(list(row) + [None] * (40 - len(row)) for row in below if len(row) <= 40), strict=True
    )
    return any(looks_like_days(column) > 0.6 for column in columns)


def _spans_part(merged: Sequence[MergedCells], row: int, width: int) -> bool:
    return any(
        span.first_row == row and 0 < span.last_column - span.first_column < width - 1
        for span in merged
    )


def _spread(
    upper: Sequence[str], lower: Sequence[str], row: int, merged: Sequence[MergedCells]
) -> list[str]:
    """The upper line of a heading, each text over all columns that it stands over."""
    spans = {span.first_column: span for span in merged if span.first_row == row}
    wide = any(span.last_column > span.first_column for span in spans.values())
    spread, over, last = [], "", -1
    for column, text in enumerate(upper):
        if text:
            over = text
            span = spans.get(column)
            if span is not None:
                last = span.last_column
                over = text if span.last_row == row else ""
                spread.append(text)
                continue
            last = column if wide else len(upper)
            spread.append(text)
        else:
            reaches = column <= last and bool(lower[column])
            spread.append(over if reaches else "")
    return spread


def _unlike(texts: Sequence[str]) -> list[str]:
    """Headings with a number behind those that were there before."""
    seen: dict[str, int] = {}
    named = []
    for at, text in enumerate(texts):
        name = text or f"column {at + 1}"
        word = plain(name) or name  # "mA" and "MA" are two columns
        seen[word] = seen.get(word, 0) + 1
        named.append(name if seen[word] == 1 else f"{name} ({seen[word]})")
    return named


__all__ = ["LeftOut", "Row", "Table", "find_table"]
