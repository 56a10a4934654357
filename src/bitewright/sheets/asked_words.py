"""Words of a sheet that are not known, how often they stand there, and a guess of each."""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from bitewright.sheets.cells import cell_text, plain
from bitewright.sheets.fault_phrases import parts_in
from bitewright.sheets.grade_order import is_bad_row
from bitewright.sheets.grades import GradeMeanings, beside_grade, grade_word
from bitewright.sheets.row_views import known_view, written_view
from bitewright.sheets.said_above import COLOUR
from bitewright.sheets.understanding import Understanding
from bitewright.sheets.vocabulary import meanings
from bitewright.sheets.word_meanings import (
    UNKNOWN_FAULT,
    are_two_outcomes,
    decision_word,
    denied_decision,
    faults_in,
    flag,
    is_doubtful,
    is_nothing,
)

ASKED_FIELDS = ("view", "decision", "faults")
OF_COLOURS = {
    "red": "rejected",
    "crossed out": "rejected",
    "yellow": "accepted-with-a-remark",
    "orange": "accepted-with-a-remark",
}
"""What colours are likely to say. Common practice, no source."""
MOST_WORDS = 12
"""Words that are asked at once, the commonest first; others are told. Our choice."""
NO_GRADES = GradeMeanings(ratings={}, worst_first=())
OFTEN = 2
SEVERAL = 0.03
"""Share of rows from which words that are not known are asked. Our choice."""
REMARKS = frozenset(
    {"comment", "comments", "remark", "remarks", "bemerkung", "bemerkungen", "remarque"}
    | {"remarques", "observaciones", "comentarios", "notes", "note", "notiz", "notizen", "bem"}
    | {"anmerkung", "anmerkungen", "kommentar", "commentaire", "commentaires", "observation"}
    | {"observations", "observacoes", "osservazioni", "opmerking", "opmerkingen", "annotazioni"}
)
"""Headings under which a word that is not known need be no fault."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedWord:
    """A word that is not known.

    Parameters
    ----------
    field : str
    word : str
        As the sheet has it.
    count : int
        Rows in which it stands.
    proposed : str
        What it is taken for; empty where nothing speaks for anything, and its rows are left out.
    """

    field: str
    word: str
    count: int
    proposed: str


def asked_words(sheet: Understanding, name: str) -> tuple[AskedWord, ...]:
    """The words of a field that are asked; none where they are few."""
    counts, written = Counter[str](), dict[str, str]()
    for text in _unknown(sheet, name):
        counts[plain(text)] += 1
        written.setdefault(plain(text), text)
    least = 1 if name == "faults" else max(OFTEN, SEVERAL * len(sheet.table.rows))
    if counts.total() < least or (name != "faults" and counts.most_common(1)[0][1] < OFTEN):
        return ()
    return tuple(
        AskedWord(field=name, word=written[word], count=count, proposed=_guess(sheet, name, word))
        for word, count in counts.most_common(MOST_WORDS)
    )


def settled_words(sheet: Understanding) -> dict[str, Mapping[str, str]]:
    """What words mean: as a person or a legend says, or else as proposed."""
    return {
        name: {
            **{
                plain(each.word): each.proposed
                for each in asked_words(sheet, name)
                if each.proposed
            },
            **sheet.words.get(name, {}),
        }
        for name in {*ASKED_FIELDS, *sheet.words}
    }


def counts_unknown(heading: str) -> bool:
    """Whether an unknown word under a heading is a fault: among remarks it need be none."""
    return not set(plain(heading).split()) & REMARKS


def _unknown(sheet: Understanding, name: str) -> Iterator[str]:
    if name == "view":
        return _views(sheet)
    return _decisions(sheet) if name == "decision" else _faults(sheet)


def _views(sheet: Understanding) -> Iterator[str]:
    kind = sheet.all_views or sheet.given.answers.get("view") or ""
    legend = _of_legend(sheet, "view")
    known: dict[str, bool] = {}
    for row in sheet.table.rows:
        written = written_view(sheet, row)
        if written not in known:
            is_known = known_view(written, kind, sheet.usual_view) is not None
            known[written] = is_known or not plain(written) or plain(written) in legend
        if not known[written] and not is_nothing(written) and not is_doubtful(written):
            yield written


def _decisions(sheet: Understanding) -> Iterator[str]:
    heading = sheet.heading("decision")
    legend = _of_legend(sheet, "decision")
    texts = map(cell_text, sheet.table.column(heading)) if heading else ()
    for text in texts:
        known = decision_word(text) or denied_decision(text) or flag(text) is not None
        if heading == COLOUR:
            known = False
        if are_two_outcomes(text, legend):
            continue
        if not known and plain(text) and not is_doubtful(text) and plain(text) not in legend:
            yield text


def _faults(sheet: Understanding) -> Iterator[str]:
    legend = _of_legend(sheet, "faults")
    rating = sheet.heading("rating")
    for cell in sheet.table.column(rating) if rating else ():
        beside = beside_grade(cell_text(cell))
        if beside and grade_word(cell_text(cell)) in (sheet.grades or NO_GRADES).ratings:
            yield from faults_in(beside, legend).unknown if decision_word(beside) is None else ()
    for heading in sheet.headings("faults"):
        if counts_unknown(heading) or _tells_faults(sheet, heading):
            for cell in sheet.table.column(heading):
                yield from faults_in(cell_text(cell), legend).unknown


def _tells_faults(sheet: Understanding, heading: str) -> bool:
    """Whether remarks are mostly faults, so that a word that is not known is likely one too."""
    texts = [cell_text(cell) for cell in sheet.table.column(heading)]
    told = sum(bool(faults_in(text, {}).faults) for text in texts)
    return len(texts) > 3 and told > 0.6 * len(texts)


def _of_legend(sheet: Understanding, name: str) -> Mapping[str, str]:
    said = sheet.given.words.get(name, {})
    return {word: held for word, held in sheet.words.get(name, {}).items() if word not in said}


def _guess(sheet: Understanding, name: str, word: str) -> str:
    if name == "faults":
        return "cone-cut" if parts_in(word) == {"cut"} else UNKNOWN_FAULT
    if name == "view":
        return "bitewing" if sheet.usual_view and not word.isdigit() else ""
    return _guessed_decision(sheet, word)


def _guessed_decision(sheet: Understanding, word: str) -> str:
    """Accepted or rejected, as the rows with this word have no faults, or have some."""
    heading = sheet.heading("decision") or ""
    if heading == COLOUR:
        return OF_COLOURS.get(word, "accepted")
    if "retaken" in {meanings("decisions").get(each) for each in word.split()}:
        return "retaken"
    counts, bad = Counter[str](), Counter[str]()
    others = {name: target for name, target in sheet.columns.items() if name != heading}
    for row in sheet.table.rows:
        held = plain(cell_text(row.cells.get(heading)))
        counts[held] += 1
        texts = {name: cell_text(cell) for name, cell in row.cells.items()}
        bad[held] += is_bad_row(texts, others)
    usual = sum(bad.values()) / max(1, counts.total())
    is_bad = bad[word] / max(1, counts[word]) > max(0.5, usual)
    return (
        "rejected"
        if is_bad
        else "accepted"
        if bad.total() or counts[word] * 2 > counts.total()
        else "rejected"
    )


__all__ = ["ASKED_FIELDS", "AskedWord", "asked_words", "counts_unknown", "settled_words"]
