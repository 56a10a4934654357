"""Words of a sheet whose meaning a person is asked, how often they stand there, a guess of each.

Where one word of a field is not known, the whole field is asked as one table: the words that nobody
knows first, then the known ones with what they are taken for, which may be set right as well.
"""

import re
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from bitewright.sheets.asked_meanings import NO_FAULT
from bitewright.sheets.cells import cell_text, word_of
from bitewright.sheets.columns_beside_others import is_of_remarks
from bitewright.sheets.decisions_at_odds import words_at_odds
from bitewright.sheets.fault_phrases import parts_in
from bitewright.sheets.grade_order import is_bad_row
from bitewright.sheets.grades import (
    GradeMeanings,
    are_two_grades,
    beside_grade,
    grade_word,
    is_worse_then_better,
)
from bitewright.sheets.row_views import known_view, written_view
from bitewright.sheets.said_above import COLOUR
from bitewright.sheets.second_told import is_surely_second, second_apart
from bitewright.sheets.understanding import Understanding
from bitewright.sheets.view_words import (
    has_both_sides,
    has_other_words,
    letters_alone,
    side_by_letter,
    without_letters,
    without_teeth,
)
from bitewright.sheets.vocabulary import meanings
from bitewright.sheets.word_meanings import (
    BETWEEN,
    UNKNOWN_FAULT,
    WITH_REMARK,
    are_two_outcomes,
    decision_word,
    denied_decision,
    faults_in,
    flag,
    is_doubtful,
    is_nothing,
    try_of,
)

