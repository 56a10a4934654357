"""What a column holds by its cells alone, where its heading tells nothing."""

from collections.abc import Sequence
from itertools import pairwise

from bitewright.sheets.cells import cell_text
from bitewright.sheets.column_facts import ColumnFacts
from bitewright.sheets.dates import parts_of
from bitewright.sheets.view_words import view_in
from bitewright.sheets.vocabulary import EXACT, heading_scores
from bitewright.sheets.word_meanings import decision_word, number_in

FAULTS_ALONE = 0.7
"""Share of faults from which a column is one of faults, whatever stands over it. Our choice."""
ENOUGH_ROWS = 4
"""Rows from which cells alone tell who exposed, or a patient. Our choice."""
MOST_PEOPLE = 15
"""People who expose in one practice, and beyond that a fifth of the rows. Our choice."""
SELDOM = 0.2
"""Share of rows below which words for decisions are a legend beside the table. Our choice."""
PLACES = frozenset({"side", "region"})
OUTCOMES = frozenset({"rating", "decision", "rejected"})
MOST_PLACES = 0.5
"""Share of cells that are a side, beside other sorts of film that have none. Our choice."""
OTHER_FILMS = frozenset({"periapical", "occlusal"})
MOST_GRADES = 5
MANIFOLD = frozenset({"case", "key"})
"""What has more different words than grades have, whatever its heading says."""
TOLD = frozenset({"day", "faults", "decision", "rating", "key", "case"})
"""What is not given up for a view that a column seems to name."""
MOST_LOOKED_AT = 2000
"""Cells of which the years are counted. Our choice."""
DAYS_ALONE, VIEWS_ALONE, MOST_YEARS, FEWEST = 0.85, 0.3, 6, 3
"""Shares of days and of views in a column, years and different days, from which it tells the day
or the view where no other does. Our choice."""
SURE = frozenset({"day", "view", "decision", "faults", "teeth"})
"""What cells tell so well that it is not asked."""


def by_cells_alone(  # noqa: C901, PLR0911  one a thing
    facts: ColumnFacts, target: str, by_cells: float
) -> float:
    """How likely a column holds a thing, its heading unknown; ``by_cells``: as with a heading."""
    if target == "decision":
        said = {decision_word(text) for text in facts.counts} - {None}
        seldom = facts.filled < SELDOM or facts.grades > facts.decisions
        return 0.0 if len(said) < 2 or seldom else by_cells - 1.2
    if target == "faults":
        is_fault = facts.faults >= FAULTS_ALONE and facts.distinct > 1
        return 1.0 if is_fault else 0.0
    if target == "day" and not _are_of_few_years(facts):
        return 0.0
    if target in SURE:
        return by_cells - 1.2 if by_cells >= 2.2 else 0.0
    if max(heading_scores(facts.heading).values(), default=0.0) >= EXACT and target not in PLACES:
        return 0.0  # its heading says that it is something else
    if target == "rating":
        words = facts.length > 2.5
        return (1.4 if words else 1.1) if facts.grades > 0.9 and facts.filled > 0.6 else 0.0
    if target in {"side", "region"}:
        share = facts.sides if target == "side" else facts.regions
        others = facts.share(lambda text: view_in(text) in OTHER_FILMS)  # a PA has no side
        is_place = share > MOST_PLACES and share + others > 0.9
        return 1.3 if is_place and facts.distinct > 1 else 0.0
    if target == "retake":
        return 1.0 if facts.flags > 0.9 and facts.filled < 1.0 and not facts.are_grades else 0.0
    if facts.rows < ENOUGH_ROWS or _is_something_else(facts):
        return 0.0
    if target == "key":
        return 1.1 if rises(facts) else 0.0
    if target == "receptor":
        return 1.04 if facts.receptors > 0.7 else 0.0
    if target == "operator":
        return 1.05 if _few_people(facts) else 0.0
    return 1.02 if target == "case" and _many_people(facts) else 0.0


def _is_something_else(facts: ColumnFacts) -> bool:
    others = (facts.days, facts.views, facts.flags, facts.decisions, facts.grades, facts.kinds)
    return max(*others, facts.sides, facts.regions, facts.faults) > 0.6 or facts.filled < 0.6


