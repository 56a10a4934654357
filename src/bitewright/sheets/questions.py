"""What a sheet leaves open: few questions, each with the answers there may be and a proposal."""

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace

from bitewright.log.field_forms import CODE
from bitewright.log.fields import FIELDS
from bitewright.sheets.asked_words import AskedWord, asked_words
from bitewright.sheets.asking import AnswerError, Ask, SheetQuestion, question
from bitewright.sheets.cells import cell_text, word_of
from bitewright.sheets.dates import Order
from bitewright.sheets.decision_rules import decision_rules, is_rule
from bitewright.sheets.films_untold import rows_untold, tabs_untold
from bitewright.sheets.grade_words import THREE
from bitewright.sheets.grades import OWN
from bitewright.sheets.operator_asked import LEAVE_OUT, NOBODY_SAID, operator_asked
from bitewright.sheets.people_asked import NAMED, people_asked
from bitewright.sheets.retakes_in_doubt import IS, WAS, likely_retake
from bitewright.sheets.roles_asked import (
    NO_COLUMN,
    VIEW,
    RoleAsked,
    likeliest_first,
)
from bitewright.sheets.row_views import written_view
from bitewright.sheets.understanding import Understanding
from bitewright.sheets.view_words import view_in
from bitewright.sheets.vocabulary import WITHIN, heading_scores
from bitewright.sheets.weekdays import week_named

MOST = 5
"""Questions asked at most; of any others the proposal is taken, and told."""
YEAR = re.compile(r"(?:19|20)\d{2}")

AS_PROPOSED, EACH_SAID = "as-proposed", "each"
LEFT = "left out"
FOREMOST = 1.5
"""How much a column in doubt by which rows are lost goes before all else. Our choice."""
PEOPLE_DOUBT = 0.3
"""How likely it is that spellings much alike are of one person, told apart. Our choice."""
LIKELY = 0.3
"""The same where a heading speaks for the column that is taken. Our choice."""
EACH, ONE = "each", "one"
OTHERS, NOT_SAID = "accept others", "not-said"
LAST = 2e-4
"""Doubt of what is asked only where nothing else is left to ask."""
STAGES = {
    **dict.fromkeys((Ask.DAY_COLUMN, Ask.VIEW_COLUMN, Ask.OUTCOME_COLUMN), 0),
    Ask.COLUMNS: 1,
    Ask.SEVERAL: 2,
    Ask.VIEW: 2,
    Ask.VIEW_WORDS: 3,
}
"""What is asked first, as what columns hold tells which words are asked."""
QUIET = ("note", "blanks")
"""What may be answered though it is not asked: remarks kept, rows without a grade taken."""
SIDE_ALONE = frozenset({"right-bitewing", "left-bitewing"})
SEVERAL = 0.03
"""Share of rows from which a question is worth asking. Our choice."""


def questions_of(sheet: Understanding) -> tuple[SheetQuestion, ...]:
    """The questions, at most five, with the answers given so far; first what most hangs on.

    Raises
    ------
    AnswerError
    """
    asked = [each for each in _all(sheet) if each is not None]
    _check(sheet, asked)
    asked.sort(key=lambda each: -each.stake)
    given = [each for each in asked if each.given is not None]
    still = [each for each in asked if each.given is None]
    names = {each.ask for each in asked}
    columns_said = bool(sheet.given.must_be_there) and Ask.COLUMNS not in names
    left = MOST - len(given) - columns_said
    shown = {each.ask for each in (*given, *still[: max(0, left)])}
    last = len(STAGES)
    asked.sort(key=lambda each: last if each.given else STAGES.get(each.ask, last))
    return tuple(each for each in asked if each.ask in shown)


def settled_answers(sheet: Understanding) -> dict[str, str]:
    """The answer of every question: as given, or else as proposed."""
    asked = [each for each in _all(sheet) if each is not None]
    answers = {each.ask.value: each.given or each.proposed for each in asked}
    kept = {name: text for name, text in sheet.given.answers.items() if name in QUIET}
    return {**{name: text for name, text in answers.items() if text is not None}, **kept}


