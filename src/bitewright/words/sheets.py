"""What was made of a sheet: what its columns hold, what is asked, what is wrong with a row."""

from collections.abc import Mapping, Sequence

from bitewright.log.decisions import decision_title
from bitewright.log.fields import FIELDS
from bitewright.sheets.asked_meanings import (
    FOUR_BITEWINGS,
    MADE_TWICE,
    RETAKE_KEPT,
    TWO_BITEWINGS,
    UNCLEAR,
    UNDECIDED,
)
from bitewright.sheets.joining_sheets import SheetLeftOut
from bitewright.sheets.questions import LEAVE_OUT, Ask, SheetQuestion
from bitewright.sheets.read_rows import CellFault, RowFault
from bitewright.sheets.roles_asked import DAY, MANY, NO_COLUMN, OUTCOME, VIEW
from bitewright.sheets.table_body import LeftOut
from bitewright.sheets.view_words import NOT_INTRAORAL
from bitewright.words.log_titles import fault_title, view_title
from bitewright.words.phrases import counted, listed

ABOUT_MAPPING = """What the columns and words of a sheet mean, for `bitewright log import`.
columns: what each holds; "" leaves it out. It holds no names of people."""
HELD = {
    "key": "the sheet's own number of the film",
    "month": "month",
    "year": "year",
    "view": "view",
    "side": "side",
    "region": "region",
    "teeth": "teeth",
    "rating": "grade",
    "fault_size": "size of the fault, mm",
    "rejected": "whether it was rejected",
    "retake": "retake",
    "retaken": "whether it was retaken",
    "is_retake": "whether it is a retake",
    "note": "a remark, left out: it may name somebody",
    "private": "left out: it tells who somebody is",
    "tries": "how many exposures there were",
    "beside": "left out: the log has no field for it",
    "void": "whether a row is deleted or does not count",
}
ASKED = {
    Ask.DAY_COLUMN: "Which column tells the day of each film?",
    Ask.VIEW_COLUMN: "Which column tells the view of each film?",
    Ask.OUTCOME_COLUMN: "Which column tells how each film came out, its grade or what was decided?",
    Ask.DATE: "Is the day or the month written first?",
    Ask.COLUMNS: "Headings do not say what these columns hold. Is it this?",
    Ask.SEVERAL: "Some rows name several films. Is each a film of its own?",
    Ask.VIEW_WORDS: "Some words for views are not known. What do they mean?",
    Ask.DECISION_WORDS: "Some words do not say for sure what became of a film. What do they mean?",
    Ask.FAULT_WORDS: "Some words for faults are not known. What do they mean?",
    Ask.DECISIONS: "Which grades were not kept?",
    Ask.SCHEME: "Are these the grades of the United Kingdom of 2001, or the practice's own?",
    Ask.RETAKE: "Does a mark mean that the film was made again, or that it is itself a retake?",
    Ask.BITEWINGS: "Some bitewings tell their side alone. Were they of premolars or of molars?",
    Ask.VIEW: "Of which view are the films?",
    Ask.YEAR: "Of which year are the days?",
    Ask.OPERATOR: "No column says who exposed. Which code should stand there?",
    Ask.PEOPLE: "Some people may be written in several ways. Who is who?",
    Ask.DECIDED_BY: "Who decided: each operator, or somebody with a code of their own?",
}
ANSWERED = {
    (Ask.DATE, "day-first"): "3/2 is the third of February",
    (Ask.DATE, "month-first"): "3/2 is the second of March",
    (Ask.RETAKE, "was"): "the film was not kept and was made again",
    (Ask.RETAKE, "is"): "the film was made in place of another",
    (Ask.DECIDED_BY, "operator"): "each operator decided on their own films",
    (Ask.DECIDED_BY, "practice"): "the practice as a whole",
    (Ask.OPERATOR, "practice"): "the practice as a whole",
    (Ask.DECISIONS, "undecided"): "leave all of them undecided",
    (Ask.DECISIONS, "accept others"): "what was not taken again was kept",
    (Ask.BITEWINGS, "not-said"): "keep the side alone",
    (Ask.COLUMNS, "as-proposed"): "as proposed; set others right first",
    (Ask.VIEW_WORDS, "as-proposed"): "as proposed",
    (Ask.DECISION_WORDS, "as-proposed"): "as proposed",
    (Ask.FAULT_WORDS, "as-proposed"): "as proposed",
    (Ask.PEOPLE, "as-proposed"): "as proposed",
    (Ask.SCHEME, "uk-2001"): "1 excellent, 2 acceptable, 3 unacceptable",
    (Ask.SCHEME, "own"): "a scale of the practice's own",
    (Ask.SEVERAL, "each"): "each is a film of its own",
    (Ask.SEVERAL, "one"): "each row is one film: one with right/left is a fault",
    (Ask.OPERATOR, "leave-out"): "leave them out, as rows with a fault",
    (Ask.OPERATOR, "tab"): "the name of each tab",
}
NO_COLUMN_WORDS = {
    Ask.DAY_COLUMN: "no column tells the day",
    Ask.VIEW_COLUMN: "no column tells the view",
    Ask.OUTCOME_COLUMN: "no column tells it",
}
LOST_BY = {DAY: "day", VIEW: "view", OUTCOME: "grade or decision"}
WRONG = {
    RowFault.NO_DAY: "there is no day",
    RowFault.NO_SUCH_DAY: "is no day that can be read",
    RowFault.OTHER_WEEKDAY: "names a weekday that this day was not",
    RowFault.NO_VIEW: "nothing says which view it is",
    RowFault.UNKNOWN_VIEW: "is no view that is known",
    RowFault.NO_GRADE: "there is no grade, or more than one",
    RowFault.NO_DECISION: "there is no decision",
    RowFault.UNKNOWN_GRADE: "is none of the sheet's grades",
    RowFault.UNKNOWN_DECISION: "is no decision that is known",
    RowFault.AGAINST_GRADE: "goes against the grade, as with no other film of that grade",
    RowFault.AGAINST_OUTCOME: "says that the film was not kept, and another column that it was",
    RowFault.NO_OPERATOR: "nothing says who exposed",
    RowFault.NO_NUMBER: "is no number",
    RowFault.DOUBLE: "is the number of an earlier row too",
    RowFault.SAME_AS_ABOVE: "the row is the same as the one above it, cell by cell",
    RowFault.NO_TRY: "the sheet counts no exposure for it",
    RowFault.UNKNOWN_TRIES: "how many exposures were made is not told for sure",
    RowFault.VOID: "the row is crossed out, or said not to count",
    RowFault.NO_SUCH_FILM: "is said to be repeated, and no row has that number",
    RowFault.NOT_INTRAORAL: "is no intraoral film, and this log is of those",
}
LEFT = {
    LeftOut.BEFORE: "above the table",
    LeftOut.HEADING: "the headings again",
    LeftOut.TOTAL: "totals",
    LeftOut.SECTION: "a heading between rows",
    LeftOut.REMARK: "a remark",
}
SHEET_LEFT = {
    SheetLeftOut.NO_TABLE: "no table of films",
    SheetLeftOut.OTHER_TABLE: "another table",
}


