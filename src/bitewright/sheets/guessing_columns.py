"""What each column of a table holds: by its heading and by what stands in it."""

from collections import Counter
from collections.abc import Collection, Iterable, Mapping, Sequence

from bitewright.sheets.best_assignment import best_assignment
from bitewright.sheets.cells import plain, word_of
from bitewright.sheets.cells_alone import by_cells_alone, by_cells_told, is_outcome, rises
from bitewright.sheets.column_cells import MOSTLY, fit_of_cells
from bitewright.sheets.column_facts import ColumnFacts
from bitewright.sheets.films_beside import RESULT
from bitewright.sheets.marks_under_headings import FEW_MARKED, FEWEST_MARKED, wide_columns
from bitewright.sheets.second_told import is_surely_second
from bitewright.sheets.vocabulary import (
    EXACT,
    NEARLY,
    WITHIN,
    heading_scores,
    lowest,
    meanings,
)
from bitewright.sheets.word_meanings import decision_word, flag, is_nothing

ENOUGH = 1.0
"""Score from which a guess is made. Our choice."""
ENOUGH_CELLS = 12
"""Cells from which words must come again to be a sheet's own. Our choice."""
OF_RESULT = 2.0
"""How much it counts for grades and for decisions that a column holds the outcomes of films."""
OF_TRIES = 2.5
"""How much it counts that cells say which try each film was. Our choice."""
THINGS = frozenset({"level", "receptor", "holder", "reason"})
LITTLE = 0.05
"""What a guess counts that is only just made, beside others. Our choice."""
SEVERAL = frozenset(
    {"view", "side", "region", "teeth", "case", "faults", "note", "private", "beside"}
)
"""What several columns may hold together."""
PLACES = frozenset({"view", "side", "region", "teeth"})
LEFT_ALONE = frozenset({"note", "private", "beside"})
"""Columns that are not taken: what may name somebody, and what the log has no field for."""
TARGETS = (
    *(
        "key",
        "day",
        "month",
        "year",
        "case",
        "operator",
        "supervisor",
        "decided_by",
        "level",
        "room",
    ),
    *("receptor", "holder", "view", "side", "region", "teeth", "reason", "rating", "faults"),
    *(
        "fault_size",
        "decision",
        "rejected",
        "retake",
        "retaken",
        "is_retake",
        "kind",
        "retake_of",
        "tries",
    ),
    *("tube_voltage_kv", "tube_current_ma", "exposure_time_s", "note", "private", "beside"),
    "void",
)
OF_FAULTS = frozenset(
    {
        "fault",
        "faults",
        "fault code",
        "fault type",
        "error",
        "errors",
        "error type",
        "reject reason",
    }
    | {"reason for rejection", "type of fault", "fehler", "fehlerart", "fehlerursache", "mangel"}
    | {
        "defaut",
        "defauts",
        "erreur",
        "erreurs",
        "motif du rejet",
        "cause du rejet",
        "error",
        "errores",
    }
    | {"defecto", "defectos", "fallo", "fallos", "motivo de rechazo", "motivo del rechazo"}
)
"""Headings under which every word is a fault, also one that is not known."""
DASHES = frozenset("-\u2013\u2014 ")
WIDE = ("fault:", "grade:", "view:", "decision:")
"""A column of marks, its heading the fault, the grade, the view or the decision that is marked."""


def guessed_columns(
    columns: Sequence[ColumnFacts],
    given: Mapping[str, str],
    *,
    person_a_tab: bool = False,
    never: Collection[tuple[str, str]] = (),
) -> dict[str, str]:
    """What each column holds, by heading; those left out hold nothing that can be told.

    ``given``: what a person said of columns, by heading; an empty text leaves one out.
    ``never``: headings, each with what it does not hold, as the rows show.
    ``person_a_tab``: whether tabs tell who exposed, so that only a heading that says so does too.
    """
    found = {name: target for name, target in given.items() if target}
    free = [facts for facts in columns if facts.heading not in given and facts.cells]
    for heading, target in wide_columns(free).items():
        found.setdefault(heading, target)
    scores = {
        (facts.heading, target): score
        for facts in free
        if facts.heading not in found
        for target in TARGETS
        if (facts.heading, target) not in never
        and (score := _score(facts, target)) >= ENOUGH
        and not (person_a_tab and target == "operator" and score < NEARLY)
    }
    found |= _chosen(scores, found.values())
    return _settled(found, {facts.heading: facts for facts in columns}, given)