def _all(sheet: Understanding) -> tuple[SheetQuestion | None, ...]:
    return (
        *_roles(sheet),
        _date(sheet),
        _columns(sheet),
        _decisions(sheet),
        _several(sheet),
        _view_words(sheet),
        _words(sheet, Ask.DECISION_WORDS, "decision"),
        _retake(sheet),
        _view(sheet),
        _year(sheet),
        operator_asked(sheet),
        _people(sheet),
        _words(sheet, Ask.FAULT_WORDS, "faults"),
        _decided_by(sheet),
        _scheme(sheet),
        _bitewings(sheet),
    )


def _roles(sheet: Understanding) -> Iterator[SheetQuestion]:
    """Asked where no column tells the day, the view or the outcome, or many rows are lost by it."""
    doubtful = {each.role: each for each in sheet.roles_asked}
    for ask in (Ask.DAY_COLUMN, Ask.VIEW_COLUMN, Ask.OUTCOME_COLUMN):
        given, each = sheet.given.answers.get(ask.value), doubtful.get(ask.value)
        if each is not None and not (given is None and _are_words(sheet, each)):
            asked = question(
                sheet,
                ask,
                (*likeliest_first(each, sheet.facts), *(() if each.is_between else (NO_COLUMN,))),
                each.held,
                rows=each.rows,
                doubt=LIKELY if each.is_likely else FOREMOST,
                columns=each.headings,
            )
            yield replace(asked, is_between=each.is_between)
        elif given is not None:
            yield question(sheet, ask, (given,), given, rows=0)


def _are_words(sheet: Understanding, asked: RoleAsked) -> bool:
    """Whether a column is the right one by its heading, and its words are asked anyhow."""
    heading, target = asked.held, sheet.columns.get(asked.held or "", "")
    if heading is None or heading_scores(heading).get(target, 0.0) < WITHIN:
        return False
    named = {"view": "view", "decision": "decision"}.get(target)
    return named is not None and bool(asked_words(sheet, named))


def _date(sheet: Understanding) -> SheetQuestion | None:
    if sheet.days.order is not None:
        return None
    heading = sheet.heading("day") or ""
    some = list(dict.fromkeys(map(cell_text, sheet.table.column(heading))))[:3]
    return question(
        sheet,
        Ask.DATE,
        [order.value for order in Order],
        None,
        (heading, *some),
        rows=_rows(sheet),
        doubt=1.0,
    )


def _columns(sheet: Understanding) -> SheetQuestion | None:
    """Asked where cells alone tell what columns hold."""
    if not sheet.unsure and Ask.COLUMNS.value not in sheet.given.answers:
        return None
    asked_apart = {name for each in sheet.roles_asked for name in each.headings}
    unsure = [name for name in sheet.unsure if name not in asked_apart or name not in sheet.columns]
    about = tuple(f"{name}: {sheet.columns.get(name, LEFT)}" for name in unsure)
    if not about and Ask.COLUMNS.value not in sheet.given.answers:
        return None
    rows, doubt = _rows(sheet), 0.6 if {"operator", "case"} - set(sheet.columns.values()) else 0.3
    asked = question(sheet, Ask.COLUMNS, (AS_PROPOSED,), AS_PROPOSED, about, rows=rows, doubt=doubt)
    is_said = asked.given is None and bool(sheet.given.must_be_there)
    return replace(asked, given=EACH_SAID) if is_said else asked


def _several(sheet: Understanding) -> SheetQuestion | None:
    """Asked where rows name several films."""
    if not sheet.several:
        return None
    about = (str(sheet.several),)
    return question(
        sheet, Ask.SEVERAL, (EACH, ONE), sheet.several_likely, about, rows=sheet.several
    )


def _words(sheet: Understanding, ask: Ask, name: str) -> SheetQuestion | None:
    """Asked where words are not known; answered all at once, or each by itself."""
    return _table(sheet, ask, name, asked_words(sheet, name))


