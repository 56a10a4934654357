"""A column of grades that neither its heading nor its words tell: it goes with what was decided."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence

from bitewright.sheets.cells import cell_text, word_of
from bitewright.sheets.column_facts import ColumnFacts
from bitewright.sheets.joining_sheets import Joined
from bitewright.sheets.remarks_told import REMARK_TOLD
from bitewright.sheets.vocabulary import NEARLY, heading_scores
from bitewright.sheets.word_meanings import decision_word, flag

FREE = frozenset({"beside", "note", "private", "level", "room", "side", "region", "reason"})
"""What such a column may be taken for, or nothing at all."""
MOST_GRADES, LONGEST_GRADE = 6, 24
FILLED, OFTEN = 0.75, 0.9
"""Share of rows that have a grade, and of those with one of the common ones. Our choice."""
FEWEST_ROWS, FEWEST_BAD = 12, 3
BAD_AT_WORST, BAD_AT_BEST = 0.6, 0.2
"""Share of bad films from which a word is the worst grade, and up to which one is the best. Our
choice."""
OUTCOMES = frozenset({"decision", "rejected", "retaken", "retake"})
OTHERS = frozenset({"decision", "rejected", "retaken", "retake", "is_retake", "kind", "operator"})


def with_grades_beside(
    table: Joined,
    facts: Sequence[ColumnFacts],
    columns: Mapping[str, str],
    said: Mapping[str, str],
) -> dict[str, str]:
    """What columns hold, one more of them grades where none is and few words go with the outcome.

    Where its heading says grade, its words need not go with anything.
    """
    found = dict(columns)
    for each in facts:
        if found.get(each.heading) == "rating" and each.heading not in said and _decides(each):
            found[each.heading] = "decision" if "decision" not in found.values() else "rating"
    held = set(found.values())
    if "rating" in held or any(each.startswith("grade:") for each in held):
        return found
    is_told_beside = bool({"retaken", "rejected", "retake"} & held)
    stepped = [
        each.heading
        for each in facts
        if found.get(each.heading) == "decision"
        and each.heading not in said
        and _is_named(each)
        and _are_steps(each, is_told_beside=is_told_beside)
    ]
    if len(stepped) == 1:  # "in order, in order with limits, not in order" under "quality"
        found[stepped[0]] = "rating"
        return found
    told = [
        each for each in facts if each.heading not in said and _may_be(each, columns, table.rows)
    ]
    named = [each for each in told if _is_named(each)]
    best = named or [each for each in told if _goes_with_outcome(table, columns, each)]
    if len(best) == 1:
        found[best[0].heading] = "rating"
    return {name: found[name] for name in table.headings if name in found}


def _may_be(facts: ColumnFacts, columns: Mapping[str, str], rows: Sequence[object]) -> bool:
    """Whether a column has a few short words, in nearly every row."""
    if columns.get(facts.heading, "beside") not in FREE or len(rows) < FEWEST_ROWS:
        return False
    if not facts.cells or facts.filled < FILLED or facts.marks:
        return False
    words = Counter(word_of(text) for text in facts.counts.elements())
    common = [count for count in words.values() if count > 1]
    few = 1 < len(common) <= MOST_GRADES and sum(common) >= OFTEN * words.total()
    short = all(len(text) <= LONGEST_GRADE for text in facts.counts)
    known = heading_scores(facts.heading)
    is_other = max((fit for name, fit in known.items() if name in OTHERS), default=0.0) >= NEARLY
    others = (facts.days, facts.clocks, facts.views, facts.kinds, facts.receptors, facts.teeth)
    return few and short and max(others) < 0.5 and (not is_other or _is_named(facts))


def _decides(facts: ColumnFacts) -> bool:
    """Whether its words are decisions and no grades: one says that a remark was made."""
    words = Counter(map(word_of, facts.counts.elements()))
    common = [word for word, count in words.items() if count > SELDOM]
    told = {decision_word(word) for word in common}
    return len(common) <= STEPS and told <= DECISIONS and any(map(REMARK_TOLD.search, common))


DECISIONS = frozenset({"accepted", "accepted-with-a-remark", "rejected", "retaken"})


def _are_steps(facts: ColumnFacts, *, is_told_beside: bool) -> bool:
    """Whether its three words say good, just good enough and bad, and none made again.

    Where another column tells what became of films, three words of outcomes are enough.
    """
    words = Counter(map(word_of, facts.counts.elements()))
    common = [word for word, count in words.items() if count > SELDOM]
    told = {decision_word(word) for word in common}
    if len(common) != STEPS or any(map(REMARK_TOLD.search, common)):  # with a remark: a decision
        return False
    steps = {"accepted", "accepted-with-a-remark", "rejected"}
    return told == steps or (is_told_beside and told <= steps)


SELDOM, STEPS = 1, 3
"""Times that a slip stands there, and words of a scale of three. Our choice."""


def _is_named(facts: ColumnFacts) -> bool:
    """Whether a heading says grade before all else."""
    known = heading_scores(facts.heading)
    said = known.get("rating", 0.0)
    return said >= NEARLY and all(fit < said for name, fit in known.items() if name != "rating")


def _goes_with_outcome(table: Joined, columns: Mapping[str, str], facts: ColumnFacts) -> bool:
    """Whether nearly all films of one word are bad, and hardly any of another."""
    others = {name: held for name, held in columns.items() if held in OUTCOMES}
    counts, bad = Counter[str](), Counter[str]()
    for row in table.rows:
        word = word_of(cell_text(row.cells.get(facts.heading)))
        if word:
            counts[word] += 1
            texts = {name: cell_text(cell) for name, cell in row.cells.items()}
            bad[word] += any(_says_bad(texts.get(name, ""), held) for name, held in others.items())
    shares = list(_shares(counts, bad))
    is_apart = bool(shares) and max(shares) >= BAD_AT_WORST and min(shares) <= BAD_AT_BEST
    return bad.total() >= FEWEST_BAD and is_apart


def _says_bad(text: str, held: str) -> bool:
    """Whether a cell says that a film was not kept, or a mark that it was made again."""
    decision = decision_word(text)
    if decision is not None:
        return decision in {"rejected", "retaken"}
    said = flag(text)
    return said is not None and said == (held != "decision")


def _shares(counts: Counter[str], bad: Counter[str]) -> Iterable[float]:
    return (bad[word] / count for word, count in counts.items() if count > 1)


__all__ = ["with_grades_beside"]
