"""A sheet understood: what its columns and words mean, and what only a person can say."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from bitewright.errors import BitewrightError, listed_plainly, quoted
from bitewright.sheets.asked_meanings import MADE_TWICE
from bitewright.sheets.cells import Workbook, plain
from bitewright.sheets.column_facts import ColumnFacts
from bitewright.sheets.columns_beside_others import (
    sides_at_odds,
    with_remarks_told,
    without_told_of_people,
)
from bitewright.sheets.dates import DayReading, Order
from bitewright.sheets.days_in_six import with_six_figures_read
from bitewright.sheets.decisions_beside_grades import with_decisions_beside
from bitewright.sheets.films_in_cells import are_slips, each_film, films_counted
from bitewright.sheets.films_on_lines import with_lines_apart
from bitewright.sheets.films_taken_twice import each_take
from bitewright.sheets.films_written_out import with_films_written_out, with_two_things_apart
from bitewright.sheets.glued_marks import says_stroke_is_retake, with_marks_apart
from bitewright.sheets.grades import GradeMeanings
from bitewright.sheets.grades_beside_decisions import with_grades_beside
from bitewright.sheets.grades_with_outcomes import with_outcomes_apart
from bitewright.sheets.guessing_columns import (
    TARGETS,
    WIDE,
    guessed_columns,
    several_films,
)
from bitewright.sheets.joining_sheets import Joined, joined_tables
from bitewright.sheets.legends import (
    grades_explained,
    legend_meanings,
    with_legend,
)
from bitewright.sheets.roles_asked import (
    DAY,
    NO_COLUMN,
    RoleAsked,
    are_people,
    may_name_people,
    roles_in_doubt,
    roles_said,
    with_what_counts,
    without_rivals,
)
from bitewright.sheets.scales_apart import with_grades_of_other_tabs
from bitewright.sheets.sheet_days import day_by, days_of, likely_year, of_titles, years_named
from bitewright.sheets.sheet_grades import sheet_grades
from bitewright.sheets.takes import TWICE, marks_explained
from bitewright.sheets.tallies import is_tally
from bitewright.sheets.unsure_columns import unsure_columns
from bitewright.sheets.views_of_all import view_of_all, view_of_most
from bitewright.sheets.what_holds_below import with_lines_above, with_what_holds


class NoTableError(BitewrightError):
    """No sheet of a file has a table of exposures."""

    def __init__(self, name: str) -> None:
        super().__init__(
            f"No table of exposures was found in {quoted(name)}: give a sheet with a row of "
            "headings and one row for each film under it; counts and tallies cannot be logged."
        )


class NoDayColumnError(BitewrightError):
    """No column of a sheet holds days."""

    def __init__(self, name: str, there: Sequence[str]) -> None:
        super().__init__(
            f"No column of {quoted(name)} holds the days of the films; there are "
            f"{listed_plainly(there)}: name it with --answer column.HEADING=day."
        )


class TallySheetError(BitewrightError):
    """A sheet counts films and does not list them."""

    def __init__(self, name: str) -> None:
        super().__init__(
            f"The sheet {quoted(name)} counts films and does not list them, so there is no film to "
            "log: give a list with one row for each film; for counts of two years, use `bitewright "
            "audit cycle`."
        )


class SeveralFilmsError(BitewrightError):
    """A row of a sheet holds several films."""

    def __init__(self, name: str, columns: Sequence[str]) -> None:
        super().__init__(
            f"One row of {quoted(name)} holds several films, a grade for each under "
            f"{listed_plainly(columns)}: give each film a row of its own, with a column for its "
            "view."
        )


class UnknownColumnAnswerError(BitewrightError):
    """An answer names a column or a meaning that there is not."""

    def __init__(self, given: str, allowed: Sequence[str]) -> None:
        self.given = given
        super().__init__(
            f"The answer names {quoted(given)}, which there is not: name one of "
            f"{listed_plainly(allowed)}."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Given:
    """What a person, or a mapping kept from last month, says.

    Parameters
    ----------
    columns : mapping of heading to what it holds
        Empty text where it is to be left out.
    words : mapping of field to mapping of plain word to meaning
    answers : mapping of question to answer
    must_be_there : tuple of str
        Headings said just now; of those kept from another month any may be gone.
    """

    columns: Mapping[str, str] = field(default_factory=dict)
    words: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    answers: Mapping[str, str] = field(default_factory=dict)
    must_be_there: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Understanding:
    """What is made of a sheet, before any row is read.

    Parameters
    ----------
    name, digest : str
        Of the file.
    table : Joined
    columns : mapping of heading to what it holds
        In the sheet's order; headings that nothing is made of are left out.
    days : DayReading
    day_by : str
        "column"; "weekday" where weekdays stand under lines that name the week; "counted" where a
        spreadsheet's own count of days stands there; "parts" where day, month and year have columns
        of their own; "number" where only the day of the month is written and the month stands
        above; "unknown" where a person has yet to say which column holds them.
    years : mapping of section or tab to (month or None, year or None)
    month, year : int or None
        Those of the titles, where days are written without.
    grades : GradeMeanings or None
    all_views : str or None
        The view of every row, where no column names it.
    usual_view : str or None
        "bitewing" where nearly all that name their view are, so that a side alone is one too.
    words : mapping of field to mapping of plain word to meaning
        As a person said, and as a legend on the sheet does.
    given : Given
    several : int
        Rows that name several films.
    several_likely : str
        "each" where each is a film of its own, "one" where few rows do and a stroke stands between.
    unsure : tuple of str
        Headings that tell nothing, of columns known by their cells alone.
    likely_year : int or None
        The latest in which no day is still to come, where days are written without.
    facts : tuple of ColumnFacts
        What stands in each column.
    said : mapping of heading to what it holds
        As a person says.
    lost : mapping of role to int
        Rows that cannot be taken for their day, their view or their outcome.
    """

    name: str
    digest: str
    table: Joined
    columns: Mapping[str, str]
    days: DayReading
    day_by: str
    years: Mapping[str, tuple[int | None, int | None]]
    month: int | None
    year: int | None
    grades: GradeMeanings | None
    all_views: str | None
    usual_view: str | None
    words: Mapping[str, Mapping[str, str]]
    given: Given
    several: int = 0
    several_likely: str = "each"
    unsure: tuple[str, ...] = ()
    likely_year: int | None = None
    facts: tuple[ColumnFacts, ...] = ()
    said: Mapping[str, str] = field(default_factory=dict)
    lost: Mapping[str, int] = field(default_factory=dict)

    @property
    def roles_asked(self) -> tuple[RoleAsked, ...]:
        """What no column tells for sure: the day, the view or the outcome."""
        return tuple(roles_in_doubt(self.table, self.columns, self.facts, self.said, self.lost))

    @property
    def maybe_people(self) -> list[str]:
        """Columns that may tell who exposed."""
        free = (each for each in self.facts if each.heading not in self.said)
        return [each.heading for each in free if may_name_people(each, self.columns)]

    def headings(self, target: str) -> list[str]:
        """Headings of the columns that hold a thing."""
        return [heading for heading, held in self.columns.items() if held == target]

    def heading(self, target: str) -> str | None:
        """Heading of the one column that holds a thing."""
        return next(iter(self.headings(target)), None)

    def has(self, target: str) -> bool:
        """Whether a column holds a thing."""
        return self.heading(target) is not None

    @property
    def order(self) -> Order | None:
        """The order of day and month, as found or as answered."""
        said = self.given.answers.get("date")
        return Order(said) if said in {order.value for order in Order} else self.days.order

    def wide(self, kind: str) -> dict[str, str]:
        """Columns of marks of one kind: the heading and what a mark in it says."""
        return {
            heading: held.removeprefix(kind)
            for heading, held in self.columns.items()
            if held.startswith(kind)
        }


def understood(workbook: Workbook, given: Given, *, today: int) -> Understanding:
    """What a workbook holds.

    Raises
    ------
    NoTableError, NoDayColumnError, TallySheetError, UnknownColumnAnswerError
    """
    table = _table_of(workbook, today)
    if not table.rows:
        raise NoTableError(workbook.name)
    said = _said_columns(table, given)
    words = with_legend(given.words, legend_meanings(workbook))
    graded = grades_explained(workbook)
    is_stroke = says_stroke_is_retake(workbook)
    table = with_marks_apart(table, graded, words.get("faults", {}), stroke_is_retake=is_stroke)
    facts = _facts(table, words, graded)
    said |= roles_said(facts, given.answers)
    columns = _told_columns(table, facts, said)
    if (alike := with_grades_of_other_tabs(table, columns, said)) is not table:
        table, facts = alike, _facts(alike, words, graded)
        columns = _told_columns(table, facts, said)
    table, columns = with_lines_above(table, columns, given.columns, words.get("view", {}))
    table = with_what_holds(table, columns)
    if is_tally(table, columns):
        raise TallySheetError(workbook.name)
    beside = several_films(facts, columns)
    if beside:
        raise SeveralFilmsError(workbook.name, beside)
    all_views = view_of_all(table, columns)
    several, several_likely = _several(table, columns, all_views or "")
    if given.answers.get("several", several_likely) != "one":
        table = each_film(table, columns, all_views or "", given.words.get("view", {}))
    twice = {
        word: TWICE for word, held in given.words.get("decision", {}).items() if held == MADE_TWICE
    }
    table, columns = each_take(table, columns, {**marks_explained(workbook), **twice})
    columns = with_remarks_told(table, columns, said)
    facts = [each for each in facts if each.heading in table.headings and each.cells]
    by = day_by(table, columns) or "unknown"
    if by == "unknown":
        doubts = {each.role for each in roles_in_doubt(table, columns, facts, said, {})}
        if DAY not in doubts or given.answers.get(DAY) == NO_COLUMN:
            raise NoDayColumnError(workbook.name, table.headings)
    days = days_of(table, columns, by, today)
    return Understanding(
        name=workbook.name,
        digest=workbook.digest,
        table=table,
        columns=columns,
        days=days,
        day_by=by,
        years=years_named(table),
        month=of_titles(table, 0),
        year=of_titles(table, 1),
        grades=sheet_grades(table, columns, graded, workbook, given.answers),
        all_views=all_views,
        usual_view=view_of_most(table, columns),
        words=words,
        given=given,
        several=several,
        several_likely=several_likely,
        unsure=unsure_columns(table, columns, said),
        likely_year=likely_year(table, columns, days, today),
        facts=tuple(facts),
        said=said,
    )


def _several(table: Joined, columns: Mapping[str, str], kind: str) -> tuple[int, str]:
    """Rows that name several films, and whether each is likely a film of its own."""
    several = films_counted(table, columns, kind)
    return several, "one" if several and are_slips(table, columns, kind) else "each"


def _table_of(workbook: Workbook, today: int) -> Joined:
    """The table of a workbook, with what single cells write together taken apart."""
    table = with_six_figures_read(with_lines_apart(joined_tables(workbook)), today)
    return with_outcomes_apart(with_films_written_out(with_two_things_apart(table)))


def _said_columns(table: Joined, given: Given) -> dict[str, str]:
    """What was said of the columns there are, by their headings as they stand there."""
    known = {plain(name) or name: name for name in table.headings}
    said = {}
    for name, target in given.columns.items():
        if target and target not in TARGETS and not target.startswith(WIDE):
            raise UnknownColumnAnswerError(target, TARGETS)
        heading = known.get(plain(name) or name)
        if heading is not None:
            said[heading] = target
        elif name in given.must_be_there:
            raise UnknownColumnAnswerError(name, table.headings)
    return said


def _told_columns(
    table: Joined, facts: Sequence[ColumnFacts], said: Mapping[str, str]
) -> dict[str, str]:
    """What each column holds, guessed, and judged beside the others."""
    people = are_people(table.sheets)
    guessed = guessed_columns(facts, said, person_a_tab=people)
    never = sides_at_odds(table, guessed, said)
    if never:
        guessed = guessed_columns(facts, said, person_a_tab=people, never=never)
    guessed = without_rivals(guessed, said)
    guessed = with_what_counts(facts, guessed, said)
    guessed = with_grades_beside(table, facts, guessed, said)
    guessed = with_decisions_beside(table, facts, guessed, said)
    guessed = without_told_of_people(table, guessed, said)
    guessed = with_remarks_told(table, guessed, said)
    return {name: guessed[name] for name in table.headings if name in guessed}


def _facts(
    table: Joined, words: Mapping[str, Mapping[str, str]], graded: Mapping[str, float]
) -> list[ColumnFacts]:
    """The columns, with the codes that the sheet or a person explains."""
    decided, viewed = (frozenset(words.get(name, {})) for name in ("decision", "view"))
    coded = words.get("faults", {}), frozenset(graded), decided, viewed
    return [
        ColumnFacts(name, table.column(name), len(table.rows), *coded) for name in table.headings
    ]


__all__ = [
    "Given",
    "NoDayColumnError",
    "NoTableError",
    "SeveralFilmsError",
    "TallySheetError",
    "Understanding",
    "UnknownColumnAnswerError",
    "understood",
]
