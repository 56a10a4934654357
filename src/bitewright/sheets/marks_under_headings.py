"""Columns of marks under the names of faults, grades, views or decisions, also unknown ones."""

from collections.abc import Mapping, Sequence

from bitewright.sheets.cells import plain
from bitewright.sheets.column_facts import ColumnFacts
from bitewright.sheets.fault_phrases import parts_in
from bitewright.sheets.grade_words import BEST, MIDDLE, WORST
from bitewright.sheets.grades import grade_meanings
from bitewright.sheets.view_words import view_in
from bitewright.sheets.vocabulary import (
    NEARLY,
    OVER,
    fault_words,
    heading_scores,
    longest_held,
    lowest,
    meanings,
)
from bitewright.sheets.word_meanings import UNKNOWN_FAULT, decision_word, faults_in

FEW_MARKED, FEWEST_MARKED = 0.5, 2
"""Share of rows up to which, and columns from which, marks under words nobody knows are faults. Our
choice."""
ONE_OR_OTHER = 0.05
"""The same for two columns under words nobody knows. Our choice."""
ONE_IN_EACH = 0.15
"""How far marks in several columns may be from one for each row. Our choice."""
_FLAGGED = ("decision", "rejected", "retake", "retaken", "is_retake", "retake_of")
LITTLE = 0.05


def wide_columns(columns: Sequence[ColumnFacts]) -> dict[str, str]:
    """Columns of marks under the names of faults, grades or views."""
    marked = [facts for facts in columns if facts.marks and (facts.filled < 1.0 or facts.has_no)]
    found: dict[str, str] = {}
    grades = {facts.heading: _last_words(facts.heading) for facts in marked}
    scheme = grade_meanings(word for word in grades.values() if len(word) <= 16)
    views = {
        facts.heading: view
        for facts in marked
        if (view := view_in(lowest(facts.heading))) is not None and "-" in view
    }
    if len(views) >= 2:
        found |= {heading: f"view:{view}" for heading, view in views.items()}
    for facts in marked:
        if facts.heading in found:
            continue
        fault = _fault_heading(facts.heading)
        known = heading_scores(facts.heading)
        others = max((known.get(name, 0.0) for name in _FLAGGED), default=0.0)
        if fault is not None and others < 2.5:
            found[facts.heading] = f"fault:{fault}"
    found |= _among_faults(marked, columns, found)
    found |= _unknown_marks([each for each in marked if each.heading not in found], columns)
    found |= _graded_or_again([each for each in marked if each.heading not in found])
    free = {heading: word for heading, word in grades.items() if heading not in found}
    short = {heading: word for heading, word in free.items() if _is_grade_heading(word)}
    if len(short) >= 2 and (scheme is not None or grade_meanings(short.values())):
        short |= _worst_beside(short, marked, found)
        found |= {heading: f"grade:{word}" for heading, word in short.items()}
    found |= _marked_decisions([each for each in marked if each.heading not in found])
    told = {held.partition(":")[0] for held in found.values()}
    left = [each for each in marked if each.heading not in found]
    return found if told & {"grade", "decision"} else found | _one_or_other(left, columns)


def _worst_beside(
    graded: Mapping[str, str], marked: Sequence[ColumnFacts], found: Mapping[str, str]
) -> dict[str, str]:
    """The column of the worst grade under the line over those of the others, one marked in a row.

    Its word may say as well what was decided: "poor", "reject".
    """
    over = {heading.rpartition(OVER)[0] for heading in graded} - {""}
    worst = {
        each.heading: _last_words(each.heading)
        for each in marked
        if each.heading not in graded
        and each.heading not in found
        and each.heading.rpartition(OVER)[0] in over
        and _last_words(each.heading) in WORST
    }
    filled = sum(each.marked for each in marked if each.heading in {*graded, *worst})
    return worst if len(worst) == 1 and abs(filled - 1.0) <= ONE_IN_EACH else {}


def _one_or_other(left: Sequence[ColumnFacts], columns: Sequence[ColumnFacts]) -> dict[str, str]:
    """Two columns beside each other of which each row marks one, under words nobody knows.

    The commoner is of films that were kept, it seems; a person is asked.
    """
    places = {each.heading: at for at, each in enumerate(columns)}
    named = [each for each in left if max(heading_scores(each.heading).values(), default=0.0) < 1.0]
    if any(heading_scores(each.heading).get("decision", 0.0) >= NEARLY for each in columns):
        return {}
    if len(named) != 2 or places[named[1].heading] - places[named[0].heading] != 1:
        return {}
    if abs(named[0].marked + named[1].marked - 1.0) > ONE_OR_OTHER:
        return {}
    rarer, commoner = sorted(named, key=lambda each: each.marked)
    return {commoner.heading: "decision:accepted", rarer.heading: "decision:rejected"}


def _among_faults(
    marked: Sequence[ColumnFacts], columns: Sequence[ColumnFacts], found: Mapping[str, str]
) -> dict[str, str]:
    """Columns of few marks right beside one of a fault, under words that say nothing better."""
    names = [each.heading for each in columns]
    faults = {at for at, name in enumerate(names) if found.get(name, "").startswith("fault:")}
    free = {each.heading: each for each in marked if each.heading not in found}
    told: dict[str, str] = {}
    grown = len(faults) > 1
    while grown:
        grown = False
        for heading, each in free.items():
            at = names.index(heading)
            if heading in told or at in faults or not {at - 1, at + 1} & faults:
                continue
            if each.marked < FEW_MARKED and _may_be_fault(heading):
                told[heading] = f"fault:{UNKNOWN_FAULT}"
                faults.add(at)
                grown = True
    return told


