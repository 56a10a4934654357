"""Which column tells the day, the view or the outcome, and who exposed, where that is open."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from bitewright.sheets.cells import cell_text, plain
from bitewright.sheets.column_facts import ColumnFacts
from bitewright.sheets.dates import month_and_year
from bitewright.sheets.joining_sheets import Joined
from bitewright.sheets.said_above import ABOVE
from bitewright.sheets.view_words import view_in
from bitewright.sheets.vocabulary import NEARLY, WITHIN, heading_scores

DAY, VIEW, OUTCOME = "day-column", "view-column", "outcome-column"
ROLES: Mapping[str, tuple[str, ...]] = {
    DAY: ("day",),
    VIEW: ("view", "side", "region", "teeth"),
    OUTCOME: ("rating", "decision", "rejected", "retaken", "retake"),
}
"""What is asked for, and what a column may hold that tells it."""
NO_COLUMN = "none"
COLUMN = "column "
"""What stands before a heading where a code may be answered as well."""
MANY = 0.25
"""Share of rows that cannot be taken for one reason, from which that is asked. Our choice."""
SELDOM_FILLED = 0.3
"""Share of rows in which a column must be filled to tell the day or the view. Our choice."""
MAYBE_DAYS = 0.3
PEOPLE = frozenset({"operator", "supervisor", "decided_by", "case", "key"})
"""What a heading that says so is believed of, whatever is looked for. Our choice."""
SHORT = 3.5
"""Letters of a cell up to which words that are not known are likely grades. Our choice."""
MOSTLY = 0.7
SELDOM_MARKED = 0.5
"""Share of rows below which a column that says yes marks films that were not kept. Our choice."""
FEWEST_OUTCOMES = 2
OUTCOMES = frozenset({"rating", "decision"})
LONGEST, MOST_WORDS, MOST_PEOPLE = 40, 12, 40
"""Letters in a cell, distinct outcomes and distinct people, beyond which a column tells something
else. Our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RoleAsked:
    """A thing to be told by a column that is in doubt.

    Parameters
    ----------
    role : str
        One of `ROLES`.
    headings : tuple of str
        Columns that may tell it.
    held : str or None
        The column that is taken for it so far.
    rows : int
        Rows that hang on it.
    is_likely : bool
        Whether a heading speaks for the column that is taken.
    is_between : bool
        Whether several columns tell it, with the same words, and only one counts.
    """

    role: str
    headings: tuple[str, ...]
    held: str | None
    rows: int
    is_likely: bool = False
    is_between: bool = False


def roles_said(facts: Sequence[ColumnFacts], answers: Mapping[str, str]) -> dict[str, str]:
    """What the columns hold that were named as those of the day, the view or the outcome."""
    known = {plain(each.heading) or each.heading: each for each in facts}
    said = {}
    for role in ROLES:
        named = answers.get(role, NO_COLUMN)
        found = known.get(plain(named) or named)
        if found is not None and named != NO_COLUMN:
            said[found.heading] = _target(role, found)
    named = answers.get("operator", "")
    if named.startswith(COLUMN):
        text = named.removeprefix(COLUMN)
        found = known.get(plain(text) or text)
        if found is not None:
            said[found.heading] = "operator"
    return said


def _target(role: str, facts: ColumnFacts) -> str:
    if role != OUTCOME:
        return ROLES[role][0]
    known = heading_scores(facts.heading)
    again = next((name for name in ("retaken", "retake") if known.get(name, 0.0) >= NEARLY), None)
    is_graded = facts.are_grades and (known.get("rating", 0.0) >= NEARLY or facts.distinct > 2)
    if again is None and is_graded:
        return "rating"
    are_marks = facts.marks or (facts.filled < SELDOM_MARKED and facts.flags > MOSTLY)
    if again is not None or (are_marks and not (facts.has_no and not facts.marks)):
        return again or "retake"
    if facts.are_grades or facts.is_scale:
        return "rating"
    numbered = facts.share(lambda text: any(map(str.isdigit, text))) > MOSTLY
    if facts.decisions >= MANY or (facts.flags > MOSTLY and not numbered):
        return "decision"
    return "rating" if facts.length <= SHORT or numbered else "decision"


def without_rivals(columns: Mapping[str, str], said: Mapping[str, str]) -> dict[str, str]:
    """What columns hold, without those taken by their cells for what a person says of another."""
    rivals = {"view"} & set(said.values())
    if {"rating", "decision"} & set(said.values()):
        rivals |= {"rating", "decision", "rejected"}
    return {
        heading: target
        for heading, target in columns.items()
        if heading in said
        or target not in rivals
        or heading_scores(heading).get(target, 0.0) >= WITHIN
    }