def held_title(target: str) -> str:
    """What a column holds."""
    for kind, title in (("fault:", "marks the fault: "), ("view:", "marks the view: ")):
        if target.startswith(kind):
            name = target.removeprefix(kind)
            return title + (fault_title(name) if kind == "fault:" else view_title(name))
    if target.startswith("decision:"):
        return f"marks the decision: {target.removeprefix('decision:')}"
    if target.startswith("grade:"):
        return f"marks the grade: {target.removeprefix('grade:')}"
    return HELD.get(target) or FIELDS[target].title


MEANT = {
    NOT_INTRAORAL: "no intraoral film",
    UNCLEAR: "nobody can say: leave these rows out",
    UNDECIDED: "not decided yet",
    TWO_BITEWINGS: "two films: a bitewing of each side",
    FOUR_BITEWINGS: "four films: premolar and molar of each side",
    MADE_TWICE: "made twice: rejected, then accepted",
    RETAKE_KEPT: "itself a retake, accepted",
}


def meaning_title(meaning: str) -> str:
    """What a word means, where that is none of the log's own words; else empty."""
    return MEANT.get(meaning, "")


BETWEEN_GRADINGS = "Several columns tell how a film came out. Which counts?"
NOBODY_NAMED = "Some rows do not say who exposed. Who was it?"


def word_left_out(field: str) -> str:
    """What becomes of rows with a word that is left out."""
    if field == "operator":
        return "somebody else than all others"
    return "no fault" if field == "faults" else "leave these rows out, as faults"


def same_person(name: str) -> str:
    """That somebody is a person who is written in another way as well."""
    return f"the same as {name}"


def row_words(sheet: str, line: int, texts: Sequence[str]) -> str:
    """A row of a sheet in short: where it stands, and some of its cells."""
    place = f"{sheet}, line {line}" if sheet else f"line {line}"
    return f"{place}: {', '.join(texts)}"


def question_words(question: SheetQuestion, *, with_words: bool = True) -> str:
    """A question with what it is about; ``with_words``: with the words that are asked."""
    if question.ask is Ask.OUTCOME_COLUMN and question.is_between:
        differ = counted(round(question.rows), "row differs", "rows differ")
        return f"{BETWEEN_GRADINGS} {differ}; so far {question.proposed} counts."
    if question.ask is Ask.OPERATOR and LEAVE_OUT in question.answers:
        heading, count = question.about
        return f"{NOBODY_NAMED} {counted(int(count), 'row')} with nothing under {heading}."
    if question.ask in NO_COLUMN_WORDS:
        so_far = f" So far it is taken to be {question.proposed}." if question.proposed else ""
        return f"{ASKED[question.ask]}{so_far}"
    if question.words and not with_words:
        return ASKED[question.ask]
    shown = [each.upper() if len(each) == 1 else each for each in question.about]
    about = f" ({', '.join(shown)})" if shown else ""
    return f"{ASKED[question.ask]}{about}"


