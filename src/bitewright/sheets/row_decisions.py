"""What a row says was decided: by a column of decisions, by its grade, by its retake."""

from collections.abc import Mapping

from bitewright.sheets.asides import names_stage
from bitewright.sheets.asked_meanings import RETAKE_KEPT, UNCLEAR
from bitewright.sheets.cells import cell_text, plain, word_of
from bitewright.sheets.decision_rules import decided_by_rule
from bitewright.sheets.films_untold import made_again, rows_untold
from bitewright.sheets.grades import grade_word
from bitewright.sheets.marked_columns import MarkedColumn, is_filled
from bitewright.sheets.questions import IS, OTHERS, WAS
from bitewright.sheets.read_rows import CellFault, RowFault, RowRead
from bitewright.sheets.remarks_told import REMARK_TOLD
from bitewright.sheets.row_views import without_letter
from bitewright.sheets.second_films import SecondFilms
from bitewright.sheets.second_told import second_apart
from bitewright.sheets.takes import says_second
from bitewright.sheets.understanding import Understanding
from bitewright.sheets.word_meanings import (
    WITH_REMARK,
    decision_word,
    denied_decision,
    flag,
    has_both_marks,
    is_doubtful,
    kind_word,
)

RETAKEN, REJECTED, ACCEPTED, UNDECIDED = "retaken", "rejected", "accepted", "undecided"

SELDOM = 0.3
"""Share of films made again up to which one that is called accepted is a slip. Our choice."""
HALF = 0.5
"""The same where both columns hold marks alone, of which a film has one. Our choice."""
FEWEST_GRADES = 2
"""Grades of a scale from which a film of the best one is made again by no one. Our choice."""