def roles_in_doubt(
    table: Joined,
    columns: Mapping[str, str],
    facts: Sequence[ColumnFacts],
    said: Mapping[str, str],
    lost: Mapping[str, int],
) -> Iterator[RoleAsked]:
    """What no column tells, or one by which many rows cannot be taken.

    ``said``: what a person said of columns. ``lost``: rows that cannot be taken, by role.
    """
    held = set(columns.values())
    names = {plain(name) or name for name in said}
    free = [each for each in facts if (plain(each.heading) or each.heading) not in names]
    for role, targets in ROLES.items():
        told = [name for name, target in columns.items() if target in targets]
        is_told = bool(told) or _is_marked(role, held)
        many = lost.get(role, 0) > MANY * len(table.rows)
        if role == OUTCOME and told and not any(name in said for name in told):
            rivals = _rivals(told[0], columns, free)
            if rivals:
                yield _between(table, told[0], rivals)
                continue
        if is_told and not many:
            continue
        if any(name in said for name in told):
            continue
        headings = tuple(each.heading for each in free if _may_tell(role, each, columns))
        if headings:
            rows = lost.get(role, 0) if is_told else len(table.rows)
            first = next((name for name in told if name in headings), None)
            yield RoleAsked(role=role, headings=headings, held=first, rows=rows)


COUNTS_MORE = frozenset(
    {"consensus", "agreed", "final", "supervisor", "teacher", "tutor", "examiner", "faculty"}
    | {"konsens", "endgultig", "prufer", "dozent", "oberarzt", "lehrer", "betreuer", "consenso"}
    | {"final", "definitif", "enseignant", "superviseur", "tuteur", "profesor", "tutor", "finale"}
    | {
        "docente",
        "definitivo",
        "orientador",
        "docent",
        "eind",
        "definitief",
        "begeleider",
        "larare",
    }
    | {"handledare", "vejleder", "veileder", "asystent", "ucitel", "second", "2", "staff"}
)
"""Words of the heading of a grade that goes before another. Common practice, no source."""
SAME_WORDS = 0.9
"""Share of the cells of two columns that are words of both, from which one is as good as the other
for an outcome. Our choice."""


def with_what_counts(
    facts: Sequence[ColumnFacts], columns: Mapping[str, str], said: Mapping[str, str]
) -> dict[str, str]:
    """What columns hold, the outcome being that of several whose heading says that it counts."""
    taken = next((name for name, held in columns.items() if held in OUTCOMES), None)
    if taken is None or any(held in OUTCOMES for held in said.values()):
        return dict(columns)
    rivals = _rivals(taken, columns, facts)
    more = [name for name in (taken, *(each.heading for each in rivals)) if _counts_more(name)]
    if len(more) != 1 or more[0] == taken or columns.get(more[0]) in OUTCOMES:
        return dict(columns)
    held = columns[taken]
    return {**{name: what for name, what in columns.items() if name != taken}, more[0]: held}


def _counts_more(heading: str) -> bool:
    return not COUNTS_MORE.isdisjoint(plain(heading).split())


def _rivals(
    heading: str, columns: Mapping[str, str], free: Sequence[ColumnFacts]
) -> list[ColumnFacts]:
    """Columns that hold the same outcomes as the one that is taken, such as a second reader's."""
    taken = next((each for each in free if each.heading == heading), None)
    if taken is None or taken.distinct < FEWEST_OUTCOMES or columns[heading] not in OUTCOMES:
        return []
    words = {plain(text) or text for text in taken.counts}
    return [
        each
        for each in free
        if each is not taken
        and columns.get(each.heading, "beside") in {"beside", *OUTCOMES}
        and 1 < each.distinct <= 2 * len(words)
        and each.filled > SELDOM_FILLED
        and _share_in(each, taken) >= SAME_WORDS
        and _share_in(taken, each) >= SAME_WORDS
    ]


def _share_in(one: ColumnFacts, other: ColumnFacts) -> float:
    """Share of the cells of one column that are words of the other."""
    words = {plain(text) or text for text in other.counts}
    return one.share(lambda text: (plain(text) or text) in words)