def answer_words(question: SheetQuestion, answer: str) -> str:
    """What an answer means; the answer itself where it says so."""
    if answer == NO_COLUMN and question.ask in NO_COLUMN_WORDS:
        return NO_COLUMN_WORDS[question.ask]
    if question.ask is Ask.DECISIONS and answer.startswith(("reject", "remark")):
        return rule_words(answer)
    return ANSWERED.get((question.ask, answer), "")


RULED = {"reject": "rejected", "unknown": "no grade, so a fault of its row"}


def rule_words(rule: str) -> str:
    """A rule from grade to decision: "reject 3, remark 2"."""
    if rule.startswith(("reject below", "reject above")):
        limit, _, fair = rule.removeprefix("reject ").partition(", fair ")
        bands = f"; poor, {fair} fair, others good" if fair else ""
        return f"{limit} rejected, all others accepted{bands}"
    said = []
    for piece in rule.split(","):
        name, _, grades = piece.strip().partition(" ")
        named = listed([grade.replace("_", " ") for grade in grades.split()])
        said.append(f"{named} {RULED.get(name, 'accepted with a remark')}")
    return f"{', '.join(said)}, all others accepted"


def cell_fault_words(fault: CellFault) -> str:
    """What is wrong with a cell."""
    if fault.given and fault.fault not in {RowFault.NO_DAY, RowFault.NO_OPERATOR, RowFault.NO_VIEW}:
        return f"'{fault.given[:60]}' {WRONG[fault.fault]}"
    return WRONG[fault.fault]


def left_out_title(why: LeftOut) -> str:
    """Why a row of the sheet is no film."""
    return LEFT[why]


def sheet_left_out_title(why: SheetLeftOut) -> str:
    """Why a whole sheet was not taken."""
    return SHEET_LEFT[why]


def rows_lost_words(lost: Mapping[str, int], rows: int) -> str:
    """For which reason many rows cannot be taken yet; empty where there is none."""
    said = [
        f"{count} of {counted(rows, 'row')} cannot be taken yet for their {LOST_BY[role]}"
        for role, count in sorted(lost.items(), key=lambda each: -each[1])
        if count > MANY * rows
    ]
    return f"{'; '.join(said)}. " if said else ""


def preview_words(
    *,
    good: int,
    bad: int,
    outside: int,
    undecided: int,
    names: int,
    first: str,
    last: str,
    guessed: int = 0,
) -> str:
    """What an import would bring."""
    period = f", from {first} to {last}" if first else ""
    said = f"{counted(good, 'exposure')} can be taken{period}"
    if undecided:
        said += f"; {undecided} of them not decided"
    if guessed:
        said += f"; {guessed} of them rest on a guess of words that are not known"
    if bad:
        said += f"; {counted(bad, 'row')} with faults"
    if outside:
        said += f"; {counted(outside, 'film')} of another sort than intraoral left out"
    if names:
        of_people = counted(names, "name or number", "names and numbers")
        said += f"; {of_people} of people given a code, kept apart"
    return f"{said}."


def blanks_taken() -> str:
    """How rows without a grade or a decision come in."""
    return "--answer blanks=undecided takes rows without a grade or a decision, undecided."


def nothing_written() -> str:
    """A dry run."""
    return "Nothing was written."


def mapping_written(path: object) -> str:
    """Where the mapping is."""
    return f"The mapping is in {path}: give it with --mapping next month."


def answer_with(asked: Sequence[SheetQuestion]) -> str:
    """How open questions are answered."""
    some = " ".join(f"--answer {each.ask.value}={_quoted(each)}" for each in asked)
    return f"Answer with, for example: {some}"


def _quoted(question: SheetQuestion) -> str:
    answer = question.proposed or next(iter(question.answers), "2025")
    return f"'{answer}'" if " " in answer else answer


def imported_as(identifier: str) -> str:
    """How an import is taken back."""
    return f"This import is {identifier}; `bitewright log undo-import {identifier}` takes it back."


def taken_back_words(*, exposures: int, later: int, names: int) -> str:
    """What went with an import."""
    said = f"{counted(exposures, 'exposure')} taken back"
    if later:
        said += f", {counted(later, 'later entry', 'later entries')} about them"
    if names:
        said += f", {counted(names, 'name')} forgotten"
    return f"{said}. The log is as it was before that import."


def decided_words(count: int, decision: str, *, written: bool) -> str:
    """What was decided on many exposures, or would be."""
    done = "decided" if written else "would be decided"
    return f"{counted(count, 'exposure')} {done}: {decision_title(decision)}."


__all__ = [
    "ABOUT_MAPPING",
    "answer_with",
    "answer_words",
    "blanks_taken",
    "cell_fault_words",
    "decided_words",
    "held_title",
    "imported_as",
    "left_out_title",
    "mapping_written",
    "meaning_title",
    "nothing_written",
    "preview_words",
    "question_words",
    "rows_lost_words",
    "rule_words",
    "sheet_left_out_title",
    "taken_back_words",
]
