"""What a sheet leaves open: few questions, each with the answers there may be and a proposal."""

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from bitewright.errors import BitewrightError, quoted
from bitewright.log.field_forms import CODE
from bitewright.log.fields import FIELDS
from bitewright.sheets.asked_words import AskedWord, asked_words
from bitewright.sheets.cells import cell_text, plain
from bitewright.sheets.dates import Order
from bitewright.sheets.grades import decided_by_rule, decision_rules, grade_word, is_rule
from bitewright.sheets.marked_columns import MarkedColumn, is_filled
from bitewright.sheets.row_views import written_view
from bitewright.sheets.tabs_of_people import are_people
from bitewright.sheets.understanding import Understanding
from bitewright.sheets.view_words import view_in
from bitewright.sheets.word_meanings import decision_word, flag, is_nothing

MOST = 5
"""Questions asked at most; of any others the proposal is taken, and told."""
NOBODY_SAID = "practice"
YEAR = re.compile(r"(?:19|20)\d{2}")


class Ask(StrEnum):
    """What may be asked, the weightiest first."""

    DATE = "date"
    COLUMNS = "columns"
    DECISIONS = "decisions"
    SEVERAL = "several"
    VIEW_WORDS = "view-words"
    DECISION_WORDS = "decision-words"
    RETAKE = "retake"
    BLANKS = "blanks"
    VIEW = "view"
    YEAR = "year"
    OPERATOR = "operator"
    FAULT_WORDS = "fault-words"
    DECIDED_BY = "decided-by"
    BITEWINGS = "bitewings"


WAS, IS = "was", "is"
AS_PROPOSED, EACH_SAID = "as-proposed", "each"
LEFT = "left out"
EACH, ONE = "each", "one"
OTHERS, NOT_SAID = "accept others", "not-said"
UNDECIDED, LEAVE_OUT = "undecided", "leave-out"
FEW_CELLS = 2
"""Cells up to which a row is empty but for its day and its number. Our choice."""
QUIET = ("note", "blanks")
"""What may be answered though it is not asked: remarks kept, rows without a grade taken."""
SIDE_ALONE = frozenset({"right-bitewing", "left-bitewing"})
SEVERAL = 0.03
"""Share of rows from which a question is worth asking. Our choice."""