def _table(
    sheet: Understanding, ask: Ask, name: str, words: tuple[AskedWord, ...]
) -> SheetQuestion | None:
    given = sheet.given.answers.get(ask.value)
    if not words:  # none is left once the answers are known: it was asked all the same
        return None if given is None else question(sheet, ask, (AS_PROPOSED,), given, rows=0)
    said = sheet.given.words.get(name, {})
    unknown = [each for each in words if not each.is_known]
    if given is None and all(word_of(each.word) in said for each in unknown):
        given = EACH_SAID
    return SheetQuestion(
        ask=ask,
        answers=(AS_PROPOSED,),
        proposed=AS_PROPOSED,
        given=given,
        about=tuple(f"{each.word} ({each.count}): {each.proposed or LEFT}" for each in unknown),
        words=words,
        stake=sum(each.count * (0.3 if each.proposed else 1.0) for each in unknown),
        rows=sum(each.count for each in unknown),
    )


def _view_words(sheet: Understanding) -> SheetQuestion | None:
    """Asked once it is known which sort of film all are, which tells what places alone mean."""
    asked = _words(sheet, Ask.VIEW_WORDS, "view")
    sort = _view(sheet)
    waits = sort is not None and sort.given is None and asked is not None and asked.given is None
    return None if waits else asked


def _year(sheet: Understanding) -> SheetQuestion | None:
    if not sheet.days.has_no_year or sheet.year is not None:
        return None
    if sheet.day_by == "weekday" and all(
        week_named(row.section, sheet.order or Order.DAY_FIRST, None) is not None
        for row in sheet.table.rows
    ):
        return None  # the line over each week has its year
    if all(
        sheet.years.get(row.section, (None, None))[1] or sheet.years.get(row.sheet, (None, None))[1]
        for row in sheet.table.rows
    ):
        return None
    likely = None if sheet.likely_year is None else str(sheet.likely_year)
    return question(sheet, Ask.YEAR, (likely,) if likely else (), likely, rows=_rows(sheet))


def has_decisions(sheet: Understanding) -> bool:
    """Whether columns say what was decided."""
    columns = any(sheet.has(target) for target in ("decision", "rejected"))
    return columns or bool(sheet.wide("decision:"))


def _decisions(sheet: Understanding) -> SheetQuestion | None:
    untold = rows_untold(sheet)
    if has_decisions(sheet) and not untold:
        return None
    rows = len(untold) or _rows(sheet)
    again = sheet.heading("retaken") or sheet.heading("retake")
    second = sheet.heading("is_retake") or again
    if sheet.grades is None:
        if again is None or sheet.given.answers.get("retake") == IS:
            return None
        return question(sheet, Ask.DECISIONS, (OTHERS, "undecided"), OTHERS, (again,), rows=rows)
    rules = decision_rules(sheet.grades)
    if second is not None:
        rules = (*rules, OTHERS)
    likely = "undecided" if untold and not tabs_untold(sheet) else rules[0]
    about = sheet.grades.worst_first
    return question(sheet, Ask.DECISIONS, rules, likely, about, rows=rows)


def _scheme(sheet: Understanding) -> SheetQuestion | None:
    """Asked where grades may be those of the United Kingdom or a scale of the practice."""
    given = sheet.given.answers.get(Ask.SCHEME.value)
    about = sheet.grades.worst_first if sheet.grades is not None else ()
    is_open = sheet.grades is not None and any(
        held.startswith(f"{THREE}:") for held in sheet.grades.ratings.values()
    )
    if not is_open and given is None:
        return None
    answers, doubt = (THREE, OWN), 0.75 * LAST
    return question(sheet, Ask.SCHEME, answers, THREE, about, rows=_rows(sheet), doubt=doubt)


def _retake(sheet: Understanding) -> SheetQuestion | None:
    heading = sheet.heading("retake")
    if heading is None:
        return None
    likely, marked = likely_retake(sheet, heading), len(sheet.table.column(heading))
    doubt = 1.0 if likely is None else 0.5
    return question(sheet, Ask.RETAKE, (WAS, IS), likely, (heading,), rows=marked, doubt=doubt)