def _chosen(scores: Mapping[tuple[str, str], float], held: Iterable[str]) -> dict[str, str]:
    """The targets of all columns together whose scores sum to most; ``held``: those there are.

    A thing that several columns may hold has a place for each whose heading says so, and one for
    a column that tells it by its cells alone.
    """
    told = set(held)
    weights: dict[tuple[str, tuple[str, str]], float] = {}
    for (heading, target), score in scores.items():
        by_heading = bool(heading_scores(heading).get(target))
        is_free = target in SEVERAL and (by_heading or target in PLACES)
        if target in told and not is_free:
            continue
        weights[heading, (target, heading if is_free else "")] = score - ENOUGH + LITTLE
    chosen = {heading: target for heading, (target, _) in best_assignment(weights).items()}
    said = {target for heading, target in chosen.items() if heading_scores(heading).get(target)}
    return {
        heading: target
        for heading, target in chosen.items()
        if target not in SEVERAL - PLACES
        or target not in said
        or heading_scores(heading).get(target)
    }


def _settled(
    found: dict[str, str], facts: Mapping[str, ColumnFacts], given: Mapping[str, str]
) -> dict[str, str]:
    """Guesses looked over together."""
    by_cells_told(found, [each for each in facts.values() if each.heading not in given])
    held = {target: heading for heading, target in found.items()}
    if "retake" in held and "key" in held and "retake_of" not in held:
        keys = set(facts[held["key"]].counts)
        column = facts[held["retake"]]
        if column.share(lambda text: text in keys) > 0.8 and column.flags < 0.8:
            found[held["retake"]] = "retake_of"
    _with_repeats(found, facts, given)
    held = {target: heading for heading, target in found.items()}
    if "key" in held and "retake_of" not in held:
        found |= _of_earlier_rows(found, facts, given, facts[held["key"]])
    if "decision" in held and not {"retake", "retaken"} & set(held):
        column = facts[held["decision"]]
        words = [
            text
            for text in column.counts
            if decision_word(text) or not is_nothing(text) or _is_tick_or_cross(text)
        ]
        if words and all(decision_word(text) == "retaken" for text in words):
            found[held["decision"]] = "retaken"  # what was done, where something was
    _name_operators(found, facts)
    if "key" in held and "case" not in held and not rises(facts[held["key"]]):
        found[held["key"]] = "case"  # numbers that do not count the films are those of patients
    _place_alone(found)
    if "day" not in held:
        for target in {"month", "year"} & set(held):
            found[held[target]] = "beside"
    return found


def _with_repeats(
    found: dict[str, str], facts: Mapping[str, ColumnFacts], given: Mapping[str, str]
) -> None:
    """Columns that say of their films that they were taken again, beside what else they say."""
    held = {target: heading for heading, target in found.items() if heading not in given}
    if "rating" in held and not OUTCOMES & set(found.values()):
        found |= _decided_with_repeats(facts[held["rating"]])
    if "retake" in held and _tells_both(facts[held["retake"]]):
        found[held["retake"]] = "retaken"  # and says in other words which films are the second


OUTCOMES = frozenset({"decision", "rejected", "retaken", "retake"})


def _decided_with_repeats(column: ColumnFacts) -> dict[str, str]:
    """A column named for quality that tells outcomes: in order, not in order, that and repeated."""
    told = Counter[str]()
    for text, count in column.counts.items():
        told[decision_word(text) or ""] += count
    known = sum(told[each] for each in DECIDED)
    is_told = bool(told["retaken"] and told["accepted"]) and known >= MOSTLY * told.total()
    return {column.heading: "decision"} if is_told else {}


DECIDED = ("accepted", "rejected", "retaken")


def _tells_both(column: ColumnFacts) -> bool:
    """Whether a column says of some films that they were taken again, of others that they are it.

    "taken" and "is repeat" are words of one column; so are "RT" and "of 12".
    """
    second = sum(count for text, count in column.counts.items() if is_surely_second(text))
    others = {word_of(text) for text in column.counts if not is_surely_second(text)}
    told = {word for word in others if not is_nothing(word) and flag(word) is not False}
    return second >= FEWEST_MARKED and len(told) == 1