def _between(table: Joined, taken: str, rivals: Sequence[ColumnFacts]) -> RoleAsked:
    """Which of several columns counts, told by all rows in which they differ."""
    names = [name for name in table.headings if name in {taken, *(r.heading for r in rivals)}]
    differ = sum(
        len({plain(cell_text(row.cells.get(name))) for name in names}) > 1 for row in table.rows
    )
    more = [name for name in names if _counts_more(name)]
    first = more[-1] if more else taken
    return RoleAsked(
        role=OUTCOME,
        headings=tuple(names),
        held=first,
        rows=differ,
        is_likely=len(more) == 1,
        is_between=True,
    )


def _is_marked(role: str, held: set[str]) -> bool:
    kinds = {VIEW: ("view:",), OUTCOME: ("grade:", "decision:")}.get(role, ())
    return bool(kinds) and any(target.startswith(kinds) for target in held)


def _may_tell(role: str, facts: ColumnFacts, columns: Mapping[str, str]) -> bool:
    target = columns.get(facts.heading, "")
    if facts.heading in ABOVE.values() or (target in PEOPLE and _is_said(facts.heading, target)):
        return False
    if target == "day" or facts.own_days > MAYBE_DAYS:
        return role == DAY
    if role == DAY:
        numbers = facts.days_of_month if lists_patients(columns) else 0.0
        likely = max(facts.days, facts.serials, numbers)
        return likely >= MAYBE_DAYS or facts.weekdays
    if role == VIEW:
        is_filled = facts.filled >= SELDOM_FILLED or target in ROLES[VIEW]
        is_named = facts.share(_has_letter) >= MAYBE_DAYS >= facts.clocks
        is_filled = is_filled and (is_named or target in ROLES[VIEW])
        return is_filled and facts.unlike < 0.9 and facts.length <= LONGEST
    few = facts.distinct <= MOST_WORDS or facts.is_scale or target in {"", *ROLES[OUTCOME]}
    return few and facts.clocks <= MAYBE_DAYS and facts.length <= 2 * LONGEST


def likeliest_first(asked: RoleAsked, facts: Sequence[ColumnFacts]) -> list[str]:
    """The columns that may tell a thing, the likeliest first by what stands in them."""
    known = {each.heading: each for each in facts}

    def fit(heading: str) -> float:
        held = known[heading]
        if asked.role == DAY:
            return max(held.days, held.serials, held.days_of_month / 2) + held.filled
        if asked.role == VIEW:
            return max(held.views, held.sides, held.places) + held.filled
        said = max(held.grades, held.decisions, held.few_words, held.in_heading, held.is_scale)
        return said + held.filled - max(held.views, held.sides, held.places)

    return sorted(asked.headings, key=fit, reverse=True)


def lists_patients(columns: Mapping[str, str]) -> bool:
    """Whether a heading says patient, so that rows are films and no counts of films."""
    return any(
        held == "case" and heading_scores(name).get("case", 0.0) >= WITHIN
        for name, held in columns.items()
    )


def _is_said(heading: str, target: str) -> bool:
    """Whether a heading is a word for what a column is taken to hold."""
    return heading_scores(heading).get(target, 0.0) >= NEARLY


def _has_letter(text: str) -> bool:
    return any(map(str.isalpha, text))


def may_name_people(facts: ColumnFacts, columns: Mapping[str, str]) -> bool:
    """Whether a column may tell who exposed."""
    target = columns.get(facts.heading, "")
    if facts.heading in ABOVE.values() or target in {"day", "view", "rating", "decision", "faults"}:
        return False
    letters = facts.share(_has_letter)
    return (
        1 < facts.distinct <= MOST_PEOPLE
        and facts.unlike < 0.5
        and facts.filled > SELDOM_FILLED
        and letters > 0.5
        and facts.length <= LONGEST
        and max(facts.days, facts.flags) < 0.5
    )


def are_people(tabs: Sequence[str]) -> bool:
    """Whether tabs may be named for people: by letters alone, and no words for something else."""
    return len(tabs) > 1 and all(map(_may_be_person, tabs))


def _may_be_person(tab: str) -> bool:
    return (
        plain(tab).replace(" ", "").isalpha()
        and max(heading_scores(tab).values(), default=0.0) < NEARLY
        and view_in(tab) is None
        and not any(month_and_year(tab))
    )


__all__ = [
    "COLUMN",
    "DAY",
    "MANY",
    "NO_COLUMN",
    "OUTCOME",
    "ROLES",
    "VIEW",
    "RoleAsked",
    "are_people",
    "likeliest_first",
    "lists_patients",
    "may_name_people",
    "roles_in_doubt",
    "roles_said",
    "with_what_counts",
    "without_rivals",
]