ASKED_FIELDS = ("view", "decision", "faults")
OF_COLOURS = {
    "red": "rejected",
    "crossed out": "rejected",
    "yellow": "accepted-with-a-remark",
    "orange": "accepted-with-a-remark",
}
"""What colours are likely to say. Common practice, no source."""
DENIED = {
    "accepted": "rejected",
    "accepted-with-a-remark": "rejected",
    "rejected": "accepted",
    "retaken": "accepted",
}
"""What a denial of each decision is likely to say, as "not good" does."""
FIGURES = re.compile(r"\d+")
FEWEST_TERMS, LONGEST_TERM = 6, 25
"""Remarks from which words that come again are terms, and letters of one. Our choice."""
MOST_WORDS = 40
"""Words that are asked at once, the commonest first; others are told. Our choice."""
NO_GRADES = GradeMeanings(ratings={}, worst_first=())
COARSE = frozenset({"bitewing", "right-bitewing", "left-bitewing"})
"""Views that leave something open, which words that nobody knows may tell."""
OFTEN = 2
"""Times that a word must stand there, not to be taken for a slip that only its row is told of."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedWord:
    """A word whose meaning is asked.

    Parameters
    ----------
    field : str
    word : str
        As the sheet has it.
    count : int
        Rows in which it stands.
    proposed : str
        What it is taken for; empty where nothing speaks for anything, and its rows are left out.
    is_known : bool
        Whether it means that by the tables of words, and is no guess.
    """

    field: str
    word: str
    count: int
    proposed: str
    is_known: bool = False


def asked_words(sheet: Understanding, name: str) -> tuple[AskedWord, ...]:
    """The words of a field that are asked; none where all of them are known."""
    counts, written = Counter[str](), dict[str, str]()
    for text in _unknown(sheet, name):
        counts[word_of(text)] += 1
        written.setdefault(word_of(text), text)
    is_asked_once = name == "faults" or any(
        is_worse_then_better(text, sheet.grades or NO_GRADES) for text in written.values()
    )
    if counts.total() < (1 if is_asked_once else OFTEN):
        return ()
    unknown = [
        AskedWord(
            field=name,
            word=written[word],
            count=count,
            proposed=_guess(sheet, name, written[word], count),
        )
        for word, count in counts.most_common(MOST_WORDS)
    ]
    known = [each for each in _known(sheet, name) if word_of(each.word) not in counts]
    return (*unknown, *known[: MOST_WORDS - len(unknown)])


def settled_words(sheet: Understanding) -> dict[str, Mapping[str, str]]:
    """What words mean: as a person or a legend says, or else as proposed."""
    return {
        name: {
            **{
                word_of(each.word): each.proposed
                for each in asked_words(sheet, name)
                if each.proposed and not each.is_known
            },
            **sheet.words.get(name, {}),
        }
        for name in {*ASKED_FIELDS, *sheet.words}
    }


def counts_unknown(heading: str) -> bool:
    """Whether an unknown word under a heading is a fault: among remarks it need be none."""
    return not is_of_remarks(heading)


def _unknown(sheet: Understanding, name: str) -> Iterator[str]:
    if name == "view":
        return _views(sheet)
    return _decisions(sheet) if name == "decision" else _faults(sheet)


def _views(sheet: Understanding) -> Iterator[str]:
    kind = sheet.all_views or sheet.given.answers.get("view") or ""
    legend = _of_legend(sheet, "view")
    known: dict[str, bool] = {}
    alone = letters_alone({written_view(sheet, row) for row in sheet.table.rows})
    for row in sheet.table.rows:
        written = written_view(sheet, row)
        if written not in known:
            view = known_view(written, kind, sheet.usual_view)
            is_known = view is not None and not (view in COARSE and has_other_words(written))
            is_known = is_known and without_letters(written, alone) == written
            is_known = is_known and side_by_letter(written) is None
            told = {word_of(written), word_of(without_teeth(written))}
            known[written] = is_known or not word_of(written) or not told.isdisjoint(legend)
        if not known[written] and not is_nothing(written) and not is_doubtful(written):
            yield without_teeth(written)


def decision_columns(sheet: Understanding) -> list[str]:
    """Columns whose words say what became of a film, or that it is a second one."""
    told = ("decision", "rejected", "retaken", "retake", "is_retake")
    return [name for target in told for name in sheet.headings(target)]


def _decisions(sheet: Understanding) -> Iterator[str]:
    legend, odd = _of_legend(sheet, "decision"), words_at_odds(sheet)
    for heading in decision_columns(sheet):
        is_told = sheet.columns[heading] == "decision"
        for written in map(cell_text, sheet.table.column(heading)):
            text = (second_apart(written) or written) if is_told else written
            known = decision_word(text) or flag(text) is not None or is_surely_second(text)
            if heading == COLOUR or (is_told and word_of(text) in odd):
                known = False
            if not is_told and (
                is_nothing(text) or _is_mark(sheet, heading) or try_of(text) is not None
            ):
                known = True
            if are_two_outcomes(text, legend):
                continue
            if not known and not is_doubtful(text) and word_of(text) not in legend:
                yield text
    yield from _beside_grades(sheet)


def _beside_grades(sheet: Understanding) -> Iterator[str]:
    """What stands under a heading of grades and is none of them."""
    heading, grades = sheet.heading("rating"), sheet.grades
    if heading is None or grades is None or grades.limits:
        return
    legend = _of_legend(sheet, "decision")
    for text in map(cell_text, sheet.table.column(heading)):
        is_made_twice = is_worse_then_better(text, grades)
        is_grade = not text or (grade_word(text) in grades.ratings and not is_made_twice)
        known = is_grade or decision_word(text) is not None or word_of(text) in legend
        known = known or (are_two_grades(text, grades.ratings) and not is_made_twice)
        if not known and not is_doubtful(text) and not is_nothing(text):
            yield text


def _is_mark(sheet: Understanding, heading: str) -> bool:
    """Whether one mark alone stands in a column, which then says yes."""
    return len({word_of(cell_text(cell)) for cell in sheet.table.column(heading)}) <= 1


def _faults(sheet: Understanding) -> Iterator[str]:
    legend = _of_legend(sheet, "faults")
    rating = sheet.heading("rating")
    for cell in sheet.table.column(rating) if rating else ():
        beside = beside_grade(cell_text(cell))
        if are_two_grades(cell_text(cell), (sheet.grades or NO_GRADES).ratings):
            continue
        if beside and grade_word(cell_text(cell)) in (sheet.grades or NO_GRADES).ratings:
            yield from faults_in(beside, legend).unknown if decision_word(beside) is None else ()
    for heading in sheet.headings("faults"):
        if _is_numbered(sheet, heading):
            for cell in sheet.table.column(heading):
                numbers = FIGURES.findall(cell_text(cell))
                yield from (each for each in numbers if each not in legend)
        elif counts_unknown(heading) or _tells_faults(sheet, heading):
            for cell in sheet.table.column(heading):
                yield from faults_in(cell_text(cell), legend).unknown


def _is_numbered(sheet: Understanding, heading: str) -> bool:
    """Whether a column tells faults by the numbers of a list."""
    column = next((each for each in sheet.facts if each.heading == heading), None)
    return column is not None and column.are_numbered


def _known(sheet: Understanding, name: str) -> list[AskedWord]:
    """The words of a field that are known, with what they are taken for, the commonest first."""
    held = Counter[tuple[str, str]]()
    if name == "view":
        kind = sheet.all_views or sheet.given.answers.get("view") or ""
        legend = _of_legend(sheet, "view")
        for row in sheet.table.rows:
            text = written_view(sheet, row)
            view = legend.get(word_of(text)) or known_view(text, kind, sheet.usual_view)
            held[text, view or ""] += 1
    elif name == "decision":
        legend = _of_legend(sheet, "decision")
        for heading in sheet.headings("decision"):
            for text in map(cell_text, sheet.table.column(heading)):
                told = legend.get(word_of(text)) or decision_word(text)
                by_flag = {True: "accepted", False: "rejected", None: ""}[flag(text)]
                held[text, told or by_flag] += 1
    else:
        legend = _of_legend(sheet, "faults")
        for heading in sheet.headings("faults"):
            for cell in sheet.table.column(heading):
                for piece in BETWEEN.split(cell_text(cell)):
                    found = faults_in(piece, legend).faults
                    held[piece.strip(), found[0].partition(":")[0] if found else ""] += 1
    return [
        AskedWord(field=name, word=word, count=count, proposed=meaning, is_known=True)
        for (word, meaning), count in held.most_common()
        if meaning and word_of(word)
    ]


def _tells_faults(sheet: Understanding, heading: str) -> bool:
    """Whether remarks are mostly faults, so that a word that is not known is likely one too."""
    texts = [cell_text(cell) for cell in sheet.table.column(heading)]
    told = sum(bool(faults_in(text, {}).faults) for text in texts)
    counts = Counter(map(word_of, texts))
    again = sum(count for word, count in counts.items() if count > 1 and len(word) <= LONGEST_TERM)
    are_terms = len(texts) >= FEWEST_TERMS and again > 0.6 * len(texts)
    return are_terms or (len(texts) > 3 and told > 0.6 * len(texts))


def _of_legend(sheet: Understanding, name: str) -> Mapping[str, str]:
    said = sheet.given.words.get(name, {})
    return {word: held for word, held in sheet.words.get(name, {}).items() if word not in said}


def _guess(sheet: Understanding, name: str, text: str, count: int) -> str:
    """What a word is taken for until a person says; a slip is left out, to be told with its row."""
    word = word_of(text)
    if name == "faults" and word == "0":
        return NO_FAULT
    if name == "faults":
        return "cone-cut" if parts_in(word) == {"cut"} else UNKNOWN_FAULT
    if name == "view":
        kind = sheet.all_views or sheet.given.answers.get("view") or ""
        is_usual = sheet.usual_view and not word.isdigit() and count >= OFTEN
        alone = letters_alone({written_view(sheet, row) for row in sheet.table.rows})
        if has_both_sides(text) or is_doubtful(text):
            return ""
        told = without_letters(text, alone)
        if told == text and (side := side_by_letter(text)) is not None:
            return f"{side}-bitewing"
        return known_view(told, kind, sheet.usual_view) or ("bitewing" if is_usual else "")
    is_told = count >= OFTEN or decision_word(text) == WITH_REMARK
    return _guessed_decision(sheet, word) if is_told else ""


def _guessed_decision(sheet: Understanding, word: str) -> str:
    """Accepted or rejected, as the rows with this word have no faults, or have some."""
    heading = sheet.heading("decision") or ""
    if heading == COLOUR or word in meanings("colours"):
        return OF_COLOURS.get(meanings("colours").get(word, word), "accepted")
    if decision_word(word) == WITH_REMARK:
        return WITH_REMARK
    denied = denied_decision(word)
    if denied is not None:
        return DENIED.get(denied, "")
    if "retaken" in {meanings("decisions").get(each) for each in word.split()}:
        return "retaken"
    counts, bad = Counter[str](), Counter[str]()
    others = {name: target for name, target in sheet.columns.items() if name != heading}
    for row in sheet.table.rows:
        held = word_of(cell_text(row.cells.get(heading)))
        counts[held] += 1
        texts = {name: cell_text(cell) for name, cell in row.cells.items()}
        bad[held] += is_bad_row(texts, others)
    if not counts[word]:
        return ""  # it stands beside grades, where a person has to say
    usual = sum(bad.values()) / max(1, counts.total())
    is_bad = bad[word] / max(1, counts[word]) > max(0.5, usual)
    return (
        "rejected"
        if is_bad
        else "accepted"
        if bad.total() or counts[word] * 2 > counts.total()
        else "rejected"
    )


__all__ = [
    "ASKED_FIELDS",
    "AskedWord",
    "asked_words",
    "counts_unknown",
    "decision_columns",
    "settled_words",
]