def _is_tick_or_cross(text: str) -> bool:
    return flag(text) is not None and not set(text) <= DASHES


def _of_earlier_rows(
    found: Mapping[str, str],
    facts: Mapping[str, ColumnFacts],
    given: Mapping[str, str],
    keys: ColumnFacts,
) -> dict[str, str]:
    """The column in which few rows have the number of another row: the film that each repeats."""
    for heading, held in facts.items():
        target = found.get(heading, "beside")
        is_free = heading not in given and target in MAY_REPEAT and heading != keys.heading
        few = len(held.cells) >= FEWEST_MARKED and held.filled < FEW_MARKED
        if is_free and few and heading_scores(heading).get(target, 0.0) < EXACT:
            differ = held.unlike > MOSTLY and held.numbers_between(1, 1e6) > MOSTLY
            if differ and held.distinct > 1 and held.share(lambda text: text in keys.counts) == 1:
                return {heading: "retake_of"}
    return {}


MAY_REPEAT = frozenset(
    {"operator", "supervisor", "decided_by", "retake", "retaken", "is_retake", "tries"}
    | {"room", "receptor", "case", "level", "note", "beside", "private"}
)
"""What a column of such numbers may be taken for by its heading."""


def _place_alone(found: dict[str, str]) -> None:
    """A region without a side beside it is all that tells the view."""
    if not {"view", "side"} & set(found.values()):
        for heading, target in found.items():
            if target == "region":
                found[heading] = "view"


def _name_operators(found: dict[str, str], facts: Mapping[str, ColumnFacts]) -> None:
    """Few names over many rows are those of the people who expose, where no column tells them."""
    if "operator" in found.values():
        return
    for heading, target in found.items():
        column = facts[heading]
        few = len(column.counts) <= max(4, 0.2 * len(column.cells)) and column.rows >= 12
        if target == "case" and few and column.names > 0.8:
            found[heading] = "operator"
            return


def several_films(columns: Sequence[ColumnFacts], found: Mapping[str, str]) -> list[str]:
    """Columns named for views that hold grades or decisions, so that a row is several films."""
    if "rating" in found.values() or "decision" in found.values():
        return []
    places = meanings("sides").keys() | meanings("regions").keys() | meanings("films").keys()
    named = [
        facts.heading
        for facts in columns
        if facts.cells
        and not facts.marks
        and any(word in places for word in plain(facts.heading).split())
        and (facts.are_grades or facts.decisions > 0.8)
    ]
    return named if len(named) >= 2 else []


def _by_heading(facts: ColumnFacts, target: str) -> float:
    if facts.heading == RESULT:  # a name that was given to it, and no word of the sheet
        return OF_RESULT if target in {"rating", "decision"} else 0.0
    return heading_scores(facts.heading).get(target, 0.0)


def _are_graded(facts: ColumnFacts) -> bool:
    """Whether words for decisions are grades, as some or all of them are grades alone."""
    is_both = facts.heading == RESULT and facts.grades >= facts.decisions
    return facts.grades > facts.decisions or (is_both and facts.distinct > FEWEST_MARKED)