class AnswerError(BitewrightError):
    """An answer is none that a question takes."""

    def __init__(self, asked: str, given: str, allowed: str) -> None:
        self.asked = asked
        super().__init__(
            f"{quoted(given)} does not answer the question {quoted(asked)}: give {allowed}."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetQuestion:
    """Something that only a person can say.

    Parameters
    ----------
    ask : Ask
    answers : tuple of str
        Those there are, or the likeliest where others are taken too.
    proposed : str or None
        None where nothing speaks for any.
    given : str or None
        What was answered.
    about : tuple of str
        Headings or words that it is about.
    words : tuple of AskedWord
        Those whose meaning is asked.
    """

    ask: Ask
    answers: tuple[str, ...]
    proposed: str | None
    given: str | None
    about: tuple[str, ...] = ()
    words: tuple[AskedWord, ...] = ()


def questions_of(sheet: Understanding) -> tuple[SheetQuestion, ...]:
    """The questions, at most five, with the answers given so far.

    Raises
    ------
    AnswerError
    """
    asked = [question for question in _all(sheet) if question is not None]
    _check(sheet, asked)
    return tuple(asked[:MOST])


def settled_answers(sheet: Understanding) -> dict[str, str]:
    """The answer of every question: as given, or else as proposed."""
    asked = [question for question in _all(sheet) if question is not None]
    answers = {each.ask.value: each.given or each.proposed for each in asked}
    kept = {name: text for name, text in sheet.given.answers.items() if name in QUIET}
    return {**{name: text for name, text in answers.items() if text is not None}, **kept}


def _all(sheet: Understanding) -> tuple[SheetQuestion | None, ...]:
    return (
        _date(sheet),
        _columns(sheet),
        _decisions(sheet),
        _several(sheet),
        _words(sheet, Ask.VIEW_WORDS, "view"),
        _words(sheet, Ask.DECISION_WORDS, "decision"),
        _retake(sheet),
        _blanks(sheet),
        _view(sheet),
        _year(sheet),
        _operator(sheet),
        _words(sheet, Ask.FAULT_WORDS, "faults"),
        _decided_by(sheet),
        _bitewings(sheet),
    )


def _question(
    sheet: Understanding,
    ask: Ask,
    answers: Sequence[str],
    proposed: str | None,
    about: Sequence[str] = (),
) -> SheetQuestion:
    return SheetQuestion(
        ask=ask,
        answers=tuple(answers),
        proposed=proposed,
        given=sheet.given.answers.get(ask.value),
        about=tuple(about),
    )


def _date(sheet: Understanding) -> SheetQuestion | None:
    if sheet.days.order is not None:
        return None
    heading = sheet.heading("day") or ""
    some = list(dict.fromkeys(map(cell_text, sheet.table.column(heading))))[:3]
    return _question(sheet, Ask.DATE, [order.value for order in Order], None, (heading, *some))


def _columns(sheet: Understanding) -> SheetQuestion | None:
    """Asked where cells alone tell what columns hold."""
    if not sheet.unsure:
        return None
    about = tuple(f"{name}: {sheet.columns.get(name, LEFT)}" for name in sheet.unsure)
    return _question(sheet, Ask.COLUMNS, (AS_PROPOSED,), AS_PROPOSED, about)


def _several(sheet: Understanding) -> SheetQuestion | None:
    """Asked where rows name several films."""
    if not sheet.several:
        return None
    return _question(sheet, Ask.SEVERAL, (EACH, ONE), EACH, (str(sheet.several),))


def _words(sheet: Understanding, ask: Ask, name: str) -> SheetQuestion | None:
    """Asked where words are not known; answered all at once, or each by itself."""
    words = asked_words(sheet, name)
    if not words:
        return None
    said = sheet.given.words.get(name, {})
    given = sheet.given.answers.get(ask.value)
    if given is None and all(plain(each.word) in said for each in words):
        given = EACH_SAID
    return SheetQuestion(
        ask=ask,
        answers=(AS_PROPOSED,),
        proposed=AS_PROPOSED,
        given=given,
        about=tuple(f"{each.word} ({each.count}): {each.proposed or LEFT}" for each in words),
        words=words,
    )


def _year(sheet: Understanding) -> SheetQuestion | None:
    if not sheet.days.has_no_year or sheet.year is not None:
        return None
    if all(
        sheet.years.get(row.section, (None, None))[1] or sheet.years.get(row.sheet, (None, None))[1]
        for row in sheet.table.rows
    ):
        return None
    likely = None if sheet.likely_year is None else str(sheet.likely_year)
    return _question(sheet, Ask.YEAR, (likely,) if likely else (), likely)


def has_decisions(sheet: Understanding) -> bool:
    """Whether columns say what was decided."""
    columns = any(sheet.has(target) for target in ("decision", "rejected"))
    return columns or bool(sheet.wide("decision:"))


def _decisions(sheet: Understanding) -> SheetQuestion | None:
    if has_decisions(sheet):
        return None
    if sheet.grades is None:
        again = sheet.heading("retaken") or sheet.heading("retake")
        if again is None or sheet.given.answers.get("retake") == IS:
            return None
        return _question(sheet, Ask.DECISIONS, (OTHERS, "undecided"), OTHERS, (again,))
    rules = decision_rules(sheet.grades)
    return _question(sheet, Ask.DECISIONS, rules, rules[0], sheet.grades.worst_first)


def _retake(sheet: Understanding) -> SheetQuestion | None:
    heading = sheet.heading("retake")
    if heading is None:
        return None
    return _question(sheet, Ask.RETAKE, (WAS, IS), _likely_retake(sheet, heading), (heading,))


def _likely_retake(sheet: Understanding, heading: str) -> str | None:
    """Whether the rows marked are the bad films, or good ones made after them."""
    column, marked, bad = MarkedColumn(sheet, heading), 0, 0
    for row in sheet.table.rows:
        if not column.says(cell_text(row.cells.get(heading))):
            continue
        marked += 1
        bad += _is_bad(sheet, {name: cell_text(cell) for name, cell in row.cells.items()})
    if not marked:
        return WAS
    if bad >= 0.7 * marked:
        return WAS
    return IS if bad <= 0.3 * marked else None


def _is_bad(sheet: Understanding, texts: Mapping[str, str]) -> bool:
    grade = sheet.heading("rating")
    if grade is not None and sheet.grades is not None and texts.get(grade):
        rule = decision_rules(sheet.grades)[0]
        word = grade_word(texts[grade])
        return decided_by_rule(rule, word, sheet.grades.same) == "rejected"
    decided = sheet.heading("decision")
    if decided is not None and texts.get(decided):
        return (
            decision_word(texts[decided]) in {"rejected", "retaken"}
            or flag(texts[decided]) is False
        )
    return any(not is_nothing(texts.get(name, "")) for name in sheet.headings("faults"))


def _bitewings(sheet: Understanding) -> SheetQuestion | None:
    """Asked where many bitewings are written with their side alone."""
    if sheet.all_views is None and not sheet.has("view"):
        return None
    counts = Counter(written_view(sheet, row) for row in sheet.table.rows)
    said = sheet.words.get("view", {})
    open_ones = {
        text: count
        for text, count in counts.items()
        if view_in(text) in SIDE_ALONE and plain(text) not in said
    }
    if sum(open_ones.values()) < SEVERAL * len(sheet.table.rows):
        return None
    some = sorted(open_ones, key=lambda text: -open_ones[text])[:3]
    return _question(sheet, Ask.BITEWINGS, ("premolar", "molar", NOT_SAID), NOT_SAID, some)


def _view(sheet: Understanding) -> SheetQuestion | None:
    named = any(sheet.has(name) for name in ("view", "side", "region", "teeth")) or sheet.wide(
        "view:"
    )
    if sheet.all_views is not None or (named and not _only_places(sheet)):
        return None
    return _question(sheet, Ask.VIEW, ("bitewing", "periapical", "occlusal"), "bitewing")


def _only_places(sheet: Understanding) -> bool:
    """Whether only side, region or teeth are told, and not which sort of film it is."""
    return not sheet.has("view") and not sheet.wide("view:")


def _operator(sheet: Understanding) -> SheetQuestion | None:
    if sheet.has("operator"):
        return None
    tabs = sheet.table.sheets
    people = are_people(tabs)
    answers = ("tab", NOBODY_SAID) if people else (NOBODY_SAID,)
    return _question(sheet, Ask.OPERATOR, answers, answers[0], tabs if people else ())


def _blanks(sheet: Understanding) -> SheetQuestion | None:
    """Asked where nearly all rows have a grade or a decision, and some have none."""
    headings = [name for target in ("rating", "decision") for name in sheet.headings(target)]
    blank = sum(
        len(row.cells) > FEW_CELLS and headings[-1] not in row.cells
        for row in (
            sheet.table.rows if len(headings) == 1 and is_filled(sheet, headings[0]) else ()
        )
    )
    if not blank:
        return None
    return _question(sheet, Ask.BLANKS, (UNDECIDED, LEAVE_OUT), UNDECIDED, (str(blank),))


def _decided_by(sheet: Understanding) -> SheetQuestion | None:
    decides = sheet.grades is not None or has_decisions(sheet) or sheet.has("retaken")
    if not decides or sheet.has("decided_by") or sheet.has("supervisor"):
        return None
    if sheet.given.answers.get("decisions") == "undecided" and not sheet.has("retaken"):
        return None
    return _question(sheet, Ask.DECIDED_BY, ("operator", NOBODY_SAID), "operator")


def _check(sheet: Understanding, asked: Sequence[SheetQuestion]) -> None:
    for question in asked:
        if question.given is not None:
            allowed = _allowed(sheet, question)
            if allowed is not None:
                raise AnswerError(question.ask.value, question.given, allowed)


def _allowed(sheet: Understanding, question: SheetQuestion) -> str | None:
    """What a question takes, where it was given something else; None where all is well."""
    given, ask = question.given or "", question.ask
    if ask is Ask.YEAR:
        return None if YEAR.fullmatch(given) else "a year such as 2025"
    if ask is Ask.DECISIONS and sheet.grades is not None:
        some = " or ".join(question.answers)
        return None if is_rule(given, sheet.grades) else f"a rule such as {some}"
    if ask in {Ask.OPERATOR, Ask.DECIDED_BY}:
        return None if CODE.fullmatch(given) else FIELDS["operator"].form.allowed
    if given == EACH_SAID:
        return None
    choices = FIELDS["view"].form.choices if ask is Ask.VIEW else question.answers
    return None if given in choices else f"one of {', '.join(choices)}"


__all__ = [
    "IS",
    "MOST",
    "QUIET",
    "SIDE_ALONE",
    "WAS",
    "AnswerError",
    "Ask",
    "SheetQuestion",
    "has_decisions",
    "questions_of",
    "settled_answers",
]