def rises(facts: ColumnFacts) -> bool:
    """Whether whole numbers rise from row to row."""
    numbers = [
        found[0] for text in map(cell_text, facts.cells) if (found := number_in(text.rstrip(".")))
    ]
    rising = sum(one < other for one, other in pairwise(numbers))
    return len(numbers) >= 0.95 * len(facts.cells) and rising >= 0.9 * max(1, len(numbers) - 1)


def _few_people(facts: ColumnFacts) -> bool:
    few = 1 < facts.distinct <= max(MOST_PEOPLE, 0.2 * facts.rows) and facts.unlike < 0.4
    letters = facts.share(lambda text: any(each.isalpha() for each in text))
    return few and letters > 0.9 and max(facts.names, facts.codes) > 0.6 and facts.length < 25


def _many_people(facts: ColumnFacts) -> bool:
    many = facts.distinct > 0.3 * len(facts.cells) and facts.length < 30
    words = facts.share(
        lambda text: " " not in text and any(map(str.isdigit, text)) and any(map(str.isalpha, text))
    )
    long_numbers = facts.numbers_between(1000, 1e9)
    return many and max(facts.names, facts.codes, words, long_numbers) > 0.8


def is_outcome(facts: ColumnFacts, target: str) -> bool:
    """Whether a column whose heading is made of its own words holds the outcome."""
    if max(facts.sides, facts.regions, facts.views, facts.kinds) > 0.5:
        return False
    return target == ("decision" if max(facts.flags, facts.decisions) > 0.85 else "rating")


def by_cells_told(found: dict[str, str], columns: Sequence[ColumnFacts]) -> None:
    """Put the day and the view among what columns hold, where only cells tell them.

    What a heading seems to say goes back behind cells that are days, or name views: it may be a
    word that means something else as well.
    """
    told = set(found.values())
    if "day" not in told:
        days = [each for each in columns if _are_days(each)]
        if len(days) == 1:
            found[days[0].heading] = "day"
    if not told & {"view", "side", "region", "teeth"} and not any(
        held.startswith("view:") for held in told
    ):
        views = [each for each in columns if _names_views(each, found.get(each.heading, ""))]
        if views:
            found[max(views, key=lambda each: each.views + each.places).heading] = "view"

    if not told & OUTCOMES and not any(held.startswith(("grade:", "decision:")) for held in told):
        grades = [each for each in columns if _is_graded(each, found.get(each.heading, ""))]
        if len(grades) == 1:
            found[grades[0].heading] = "rating"


def _is_graded(facts: ColumnFacts, target: str) -> bool:
    """Whether cells are grades, under a heading that is no word for what it seems to tell."""
    is_scheme = facts.grades > DAYS_ALONE and 1 < facts.distinct <= MOST_GRADES
    is_said = heading_scores(facts.heading).get(target, 0.0) >= EXACT and target not in MANIFOLD
    return is_scheme and facts.filled > FAULTS_ALONE and not is_said and ":" not in target


def _are_days(facts: ColumnFacts) -> bool:
    """Whether nearly all cells are days, of few years, so that they are no days of birth."""
    if facts.days < DAYS_ALONE or facts.distinct < FEWEST or facts.clocks > SELDOM:
        return False
    if heading_scores(facts.heading).get("private", 0.0) >= EXACT:
        return False
    if facts.numbers_between(0, 1e9) > SELDOM:
        return False
    return _are_of_few_years(facts)


def _are_of_few_years(facts: ColumnFacts) -> bool:
    """Whether days are of few years, as those of birth are not."""
    days = map(parts_of, facts.cells[:MOST_LOOKED_AT])
    return len({parts.year for parts in days if parts is not None and parts.year}) <= MOST_YEARS


def _names_views(facts: ColumnFacts, target: str) -> bool:
    known = heading_scores(facts.heading)
    if any(known.get(name, 0.0) >= EXACT for name in ("retake", "retaken", "is_retake")):
        return False
    if facts.clocks > SELDOM or ":" in target or target in TOLD:
        return False
    letters = facts.share(lambda text: any(map(str.isalpha, text)))
    is_named = max(facts.views, facts.places) >= VIEWS_ALONE and letters > FAULTS_ALONE
    return is_named and facts.filled > SELDOM and facts.distinct > 1


__all__ = ["SURE", "by_cells_alone", "by_cells_told", "is_outcome", "rises"]