def _score(facts: ColumnFacts, target: str) -> float:  # noqa: C901, PLR0911, PLR0912  one a way
    """How likely a column holds a thing; nought or less where it does not."""
    by_heading = _by_heading(facts, target)
    if (facts.clocks > 0.7 and target not in LEFT_ALONE) or facts.is_legend:
        return 0.0
    if facts.tries > MOSTLY and facts.filled > FEW_MARKED:
        return OF_TRIES if target == "is_retake" else 0.0
    if target in THINGS and facts.marks and by_heading < NEARLY:
        return 0.0  # no thing is called x
    if target == "view" and by_heading and facts.told_views > 0.85 and facts.distinct > 1:
        return by_heading + 1.5
    by_cells = fit_of_cells(facts, target)
    if facts.explained > 0.85 and _is_of_codes(facts) and not _is_named_otherwise(facts):
        return max(by_heading, 1.5) + 1.5 if target == "rating" else 0.0
    if facts.told_decided > 0.85 and _is_of_codes(facts):
        return max(by_heading, 1.5) + 1.5 if target == "decision" else 0.0
    if facts.in_heading > 0.85 and facts.filled > 0.6 and is_outcome(facts, target):
        return 3.0
    if by_heading == 0.0:
        return by_cells_alone(facts, target, by_cells)
    if target == "faults" and by_heading >= NEARLY and facts.are_numbered:
        return by_heading + NUMBERED
    if target == "faults" and by_heading >= EXACT and plain(lowest(facts.heading)) in OF_FAULTS:
        by_cells = max(by_cells, 0.0)
    if target in {"rating", "decision"} and by_cells < 0 and by_heading >= WITHIN:
        by_cells = _of_own_words(facts, target)
    if target in OWN_WORDS and by_cells < 0 and by_heading >= NEARLY:
        is_place = target in PLACES and by_heading >= EXACT and _is_only(facts, target)
        if _tells_nothing_else(facts) or (is_place and _may_be_places(facts)):
            by_cells = UNKNOWN_WORDS
    if target == "decision" and _are_graded(facts):
        by_cells = min(by_cells, 0.8)  # words of which some are grades alone are grades
    return by_heading + by_cells


def _is_of_codes(facts: ColumnFacts) -> bool:
    """Whether most rows have one of several words."""
    return facts.distinct > 1 and facts.filled > 0.6


def _is_named_otherwise(facts: ColumnFacts) -> bool:
    """Whether a heading is a word for something that is no grade."""
    known = {} if facts.heading == RESULT else heading_scores(facts.heading)
    return max(known.values(), default=0.0) >= NEARLY and not known.get("rating")


def _of_own_words(facts: ColumnFacts, target: str) -> float:
    """A column of a few words that are not known, under a heading of grades or decisions."""
    is_said = heading_scores(facts.heading).get("rating", 0.0) >= NEARLY or facts.heading == RESULT
    sides = 0.0 if is_said and facts.length <= SHORT else facts.sides  # G is good, and gauche
    others = (facts.days, facts.views, sides, facts.faults, facts.teeth, facts.flags)
    if facts.few_words < 0.85 or max(others) > 0.4 or facts.numbers_between(0, 1e9) > 0.5:
        return -5.0
    if target == "decision":
        return 0.5
    if facts.decisions > KNOWN_DECISIONS:
        return -5.0
    return 0.6 if facts.length <= LONGEST_GRADE else 0.4


SHORT = 2.0
"""Letters of a cell up to which it is a code that may be that of a side as well. Our choice."""
KNOWN_DECISIONS = 0.9
"""Share of cells that are words for decisions, from which they are no grades of one's own."""
OWN_WORDS = frozenset({"view", "side", "region", "faults"})
"""What may be told in words that nobody else uses, under a heading that says so."""
LONGEST_GRADE = 10.0
"""Letters of a cell, on average, beyond which words nobody knows are decisions, where a heading
leaves open whether they are grades. Our choice."""
MOST_PLACES = 8
NUMBERED = 0.5
"""How much numbers count that may be those of faults, under a heading that says faults."""
UNKNOWN_WORDS = -0.8
"""How much cells count that hold words nobody knows. Our choice."""


def _tells_nothing_else(facts: ColumnFacts) -> bool:
    """Whether the cells are words that are not known to mean another thing."""
    others = (facts.days, facts.clocks, facts.decisions, facts.flags, facts.grades, facts.receptors)
    numbers = facts.numbers_between(0, 1e9)
    again = facts.unlike < 0.5 or len(facts.cells) < ENOUGH_CELLS
    return max(others) < 0.4 and numbers < 0.9 and again


def _is_only(facts: ColumnFacts, target: str) -> bool:
    """Whether a heading says one place, and nothing that is none."""
    known = heading_scores(facts.heading)
    return known.get(target, 0.0) >= max(known.values()) and known.keys() <= PLACES


def _may_be_places(facts: ColumnFacts) -> bool:
    """Whether few words come again and again, as those for places do, whatever else they mean."""
    others = (facts.days, facts.clocks, facts.decisions)
    return 1 < facts.distinct <= MOST_PLACES and facts.unlike < 0.5 and max(others) < 0.4


__all__ = ["LEFT_ALONE", "TARGETS", "WIDE", "guessed_columns", "several_films"]
