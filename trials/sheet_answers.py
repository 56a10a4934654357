"""Answers to what the importer asks of a sheet, by what is known of its exposures.

The person who keeps a sheet knows what its words mean. Here what they would say is found from the
exposures that the sheet is known to hold: of each answer that a question takes, the one with which
most exposures come in right; where none does better, the one proposed. Only what is asked is
answered, one question after the other as they come, five at most. That flatters: a person may
misread a question, and does not see what comes of an answer.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence

from bitewright.errors import BitewrightError
from bitewright.log.decisions import DECISION_KINDS
from bitewright.log.faults import fault_kinds
from bitewright.log.fields import FIELDS
from bitewright.sheets.asked_words import AskedWord
from bitewright.sheets.cells import Workbook, cell_text, plain
from bitewright.sheets.guessing_columns import TARGETS
from bitewright.sheets.questions import MOST, Ask, SheetQuestion, questions_of
from bitewright.sheets.roles_asked import NO_COLUMN
from bitewright.sheets.understanding import Understanding
from bitewright.tasks.log.sheet_mapping import given_answers
from bitewright.tasks.log.understand_sheet import understand_workbook

Score = Callable[[Understanding], float]
"""How well a sheet comes in as it is understood."""
TOLD_BY: Mapping[str, tuple[str, ...]] = {
    "day-column": ("day",),
    "view-column": ("view",),
    "outcome-column": ("rating", "decision"),
}
REFUSED = -1e9
"""Worse than whatever comes in."""


def answers_by_truth(
    workbook: Workbook, expected: Sequence[Mapping[str, str]], score: Score
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Answers to all that is asked, and the questions that they answer."""
    answers: tuple[str, ...] = ()
    asked: list[str] = []
    while len(asked) < MOST:
        sheet = _made(workbook, answers)
        if sheet is None:
            break
        question = next(
            (each for each in questions_of(sheet) if each.given is None and each.ask not in asked),
            None,
        )
        if question is None:
            break
        asked.append(question.ask)
        answers += _answer(workbook, answers, sheet, question, expected, score)
    return answers, tuple(asked)


def _answer(
    workbook: Workbook,
    answers: tuple[str, ...],
    sheet: Understanding,
    question: SheetQuestion,
    expected: Sequence[Mapping[str, str]],
    score: Score,
) -> tuple[str, ...]:
    def of(tried: tuple[str, ...]) -> float:
        made = _made(workbook, (*answers, *tried))
        return REFUSED if made is None else score(made)

    if question.words:
        return _each_word(question, of)
    if question.ask is Ask.COLUMNS:
        return _each_column(sheet, question, of)
    if question.ask.value in TOLD_BY:
        return (f"{question.ask.value}={_telling_column(sheet, question, expected)}",)
    choices = [f"{question.ask.value}={each}" for each in _choices(sheet, question, expected)]
    return (max(choices, key=lambda each: of((each,))),) if choices else ()


def _telling_column(
    sheet: Understanding, question: SheetQuestion, expected: Sequence[Mapping[str, str]]
) -> str:
    """The column whose words go best with what the exposures are; none where none does.

    A person sees which column it is, also where its words are still to be explained.
    """
    told: dict[tuple[str, str], str] = {}
    for each in expected:
        at = (each.get("tab", ""), each["row"])
        said = " ".join(each.get(name, "") for name in TOLD_BY[question.ask.value])
        told[at] = f"{told.get(at, '')} {said}"
    of_tab = any("tab" in each for each in expected)
    labels = [
        (row, told.get((row.sheet if of_tab else "", str(row.line)), ""))
        for row in sheet.table.rows
    ]
    labels = [(row, label) for row, label in labels if label]
    usual = max(Counter(label for _, label in labels).values(), default=0)
    best, most = NO_COLUMN, float(usual)
    for heading in question.columns:
        found: dict[str, Counter[str]] = {}
        for row, label in labels:
            word = plain(cell_text(row.cells.get(heading)))
            found.setdefault(word, Counter())[label] += 1
        agree = sum(max(counts.values()) for counts in found.values()) - len(found) + 1
        if agree > most:
            best, most = heading, float(agree)
    return best


def _choices(
    sheet: Understanding, question: SheetQuestion, expected: Sequence[Mapping[str, str]]
) -> list[str]:
    """What may be answered, the proposal first."""
    first = [question.proposed] if question.proposed else []
    others = list(question.answers)
    if question.ask is Ask.VIEW:
        others += FIELDS["view"].form.choices
    if question.ask is Ask.YEAR:
        others += sorted({row["day"][:4] for row in expected})
    if question.ask is Ask.DECISIONS and sheet.grades is not None:
        others += _rules(sheet)
    return list(dict.fromkeys([*first, *others]))


def _rules(sheet: Understanding) -> Iterable[str]:
    """Every rule that rejects one grade or some, with a remark on one of the others."""
    if sheet.grades is None:
        return
    if sheet.grades.limits:
        yield from (
            f"reject {side} {limit}" for side in ("below", "above") for limit in range(5, 100, 5)
        )
        yield from (
            f"reject {side} {limit / 2:g}" for side in ("below", "above") for limit in range(1, 20)
        )
    names = [_shown(word) for word in sheet.grades.worst_first]
    for order in (names, names[::-1]):
        for most in range(1, len(order)):
            yield f"reject {' '.join(order[:most])}"
            for remarks in range(1, len(order) - most):
                yield (
                    f"reject {' '.join(order[:most])}, remark "
                    f"{' '.join(order[most : most + remarks])}"
                )


def _shown(word: str) -> str:
    return (word.upper() if len(word) == 1 else word).replace(" ", "_")


def _each_word(question: SheetQuestion, of: Callable[[tuple[str, ...]], float]) -> tuple[str, ...]:
    """A meaning for each word that is asked."""
    taken: tuple[str, ...] = (f"{question.ask.value}=as-proposed",)
    best = of(taken)
    for word in question.words:
        for meaning in _meanings(word):
            if meaning == word.proposed:
                continue
            said = f"{word.field}.{word.word}={meaning}"
            now = of((*taken, said))
            if now > best:
                best, chosen = now, said
                taken = (
                    *(each for each in taken if not each.startswith(said.rpartition("=")[0] + "=")),
                    chosen,
                )
    return taken


def _meanings(word: AskedWord) -> Iterable[str]:
    if word.field == "view":
        return FIELDS["view"].form.choices
    if word.field == "decision":
        return tuple(DECISION_KINDS)
    return (*fault_kinds(), "none")


def _each_column(
    sheet: Understanding, question: SheetQuestion, of: Callable[[tuple[str, ...]], float]
) -> tuple[str, ...]:
    """What each column holds that is asked about."""
    taken: tuple[str, ...] = (f"{question.ask.value}=as-proposed",)
    best = of(taken)
    least = 0.5 * len(
        sheet.table.rows
    )  # nobody mistakes a column for what would set a row or two right
    for heading in sheet.unsure:
        chosen = None
        for target in ("", *TARGETS):
            if target == sheet.columns.get(heading, ""):
                continue
            said = f"column.{heading}={target}"
            now = of((*taken, said))
            if now > best + least:
                best, chosen = now, said
        if chosen is not None:
            taken = (*taken, chosen)
    return taken


def _made(workbook: Workbook, answers: tuple[str, ...]) -> Understanding | None:
    try:
        sheet = understand_workbook(workbook, given_answers(answers))
        questions_of(sheet)
    except BitewrightError:
        return None
    return sheet


__all__ = ["REFUSED", "answers_by_truth"]