def _may_be_fault(heading: str) -> bool:
    words = _last_words(heading)
    is_outcome = decision_word(words) is not None or grade_meanings([words]) is not None
    is_told = max(heading_scores(heading).values(), default=0.0) >= NEARLY
    return not is_told and view_in(words) is None and not (is_outcome and " " not in words)


def _unknown_marks(marked: Sequence[ColumnFacts], columns: Sequence[ColumnFacts]) -> dict[str, str]:
    """Several columns of marks beside each other under words nobody knows: faults, it seems.

    Only where another column tells the view; which faults they are, a person says.
    """
    places = {each.heading: at for at, each in enumerate(columns)}
    sparse = {places[each.heading] for each in columns if each.marks and each.marked < FEW_MARKED}
    named = [
        each
        for each in marked
        if each.marked < FEW_MARKED
        and _last_words(each.heading) not in meanings("decisions")
        and (
            decision_word(_last_words(each.heading)) is None
            or _in_run(places[each.heading], sparse)
        )
        and max(heading_scores(each.heading).values(), default=0.0)
        < (NEARLY if _in_run(places[each.heading], sparse) else LITTLE)
        and view_in(lowest(each.heading)) is None
        and not _is_grade_heading(_last_words(each.heading))
    ]
    told = any(each.views > FEW_MARKED or each.sides > FEW_MARKED for each in columns)
    if len(named) < FEWEST_MARKED or not told:
        return {}
    return {each.heading: f"fault:{UNKNOWN_FAULT}" for each in named}


def _in_run(place: int, marked: set[int]) -> bool:
    """Whether a column is one of three or more beside each other that hold marks."""
    return any({place + by, place + by + 1, place + by + 2} <= marked for by in (-2, -1, 0))


def _marked_decisions(marked: Sequence[ColumnFacts]) -> dict[str, str]:
    """Two columns or more of which each row marks one, their headings being decisions."""
    told = {
        facts.heading: decision
        for facts in marked
        if (decision := decision_word(_last_words(facts.heading))) is not None
        and not _says_second(facts.heading)
    }
    if len(told) == 2 and "retaken" in told.values():
        return {}  # that a film is a retake, or was retaken, may stand beside any decision
    named = {at: "rejected" if held == "retaken" else held for at, held in told.items()}
    filled = sum(facts.filled for facts in marked if facts.heading in named)
    if len(named) < 2 or len(set(named.values())) < 2 or abs(filled - 1.0) > ONE_IN_EACH:
        return {}
    return {heading: f"decision:{decision}" for heading, decision in named.items()}


def _says_second(heading: str) -> bool:
    """Whether a heading is of films that are second ones, and no outcome: "is a repeat"."""
    known = heading_scores(heading)
    second = max(known.get("is_retake", 0.0), known.get("retake_of", 0.0))
    return second >= NEARLY and second > known.get("retaken", 0.0)


def _graded_or_again(marked: Sequence[ColumnFacts]) -> dict[str, str]:
    """Columns of words for good and fair, and one for films to be made again: one marked in a row.

    Where each row marks one of them, good, fair and again are the outcomes, and two are a fault.
    """
    words = {each.heading: _last_words(each.heading) for each in marked}
    good = [each for each in marked if words[each.heading] in BEST | MIDDLE]
    again = [
        each
        for each in marked
        if decision_word(words[each.heading]) in {"retaken", "rejected"} and each not in good
    ]
    is_whole = all(word not in WORST for word in words.values())
    if len(good) < FEWEST_MARKED or len(again) != 1 or not is_whole:
        return {}  # where bad films have a column of their own, a repeat stands beside it
    graded = sum(each.marked for each in good)
    missing = abs(graded + again[0].marked - 1.0)
    if missing > ONE_IN_EACH or missing >= abs(graded - 1.0):
        return {}
    return {
        **{
            each.heading: "decision:accepted"
            if words[each.heading] in BEST
            else "decision:accepted-with-a-remark"
            for each in good
        },
        again[0].heading: "decision:rejected",
    }


def _last_words(heading: str) -> str:
    return plain(lowest(heading))


def _is_grade_heading(word: str) -> bool:
    meaning = grade_meanings([word])
    return meaning is not None and decision_word(word) != "rejected" and bool(meaning.ratings)


def _fault_heading(heading: str) -> str | None:
    text = plain(lowest(heading))
    if parts_in(text) == {"cut"}:
        return "cone-cut"  # a column of its own for what is cut off is that of the beam, as a rule
    held = text if text in fault_words() else longest_held(text, fault_words())
    if held is not None and len(held) > 3:
        named = faults_in(text, {}).faults  # the whole phrase tells more than one word of it
        return named[0] if len(named) == 1 else fault_words()[held]
    if heading_scores(heading.rpartition(OVER)[0]).get("faults"):  # under a line that says faults
        return faults_in(text, {}).faults[0] if faults_in(text, {}).faults else UNKNOWN_FAULT
    return None


__all__ = ["FEWEST_MARKED", "FEW_MARKED", "wide_columns"]
