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
from bitewright.log.fields import FIELDS
from bitewright.sheets.asked_meanings import (
    FOUR_BITEWINGS,
    MADE_TWICE,
    NO_FAULT,
    RETAKE_KEPT,
    TWO_BITEWINGS,
    UNCLEAR,
    UNDECIDED,
)
from bitewright.sheets.asked_words import AskedWord, decision_columns
from bitewright.sheets.cells import Workbook, cell_text, plain, word_of
from bitewright.sheets.guessing_columns import TARGETS
from bitewright.sheets.questions import MOST, Ask, SheetQuestion, questions_of
from bitewright.sheets.roles_asked import NO_COLUMN
from bitewright.sheets.row_decisions import grade_in
from bitewright.sheets.row_views import written_view
from bitewright.sheets.table_body import Row
from bitewright.sheets.understanding import Understanding
from bitewright.sheets.view_words import NOT_INTRAORAL, without_teeth
from bitewright.sheets.word_meanings import BETWEEN, number_in
from bitewright.tasks.log.sheet_mapping import given_answers
from bitewright.tasks.log.understand_sheet import understand_workbook
from trials.people_answers import each_person
from trials.sheet_truth import GOES_WITH, expected_at, place_told, told_by

Score = Callable[[Understanding], float]
"""How well a sheet comes in as it is understood."""
TOLD_BY: Mapping[str, tuple[str, ...]] = {
    "day-column": ("day",),
    "view-column": ("view",),
    "outcome-column": ("rating", "decision"),
}
BLANKS_TAKEN = "blanks=undecided"
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
        still = [
            each for each in questions_of(sheet) if each.given is None and each.ask not in asked
        ]
        question = next((each for each in still if each.ask is Ask.SCHEME), next(iter(still), None))
        if question is None:
            break
        asked.append(question.ask)
        answers += _answer(workbook, answers, sheet, question, expected, score)
    if len(asked) < MOST:  # a box that the preview shows, and that a person may tick
        before, after = (_made(workbook, tried) for tried in (answers, (*answers, BLANKS_TAKEN)))
        if before is not None and after is not None and score(after) > score(before):
            return (*answers, BLANKS_TAKEN), (*asked, BLANKS_TAKEN)
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

    if question.ask is Ask.PEOPLE:
        return each_person(sheet, question, expected)
    if question.words:
        return _each_word(sheet, question, expected, of)
    if question.ask is Ask.COLUMNS:
        return _each_column(sheet, expected, of)
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
    at, names = expected_at(sheet, expected), TOLD_BY[question.ask.value]
    labels = [
        (row, " ".join(each.get(name, "") for each in at(row) for name in names).strip())
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
        others += _rules(sheet, expected)
    return list(dict.fromkeys([*first, *others]))


def _rules(sheet: Understanding, expected: Sequence[Mapping[str, str]]) -> Iterable[str]:
    """The rule that says of each grade what became of most of its films; every limit of a scale."""
    if sheet.grades is None:
        return
    if sheet.grades.limits:
        yield from (
            f"reject {side} {limit}" for side in ("below", "above") for limit in range(5, 100, 5)
        )
        yield from (
            f"reject {side} {limit / 2:g}" for side in ("below", "above") for limit in range(1, 20)
        )
        yield from _bands(sheet, expected)
        return
    at = expected_at(sheet, expected)
    counts: dict[str, Counter[str]] = {}
    for row in sheet.table.rows:
        texts = {name: cell_text(cell) for name, cell in row.cells.items()}
        word = sheet.grades.same.get(grade_in(sheet, texts), grade_in(sheet, texts))
        for each in at(row):
            counts.setdefault(word, Counter())[each.get("decision", "")] += 1
    told = {word: held.most_common(1)[0][0] for word, held in counts.items() if held}
    told = {word: "rejected" if held == "retaken" else held for word, held in told.items()}
    said = []
    for part, decision in (("reject", "rejected"), ("remark", "accepted-with-a-remark")):
        names = [_shown(word) for word in sheet.grades.worst_first if told.get(word) == decision]
        said += [f"{part} {' '.join(names)}"] if names else []
    none = [_shown(word) for word in sheet.grades.worst_first if word not in told]
    said += [f"unknown {' '.join(none)}"] if none else []
    if said:
        yield ", ".join(said)


def _bands(sheet: Understanding, expected: Sequence[Mapping[str, str]]) -> Iterable[str]:
    """From which marks on films are fair and good, to a round number below."""
    at, heading = expected_at(sheet, expected), sheet.heading("rating") or ""
    least: dict[str, float] = {}
    for row in sheet.table.rows:
        found = number_in(cell_text(row.cells.get(heading)).replace("%", "").strip())
        for each in at(row)[:1]:
            if found is not None:
                name = each.get("rating", "")
                least[name] = min(least.get(name, found[0]), found[0])
    if {"own:good", "own:fair"} <= least.keys():
        step = 5.0 if max(least.values()) > MOST_POINTS else 0.5
        good, fair = (step * (least[f"own:{name}"] // step) for name in ("good", "fair"))
        yield f"reject below {fair:g}, fair below {good:g}"


MOST_POINTS = 20
"""Mark up to which limits lie at halves. Our choice."""


def _shown(word: str) -> str:
    return (word.upper() if len(word) == 1 else word).replace(" ", "_")


def _each_word(
    sheet: Understanding,
    question: SheetQuestion,
    expected: Sequence[Mapping[str, str]],
    of: Callable[[tuple[str, ...]], float],
) -> tuple[str, ...]:
    """A meaning for each word that is asked: what most of its rows are known to be.

    A person knows what a word of the own sheet means; here that is looked up among the exposures
    of its rows, and taken where more comes in right with it.
    """
    taken: tuple[str, ...] = (f"{question.ask.value}=as-proposed",)
    best = of(taken)
    for word in question.words:
        for meaning in _likely(sheet, word, expected):
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


MOST_LIKELY = 3
"""Meanings of a word that are tried, those that go best with its rows. Our choice."""


def _likely(
    sheet: Understanding, word: AskedWord, expected: Sequence[Mapping[str, str]]
) -> list[str]:
    at = expected_at(sheet, expected)
    here, all_rows = Counter[str](), Counter[str]()
    rows_here = rows = 0
    has_several = False
    for row in sheet.table.rows:
        held = at(row)
        has_several = has_several or len(held) > 1
        values = [
            value
            for each in held
            for value in (
                {part.partition(":")[0] for part in each.get("faults", "").split("|")}
                if word.field == "faults"
                else {each.get(word.field, "")}
            )
            if value
        ]
        rows += 1
        all_rows.update(values)
        if _stands_in(sheet, word, row):
            rows_here += 1
            here.update(values)
    fit = {
        value: count / max(1, rows_here) - 0.5 * all_rows[value] / max(1, rows)
        for value, count in here.items()
    }
    likely = sorted(fit, key=lambda each: -fit[each])[:MOST_LIKELY]
    if word.field == "decision":
        likely += [MADE_TWICE] if has_several else []
        likely += [UNDECIDED] if rows_here > here.total() else []
        likely += [RETAKE_KEPT, "retaken"]
    if word.field == "faults":
        return [*likely, NO_FAULT]
    series = [TWO_BITEWINGS, FOUR_BITEWINGS] if has_several else []
    return [*likely, UNCLEAR, *([*series, NOT_INTRAORAL] if word.field == "view" else [])]


def _stands_in(sheet: Understanding, word: AskedWord, row: Row) -> bool:
    wanted = word_of(word.word)
    if word.field == "view":
        written = written_view(sheet, row)
        return wanted in {word_of(written), word_of(without_teeth(written))}
    if word.field == "decision":
        columns = [*decision_columns(sheet), *sheet.headings("rating")]
        return any(word_of(cell_text(row.cells.get(name))) == wanted for name in columns)
    columns = [*sheet.headings("faults"), *sheet.headings("rating")]
    texts = [cell_text(row.cells.get(name)) for name in columns]
    return any(word_of(piece) == wanted for text in texts for piece in (text, *BETWEEN.split(text)))


KNOWN_BY = {name for names in GOES_WITH.values() for name in names}
"""What a column is told to be only where its words go with the exposures: nobody takes who exposed
for a grade."""


def _each_column(
    sheet: Understanding,
    expected: Sequence[Mapping[str, str]],
    of: Callable[[tuple[str, ...]], float],
) -> tuple[str, ...]:
    """What each column holds, those asked about first."""
    taken: tuple[str, ...] = (f"{Ask.COLUMNS.value}=as-proposed",)
    best = of(taken)
    least = 0.5 * len(
        sheet.table.rows
    )  # nobody mistakes a column for what would set a row or two right
    others = [
        name
        for name in sheet.table.headings
        if name not in sheet.unsure and ":" not in sheet.columns.get(name, "")
    ]  # marks that are taken for what their heading says are left so
    for heading in (*sheet.unsure, *others):
        told = told_by(sheet, heading, expected)
        is_unsure = heading in sheet.unsure
        known = place_told(sheet, heading, expected) if is_unsure else None
        if known is not None and known != sheet.columns.get(heading, ""):
            taken = (*taken, f"column.{heading}={known}")  # also where its words are asked next
            best = of(taken)
            continue
        chosen = None
        others = [each for each in TARGETS if each not in KNOWN_BY] if is_unsure else []
        for target in (*(("",) if is_unsure else ()), *told, *others):
            if target == sheet.columns.get(heading, ""):
                continue
            said = f"column.{heading}={target}"
            now = of((*taken, said))
            is_known = is_unsure and target in told
            is_better = now >= best if chosen is None else now > best
            if now > best + least or (is_known and is_better):
                best, chosen = max(best, now), said
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
