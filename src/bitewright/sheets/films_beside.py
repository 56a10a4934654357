"""Several films in one row, or several tables side by side: each film a row of its own."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from functools import lru_cache

from bitewright.sheets.cells import Cell, cell_text, plain, word_of
from bitewright.sheets.cells_alone import rises
from bitewright.sheets.column_facts import ColumnFacts
from bitewright.sheets.dates import looks_like_days
from bitewright.sheets.film_headings import (
    HeadingPart,
    by_lines,
    by_numbers,
    by_places,
    without_remarks,
)
from bitewright.sheets.films_made_again import KIND, with_second
from bitewright.sheets.finding_tables import Table
from bitewright.sheets.grades import grade_word
from bitewright.sheets.remarks_of_films import remark_of_each
from bitewright.sheets.table_body import Row
from bitewright.sheets.takes import is_mark_of_takes
from bitewright.sheets.view_words import has_place, view_in
from bitewright.sheets.vocabulary import EXACT, heading_scores
from bitewright.sheets.word_meanings import BETWEEN, decision_word, flag

VIEW, RESULT = "View", "Result"
"""Headings given to what the sheet's own headings say of each film, and to what stands under them
alone."""
OF_FILMS = ("view", "rating", "decision", "faults")
FEWEST_FULL = 3
"""Columns with a side and a region over them, from which they are those of films. Our choice."""
SEVERAL_MARKS = 1.15
"""Marks in a row from which each is a film. Our choice."""
MOSTLY = 0.8
CROSSES = frozenset({"x", "xx", "1"})
MOST_OUTCOMES, LONGEST_OUTCOME = 8, 20
"""Distinct outcomes in a column, and letters of one, beyond which it holds something else."""
NO_FILM = frozenset({"", "-", "\u2013", "\u2014", "--", "/", "x x"})
NOT_TAKEN = frozenset(
    {"na", "n a", "nil", "none", "not taken", "nicht gemacht", "keine", "entfallt"}
)


def films_apart(table: Table) -> Table:
    """A table in which each film has a row of its own; the same where it has already."""
    found = (
        _groups(without_remarks(table, parted))
        for parted in (by_lines(table), by_numbers(table), by_places(table))
    )
    fitting = [groups for groups in found if groups and _are_films(table, groups)]
    if fitting:  # that which leaves fewest columns over; of two alike the first
        return _apart(table, max(fitting, key=lambda each: sum(map(len, each.values()))))
    alike = _by_like_cells(table)
    return _apart(table, alike, named=True) if alike else table


def _by_like_cells(table: Table) -> dict[str, dict[str, str]]:
    """Columns beside each other with the same few words, whatever is written over them.

    They hold the outcomes of several films, so that what stands over each names its film; a person
    is asked what those names mean.
    """
    if any(_tells_place(table, name) for name in table.headings):
        return {}  # each row has its film already: readings of one film stand beside each other
    run: list[str] = []
    best: list[str] = []
    words: set[str] = set()
    for heading in (*table.headings, ""):
        held = {word_of(cell_text(cell)) for cell in _column(table, heading)} if heading else set()
        if held and _are_outcomes(table, heading) and (not words or _are_alike(words, held)):
            run.append(heading)
            words |= held
        else:
            best = run if len(run) > len(best) and len(words) > 1 else best
            run, words = [], set()
            if held and _are_outcomes(table, heading):
                run, words = [heading], held
    others = (name for name in table.headings if name not in best)
    found = Counter(word_of(cell_text(cell)) for name in best for cell in _column(table, name))
    if (
        len(best) < 2
        or found.total() < 2 * len(found)
        or any(_tells_outcome(table, name) for name in others)
    ):
        return {}
    rows = sum(any(name in row.cells for name in best) for row in table.rows)
    cells = sum(len(_column(table, name)) for name in best)
    return {name: {"": name} for name in best} if cells > SEVERAL_MARKS * rows else {}


def _are_alike(words: set[str], held: set[str]) -> bool:
    return len(words & held) >= 0.5 * min(len(words), len(held))


def _are_outcomes(table: Table, heading: str) -> bool:
    """Whether few short words stand in a column again and again, and its heading says no more."""
    cells = [cell_text(cell) for cell in _column(table, heading)]
    held = Counter(map(word_of, cells))
    if not cells or len(held) > MOST_OUTCOMES or set(held) <= CROSSES:
        return False
    if max(heading_scores(heading).values(), default=0.0) >= EXACT:
        return False
    facts = ColumnFacts(heading, cells, len(table.rows))
    others = (facts.days, facts.clocks, facts.teeth, facts.views, facts.sides, facts.regions)
    return max(others) < 0.5 and facts.length <= LONGEST_OUTCOME


def _tells_place(table: Table, heading: str) -> bool:
    """Whether a column tells of each row which film it is, by its heading and its cells."""
    known, cells = heading_scores(heading), _column(table, heading)
    if not any(known.get(name, 0.0) >= EXACT for name in ("view", "side", "region")):
        return False
    facts = ColumnFacts(heading, cells, len(table.rows))
    return max(facts.views, facts.sides, facts.regions) > MOSTLY and facts.filled > MOSTLY


def _tells_outcome(table: Table, heading: str) -> bool:
    known = heading_scores(heading)
    return any(known.get(name, 0.0) >= EXACT for name in ("rating", "decision")) and bool(
        _column(table, heading)
    )


def _groups(parted: Mapping[str, HeadingPart]) -> dict[str, dict[str, str]]:
    """By film: the heading of each thing; only what several films have."""
    films_of: dict[str, set[str]] = {}
    for part in parted.values():
        films_of.setdefault(part.rest, set()).add(part.slot)
    groups: dict[str, dict[str, str]] = {}
    for heading, part in parted.items():
        if len(films_of[part.rest]) > 1:
            groups.setdefault(part.slot, {}).setdefault(part.rest, heading)
    return groups if len(groups) > 1 else {}


def _are_films(table: Table, groups: Mapping[str, Mapping[str, str]]) -> bool:
    """Whether what is there several times is films, and not two faults or two readings of one."""
    rests = {rest for group in groups.values() for rest in group}
    targets = [
        {name for name in OF_FILMS if heading_scores(rest).get(name, 0.0) >= 1.0} for rest in rests
    ]
    of_films = [each for each in targets if each]
    named = all(view_in(slot) or has_place(slot) for slot in groups)
    facts = {
        heading: ColumnFacts(heading, _column(table, heading), len(table.rows))
        for group in groups.values()
        for heading in group.values()
    }
    counting = any(rises(each) and each.distinct > MOST_OUTCOMES for each in facts.values())
    if named and rests == {""} and not counting:  # numbers that count the rows are no outcomes
        held = [each for each in facts.values() if each.cells]
        if all(each.marks for each in held):
            marks = sum(len(each.cells) for each in held)
            return len(held) > 1 and marks > SEVERAL_MARKS * _rows_marked(table, facts)
        told = [each for each in held if _tells_result(each)]
        full = {view for slot in groups if "-" in (view := view_in(slot) or "")}
        if told and len(full) >= FEWEST_FULL:
            return True  # such columns hold nothing but what became of each film
        return len(told) > 1 and len(told) >= 0.6 * len(held)
    if counting or not of_films:
        return False
    if len(rests) == 1:
        return named or ("view" in of_films[0] and _hold_views(facts.values()))
    is_told = any("view" in each for each in of_films) or not any(
        heading_scores(name).get("view", 0.0) >= EXACT for name in _shared(table, groups)
    )
    return named or (len(of_films) > 1 and is_told)


def _shared(table: Table, groups: Mapping[str, Mapping[str, str]]) -> list[str]:
    held = {heading for group in groups.values() for heading in group.values()}
    return [name for name in table.headings if name not in held and _column(table, name)]


def _tells_result(facts: ColumnFacts) -> bool:
    return (
        facts.are_grades
        or facts.decisions > 0.6
        or facts.flags > 0.8
        or facts.share(_is_result) > MOSTLY
        or facts.faults > 0.5
        or facts.marks
        or facts.share(lambda text: len(plain(grade_word(text))) in {1, 2}) > MOSTLY
    )


def _is_result(text: str) -> bool:
    return is_mark_of_takes(text) or flag(text) is not None or decision_word(text) is not None


def _hold_views(columns: Iterable[ColumnFacts]) -> bool:
    held = [each for each in columns if each.cells]
    return sum(each.views > 0.5 or each.sides > 0.8 or each.are_grades for each in held) > 1


def _column(table: Table, heading: str) -> list[Cell]:
    return [row.cells[heading] for row in table.rows if heading in row.cells]


def _rows_marked(table: Table, facts: Mapping[str, ColumnFacts]) -> int:
    return sum(any(heading in row.cells for heading in facts) for row in table.rows)


def _apart(table: Table, groups: Mapping[str, Mapping[str, str]], *, named: bool = False) -> Table:
    """``named``: whether each group names its film, in words that are known or not."""
    shared = _shared(table, groups)
    held = [name for group in groups.values() for name in group.values()]
    named = named or all(view_in(slot) or has_place(slot) for slot in groups)
    titles = _titles_of(groups, shared)
    marks = all(ColumnFacts(name, _column(table, name), 1).marks for name in held)
    view = next(name for name in (VIEW, "Film", "Film view") if name not in shared)
    remarks = [name for name in shared if heading_scores(name).get("faults", 0.0) >= 1.0]
    teeth = [name for name in shared if heading_scores(name).get("teeth", 0.0) >= 1.0]
    listing = [name for name in shared if named and _lists_films(table, name, groups)]
    films: list[tuple[int, int, Row]] = []
    for at, row in enumerate(table.rows):
        common = {name: row.cells[name] for name in shared if name in row.cells}
        found = False
        told = _remarks(row, remarks, groups) if named else {}
        of_tooth = named and _has_film_of_tooth(row, groups, marks=marks)
        for place, (slot, group) in enumerate(groups.items()):
            own: dict[str, Cell] = {
                titles[rest]: row.cells[heading]
                for rest, heading in group.items()
                if heading in row.cells
            }
            if not any(_is_film(cell, marks=marks) for cell in own.values()):
                continue
            found = True
            lists = {name: cell_text(common[name]) for name in listing if name in common}
            own |= {name: "yes" if _names(text, slot) else None for name, text in lists.items()}
            again = next(filter(None, (_of_second(text, slot) for text in lists.values())), "")
            own = {name: cell for name, cell in own.items() if cell is not None}
            for name, parts in told.items():
                own[name] = parts.get(slot)
            if of_tooth and not _is_of_tooth(slot):
                own.update(dict.fromkeys(teeth))
            if marks and named:
                own.pop(RESULT, None)
            cells = {**common, **dict.fromkeys(listing), **({view: slot} if named else {}), **own}
            cells = {name: cell for name, cell in cells.items() if cell is not None}
            both = with_second(cells, again, [*listing, *told], RESULT)
            films += [(0 if shared else place, at, replace(row, cells=film)) for film in both]
        if not found and common:
            films.append((0, at, replace(row, cells=common)))
    films.sort(key=lambda each: each[:2])
    headings = dict.fromkeys((*shared, *((view,) if named else ()), *titles.values()))
    headings |= {KIND: None} if any(KIND in row.cells for _, _, row in films) else {}
    return replace(table, headings=tuple(headings), rows=tuple(row for _, _, row in films))


def _remarks(
    row: Row, names: Sequence[str], groups: Mapping[str, Mapping[str, str]]
) -> dict[str, dict[str, str]]:
    """What the remarks that all films of a row share say of each."""
    results = {
        slot: " ".join(cell_text(row.cells[name]) for name in group.values() if name in row.cells)
        for slot, group in groups.items()
        if any(_is_film(row.cells.get(name), marks=False) for name in group.values())
    }
    return {
        name: remark_of_each(cell_text(row.cells[name]), results)
        for name in names
        if name in row.cells and results
    }


def _has_film_of_tooth(row: Row, groups: Mapping[str, Mapping[str, str]], *, marks: bool) -> bool:
    return any(
        _is_of_tooth(slot)
        and any(_is_film(row.cells.get(name), marks=marks) for name in group.values())
        for slot, group in groups.items()
    )


def _is_of_tooth(slot: str) -> bool:
    """Whether a column is of films of single teeth."""
    return view_in(slot) == "periapical"


def _lists_films(table: Table, name: str, groups: Iterable[str]) -> bool:
    """Whether a column that all films of a row share names some of them: those taken again."""
    if looks_like_days(_column(table, name)) > MOSTLY:
        return False  # 8.1.25 is no list of teeth
    texts = [cell_text(cell) for cell in _column(table, name)]
    told = sum(any(_names(text, slot) for slot in groups) for text in texts)
    return bool(texts) and told >= MOSTLY * len(texts)


def _names(text: str, slot: str) -> bool:
    """Whether a list such as "R M, L PM" names a film."""
    wanted = _film(slot)
    pieces = (text, *BETWEEN.split(text))
    return any(_film(piece.partition(":")[0]) == wanted for piece in pieces)


def _of_second(text: str, slot: str) -> str:
    """What became of a film made again, told behind its name: "R: A"; empty where it is not."""
    wanted = _film(slot)
    parted = (piece.partition(":") for piece in BETWEEN.split(text))
    return next((rest.strip() for name, _, rest in parted if _film(name) == wanted), "")


@lru_cache(maxsize=5000)
def _film(text: str) -> str:
    placed = view_in(f"bitewing {text}") if has_place(text) else None
    return view_in(text) or placed or plain(text)


def _is_film(cell: Cell, *, marks: bool) -> bool:
    text = cell_text(cell)
    if text.strip() in NO_FILM or plain(text) in NOT_TAKEN:
        return False
    return not (marks and flag(text) is False)


def _titles_of(groups: Mapping[str, Mapping[str, str]], shared: Sequence[str]) -> dict[str, str]:
    """What of a film stands there, by its heading; none a heading that all films share."""
    titles = {}
    for group in groups.values():
        for rest in group:
            name = rest or RESULT
            titles[rest] = name if name not in shared else f"{name} (film)"
    return titles


__all__ = ["RESULT", "films_apart"]