class Decisions:
    """Finds the decision and the sort of exposure of a row."""

    def __init__(
        self,
        sheet: Understanding,
        answers: Mapping[str, str],
        words: Mapping[str, Mapping[str, str]],
    ) -> None:
        self._sheet = sheet
        self._answers = answers
        self._words = words.get("decision", {})
        self._decision = sheet.heading("decision")
        self._marks = sheet.wide("decision:")
        retake = answers.get("retake")
        was = sheet.heading("retaken") or (sheet.heading("retake") if retake == WAS else None)
        is_one = sheet.heading("is_retake") or (sheet.heading("retake") if retake == IS else None)
        self._was = None if was is None else MarkedColumn(sheet, was, words=self._words)
        self._is = None if is_one is None else MarkedColumn(sheet, is_one, words=self._words)
        rejected = sheet.heading("rejected")
        self._rejected = (
            None
            if rejected is None
            else MarkedColumn(sheet, rejected, (REJECTED, RETAKEN), words=self._words)
        )
        self._key, of = sheet.heading("key"), sheet.heading("retake_of")
        self._repeated = {
            (row.sheet, key_text(cell_text(row.cells[of])))
            for row in (sheet.table.rows if self._key is not None else ())
            if of is not None and of in row.cells
        }
        self._blanks_are_faults = answers.get("blanks") != UNDECIDED
        self._accepted_is_a_slip = self._is_seldom_accepted()
        self._second = SecondFilms(sheet)
        self._untold = rows_untold(sheet)
        self._again = frozenset() if self._is is None else made_again(sheet, self._is)
        self._crosses = self._decision is not None and _has_ticks(sheet, self._decision)

    def decide(self, read: RowRead, texts: Mapping[str, str]) -> None:
        """Put decision, who took it, and the sort of exposure among a row's fields."""
        retaken = self._retaken(read, texts)
        decision = self._by_column(read, texts, retaken=retaken)
        place = (read.row.sheet, read.row.line)
        no_column = self._decision is None and not self._marks
        if decision is None and (no_column or place in self._untold):
            decision = self._by_grade(read)
            if decision is None and self._answers.get("decisions") == OTHERS:
                decision = self._if_not_again(place, retaken=retaken)
        at_odds = self._is_best(read) or self._accepted_is_a_slip
        if retaken and at_odds and decision == ACCEPTED and self._was is not None:
            self._fault(read, self._was.heading, texts.get(self._was.heading, ""))
        if read.told:
            decision = read.told
        is_second = decision == RETAKE_KEPT
        decision = ACCEPTED if is_second else decision
        if retaken or (decision in {REJECTED, None} and self._is_repeated(read, texts)):
            decision = RETAKEN
        self._kind(read, texts, is_kept=self._is_kept(read, decision))
        if is_second:
            read.fields["kind"] = "retake"
        if decision is None or decision == UNDECIDED:
            read.fields.pop("decided_by", None)
            return
        read.fields["decision"] = decision
        if "decided_by" not in read.fields:
            self._somebody(read)

    def _if_not_again(self, place: tuple[str, int], *, retaken: bool | None) -> str | None:
        """What was not made again was kept; retakes marked below tell which films were."""
        if self._was is None and self._is is not None:
            return RETAKEN if place in self._again else ACCEPTED
        return ACCEPTED if retaken is False else None

    def _is_seldom_accepted(self) -> bool:
        """Whether few films made again are called accepted, so that one that is contradicts itself.

        Where most are, the decision is of the film that was made last.
        """
        if self._was is None or self._decision is None:
            return False
        marked = accepted = 0
        for row in self._sheet.table.rows:
            if self._was.says(cell_text(row.cells.get(self._was.heading))):
                text = cell_text(row.cells.get(self._decision))
                word = self._words.get(word_of(text)) or decision_word(text)
                marked += 1
                accepted += word == ACCEPTED or (word is None and flag(text) is True)
        decided = map(cell_text, self._sheet.table.column(self._decision))
        are_marks = not self._was.is_filled and all(map(flag, decided))
        return 0 < accepted <= (HALF if are_marks else SELDOM) * marked

    def _is_kept(self, read: RowRead, decision: str | None) -> bool:
        """Whether a film was kept, or by its grade would be where nobody decided."""
        if decision is not None and decision != UNDECIDED:
            return decision.startswith(ACCEPTED)
        grades = self._sheet.grades
        worst = grades.worst_first[:1] if grades is not None else ()
        return bool(read.grade) and read.grade not in worst

    def _is_best(self, read: RowRead) -> bool:
        """Whether a film has the best grade of three or more, so that nobody makes it again."""
        grades = self._sheet.grades
        order = grades.worst_first if grades is not None else ()
        if grades is None or len(order) < FEWEST_GRADES or not read.grade:
            return False
        return grades.ratings.get(read.grade) == grades.ratings.get(order[-1])

    def _is_repeated(self, read: RowRead, texts: Mapping[str, str]) -> bool:
        """Whether another row of the sheet says that it repeats this one."""
        key = key_text(texts.get(self._key, "")) if self._key else ""
        return bool(key) and (read.row.sheet, key) in self._repeated

    def _retaken(self, read: RowRead, texts: Mapping[str, str]) -> bool | None:
        """Whether the film was made again; None where nothing says so."""
        if self._was is None:
            return None
        text = texts.get(self._was.heading, "")
        said = self._was.says(text)
        if said is None and (self._decision is None or text) and self._blanks_are_faults:
            self._fault(read, self._was.heading, text)
        return said

    def _by_column(
        self, read: RowRead, texts: Mapping[str, str], *, retaken: bool | None
    ) -> str | None:
        if self._decision is not None:
            return self._of_decision(read, texts.get(self._decision, ""), retaken=retaken)
        if self._marks:
            return self._by_marks(read, texts)
        if self._rejected is None:
            return None
        text = texts.get(self._rejected.heading, "")
        said = self._rejected.says(text)
        if said is None and self._blanks_are_faults:
            self._fault(read, self._rejected.heading, text)
        return None if said is None else REJECTED if said else ACCEPTED

    def _by_marks(self, read: RowRead, texts: Mapping[str, str]) -> str | None:
        """The decision over the one column of several that is marked."""
        named = [(at, texts.get(at, "")) for at in self._marks if flag(texts.get(at, ""))]
        if len(named) == 1:
            return self._marks[named[0][0]]
        if named or self._blanks_are_faults:
            self._fault(read, next(iter(self._marks)), "; ".join(at for at, _ in named))
        return None

    @staticmethod
    def _fault(read: RowRead, heading: str, given: str) -> None:
        why = RowFault.UNKNOWN_DECISION if given else RowFault.NO_DECISION
        read.faults.append(CellFault(heading=heading, given=given, fault=why))

    def _of_decision(self, read: RowRead, text: str, *, retaken: bool | None) -> str | None:
        heading = self._decision or ""
        if not text:
            rejected = self._rejected and self._rejected.says(
                cell_text(read.row.cells.get(self._rejected.heading))
            )
            if rejected:
                return REJECTED
            if self._is_told(heading) and not retaken and self._blanks_are_faults:
                read.faults.append(CellFault(heading=heading, given="", fault=RowFault.NO_DECISION))
            return None
        if self._words.get(word_of(text)) is None:
            text = second_apart(text) or text
        is_denied = denied_decision(text) is not None and decision_word(text) is None
        doubtful = is_doubtful(text) or is_denied
        said_so = None if has_both_marks(text) else self._words.get(word_of(text))
        word = said_so or (None if doubtful else decision_word(text))
        if word is None and self._crosses and plain(text) in {"x", "xx"}:
            word = REJECTED
        said = None if doubtful else flag(text)
        if word == UNCLEAR:
            word, said = None, None
        if word is None and said is not None:
            kept = WITH_REMARK if REMARK_TOLD.search(plain(text)) else ACCEPTED
            word = kept if said else REJECTED
        if word is None:
            read.faults.append(
                CellFault(heading=heading, given=text, fault=RowFault.UNKNOWN_DECISION)
            )
        return word

    def _is_told(self, heading: str) -> bool:
        """Whether nearly every film has a decision, in this column or in the one beside it."""
        if is_filled(self._sheet, heading):
            return True
        beside = [column.heading for column in (self._was, self._rejected) if column is not None]
        rows = self._sheet.table.rows
        told = sum(any(name in row.cells for name in (heading, *beside)) for row in rows)
        return bool(beside) and told >= 0.85 * len(rows)

    def _by_grade(self, read: RowRead) -> str | None:
        rule, grades = self._answers.get("decisions"), self._sheet.grades
        if rule is None or rule == OTHERS or grades is None or not read.grade:
            return None
        return decided_by_rule(rule, read.grade, grades.same)

    def _kind(self, read: RowRead, texts: Mapping[str, str], *, is_kept: bool) -> None:
        heading = self._sheet.heading("kind")
        kind = kind_word(texts.get(heading, "")) if heading else None
        if self._is is not None and self._is.says(texts.get(self._is.heading, "")):
            kind = "retake"
        if self._was is not None and self._was.is_second(texts.get(self._was.heading, "")):
            kind = "retake"
        if self._decision is not None and second_apart(texts.get(self._decision, "")):
            kind = "retake"
        own = self._is.heading if self._is is not None else ""
        is_untold = kind is None and heading is None and not texts.get(own)
        if is_untold and self._second.marks(texts, is_kept=is_kept):
            kind = "retake"
        views = [texts.get(name, "") for name in self._sheet.headings("view")]
        if kind is None and any(map(names_stage, views)):
            kind = "planned-stage"
        if any(says_second(text) or without_letter(self._sheet, text) != text for text in views):
            kind = "retake"
        of = self._sheet.heading("retake_of")
        if of is not None and plain(texts.get(of, "")) and flag(texts[of]) is not False:
            kind = "retake"
        if kind is not None and kind != "exposure":
            read.fields["kind"] = kind

    def _somebody(self, read: RowRead) -> None:
        """Who decided, where the row itself does not say."""
        if "supervisor" in read.fields:
            return
        said = self._answers.get("decided-by", "operator")
        who = read.fields.get("operator") if said == "operator" else said
        if who:
            read.fields["decided_by"] = who


def key_text(text: str) -> str:
    """The sheet's own number of a film, whatever signs stand around it: "#12." is "12"."""
    return plain(text)


def grade_in(sheet: Understanding, texts: Mapping[str, str]) -> str:
    """The grade that a row holds, or that is marked in it; empty where none, or several."""
    heading = sheet.heading("rating")
    if heading is not None:
        return grade_word(texts[heading]) if texts.get(heading) else ""
    marked = [name for at, name in sheet.wide("grade:").items() if flag(texts.get(at, ""))]
    return grade_word(marked[0]) if len(marked) == 1 else ""


def _has_ticks(sheet: Understanding, heading: str) -> bool:
    """Whether ticks stand in a column, beside which an x is a cross."""
    return any(cell_text(cell) in {"✓", "✔", "√", "☑"} for cell in sheet.table.column(heading))


__all__ = ["Decisions", "grade_in", "key_text"]