def _bitewings(sheet: Understanding) -> SheetQuestion | None:
    """Asked where many bitewings are written with their side alone."""
    if sheet.all_views is None and not sheet.has("view"):
        return None
    counts = Counter(written_view(sheet, row) for row in sheet.table.rows)
    said = {**sheet.words.get("view", {}), **_asked_views(sheet)}
    open_ones = {
        text: count
        for text, count in counts.items()
        if view_in(text) in SIDE_ALONE and word_of(text) not in said
    }
    if sum(open_ones.values()) < SEVERAL * len(sheet.table.rows):
        return None
    some = sorted(open_ones, key=lambda text: -open_ones[text])[:3]
    rows = sum(open_ones.values())
    return question(
        sheet, Ask.BITEWINGS, ("premolar", "molar", NOT_SAID), NOT_SAID, some, rows=rows, doubt=LAST
    )


def _asked_views(sheet: Understanding) -> dict[str, str]:
    """Words for views that are asked one by one."""
    words = asked_words(sheet, "view")
    return {word_of(each.word): each.proposed for each in words if not each.is_known}


def _view(sheet: Understanding) -> SheetQuestion | None:
    named = any(sheet.has(name) for name in ("view", "side", "region", "teeth")) or sheet.wide(
        "view:"
    )
    if sheet.all_views is not None or (named and not _only_places(sheet)):
        return None
    if not named and any(
        each.role == VIEW and sheet.given.answers.get(VIEW) is None for each in sheet.roles_asked
    ):
        return None  # which column tells it is asked first
    answers = ("bitewing", "periapical", "occlusal")
    return question(sheet, Ask.VIEW, answers, "bitewing", rows=_rows(sheet), doubt=0.6)


def _only_places(sheet: Understanding) -> bool:
    """Whether only side, region or teeth are told, and not which sort of film it is."""
    return not sheet.has("view") and not sheet.wide("view:")


def _people(sheet: Understanding) -> SheetQuestion | None:
    """Asked where the same person may be written in several ways."""
    asked = _table(sheet, Ask.PEOPLE, NAMED, people_asked(sheet))
    return None if asked is None else replace(asked, stake=PEOPLE_DOUBT * asked.rows)


def _decided_by(sheet: Understanding) -> SheetQuestion | None:
    decides = sheet.grades is not None or has_decisions(sheet) or sheet.has("retaken")
    if not decides or sheet.has("decided_by") or sheet.has("supervisor"):
        return None
    if sheet.given.answers.get("decisions") == "undecided" and not sheet.has("retaken"):
        return None
    answers = ("operator", NOBODY_SAID)
    return question(sheet, Ask.DECIDED_BY, answers, "operator", rows=_rows(sheet), doubt=LAST / 2)


def _rows(sheet: Understanding) -> int:
    return len(sheet.table.rows)


def _check(sheet: Understanding, asked: Sequence[SheetQuestion]) -> None:
    for each in asked:
        if each.given is not None:
            allowed = _allowed(sheet, each)
            if allowed is not None:
                raise AnswerError(each.ask.value, each.given, allowed)


def _allowed(sheet: Understanding, asked: SheetQuestion) -> str | None:
    """What a question takes, where it was given something else; None where all is well."""
    given, ask = asked.given or "", asked.ask
    if ask is Ask.YEAR:
        return None if YEAR.fullmatch(given) else "a year such as 2025"
    if ask is Ask.DECISIONS and sheet.grades is not None and given not in asked.answers:
        some = " or ".join(asked.answers)
        return None if is_rule(given, sheet.grades) else f"a rule such as {some}"
    if ask is Ask.OPERATOR and given in asked.answers:
        return None
    if ask in {Ask.OPERATOR, Ask.DECIDED_BY}:
        return None if CODE.fullmatch(given) else FIELDS["operator"].form.allowed
    if given == EACH_SAID:
        return None
    choices = FIELDS["view"].form.choices if ask is Ask.VIEW else asked.answers
    return None if given in choices else f"one of {', '.join(choices)}"


__all__ = [
    "IS",
    "LEAVE_OUT",
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
