"""Reading rows of a sheet that was understood as fields of the log."""

from collections.abc import Mapping, Sequence

from bitewright.sheets.asides import is_awaited
from bitewright.sheets.asked_meanings import UNCLEAR
from bitewright.sheets.asked_words import counts_unknown, settled_words
from bitewright.sheets.cells import cell_text, plain, word_of
from bitewright.sheets.close_words import CloseWords
from bitewright.sheets.column_facts import STROKES
from bitewright.sheets.decision_rules import banded
from bitewright.sheets.doubled_rows import doubled_lines
from bitewright.sheets.grades import are_two_grades, beside_grade
from bitewright.sheets.marked_columns import FILLED, is_filled
from bitewright.sheets.number_scales import most_on_scale, number_on_scale
from bitewright.sheets.outcomes_at_odds import with_odd_outcomes_told
from bitewright.sheets.pseudonyms import CASE, Pseudonyms, has_title, own_code
from bitewright.sheets.questions import SIDE_ALONE, settled_answers
from bitewright.sheets.read_rows import CellFault, RowFault, RowRead
from bitewright.sheets.row_days import DaysOfRows
from bitewright.sheets.row_decisions import Decisions, grade_in, key_text
from bitewright.sheets.row_people import PeopleOfRows, is_gap
from bitewright.sheets.row_views import known_view, places_told, regions_told, written_view
from bitewright.sheets.said_above import COLOUR
from bitewright.sheets.second_told import second_apart
from bitewright.sheets.table_body import Row
from bitewright.sheets.understanding import Understanding
from bitewright.sheets.view_words import (
    NOT_INTRAORAL,
    are_at_odds,
    are_two_sides,
    has_other_words,
    is_either_side,
    teeth_in,
    view_in,
    without_teeth,
)
from bitewright.sheets.vocabulary import longest_held, meanings, words_of
from bitewright.sheets.word_meanings import (
    UNKNOWN_FAULT,
    decision_word,
    faults_in,
    flag,
    is_doubtful,
    is_nothing,
    number_in,
    without_some_fault,
)

FREE = ("level", "room", "receptor", "holder", "reason")
NUMBERS = ("tube_voltage_kv", "tube_current_ma", "exposure_time_s", "fault_size")
LONGEST = 80
FEWEST_SAME = 4
"""Cells that a row must have, to be the one above once more and not another film. Our choice."""
CROSSED_OUT = "crossed out"
DIFFER = 0.9
"""Share of numbers that stand there once, from which one that stands there twice is a slip."""
MOSTLY = 0.9
LEAST_CUT = 3
"""Letters from which a word is a grade of the sheet cut short, where one alone begins so. Our
choice."""


def rows_read(sheet: Understanding, people: Pseudonyms) -> Sequence[RowRead]:
    """Every row of a sheet, read."""
    reading = RowReading(sheet, people)
    return with_odd_outcomes_told(sheet, [reading.read(row) for row in sheet.table.rows])


class RowReading:
    """Reads rows one by one."""

    def __init__(self, sheet: Understanding, people: Pseudonyms) -> None:
        self._sheet = sheet
        self._people = people
        self._answers = settled_answers(sheet)
        self._words = settled_words(sheet)
        self._days = DaysOfRows(sheet, self._answers)
        self._decisions = Decisions(sheet, self._answers, self._words)
        self._grades_told = self._answers.get("blanks") != "undecided" and _has_grades(sheet)
        self._has_grades = _has_grades(sheet)
        self._somebody = PeopleOfRows(sheet, people, self._answers, self._words)
        self._cases = _case_headings(sheet)
        self._told = {"retaken"} if self._grades_told else {"retaken", "undecided"}
        self._regions_told = regions_told(sheet)
        self._places = places_told(sheet) if self._regions_told else []
        self._sided = [*sheet.headings("view"), *sheet.headings("side")]
        self._one_a_row = self._answers.get("several") == "one"
        self._grade_words = CloseWords(sheet.grades.ratings if sheet.grades is not None else {})
        self._scale = _scale(sheet)
        self._keys_differ = _keys_differ(sheet)
        self._last_key = _last_key(sheet)
        self._counts = any(is_filled(sheet, name) for name in sheet.headings("tries"))
        self._seen: set[tuple[str, str]] = set()
        self._doubled = doubled_lines(sheet)
        self._in_ms = {name: _is_ms(sheet, name) for name in sheet.headings("exposure_time_s")}

    def read(self, row: Row) -> RowRead:
        """One row."""
        texts = {name: cell_text(cell) for name, cell in row.cells.items()}
        read = RowRead(row=row)
        self._days.put(read, row)
        self._view(read, texts)
        self._somebody.put(read, texts)
        self._case(read, texts)
        self._grade(read, texts)
        self._decisions.decide(read, texts)
        self._faults(read, texts)
        self._plain_fields(read, texts)
        self._same_or_void(read, texts)
        return read

    def _same_or_void(self, read: RowRead, texts: Mapping[str, str]) -> None:
        """What is wrong with a row as a whole: it is that above once more, or does not count."""
        row, tries = read.row, self._sheet.heading("tries")
        counted = texts.get(tries, "") if tries else ""
        if tries and (counted == "0" or is_doubtful(counted) or (not counted and self._counts)):
            why = RowFault.NO_TRY if counted == "0" else RowFault.UNKNOWN_TRIES
            read.faults.append(CellFault(heading=tries, given=counted, fault=why))
        if (row.sheet, row.line) in self._doubled and len(texts) >= FEWEST_SAME:
            heading = self._sheet.heading("case") or ""
            read.faults.append(CellFault(heading=heading, given="", fault=RowFault.SAME_AS_ABOVE))
        words, missing = words_of("void", "words"), words_of("void", "not taken")
        for name in (*self._sheet.headings("note"), *self._sheet.headings("faults")):
            said = plain(texts.get(name, ""))
            is_missing = any(f"{said} ".startswith(f"{each} ") for each in missing)
            if is_missing or longest_held(said, words) is not None:
                read.faults.append(CellFault(heading=name, given=texts[name], fault=RowFault.VOID))
                return
        for name in self._sheet.headings("void"):
            if flag(texts.get(name, "")):
                read.faults.append(CellFault(heading=name, given="", fault=RowFault.VOID))
                return
        if row.above.get("decision") == CROSSED_OUT and self._sheet.heading("decision") != COLOUR:
            read.faults.append(CellFault(heading="", given="", fault=RowFault.VOID))

    def _view(self, read: RowRead, texts: Mapping[str, str]) -> None:
        sheet = self._sheet
        parts = [texts[name] for name in sheet.headings("view") if texts.get(name)]
        marked = [view for name, view in sheet.wide("view:").items() if flag(texts.get(name, ""))]
        written = written_view(sheet, read.row)
        given = self._words.get("view", {})
        bare = without_teeth(written)
        words = map(word_of, (written, *parts, bare))
        own = next((given[word] for word in words if word in given), None)
        if own == "bitewing" and bare != written:
            own = view_in(f"bitewing {written}") or own  # its teeth tell where it was taken
        kind = sheet.all_views or self._answers.get("view") or ""
        view = (
            own
            or (marked[0] if len(marked) == 1 else None)
            or known_view(written, kind, sheet.usual_view)
        )
        heading = next((name for name in sheet.headings("view")), "")
        if view in SIDE_ALONE and self._answers.get("bitewings") in {"premolar", "molar"}:
            view = f"{view.partition('-')[0]}-{self._answers['bitewings']}"
        untold = self._is_untold(texts)
        if view == NOT_INTRAORAL:
            read.is_outside = True
            read.faults.append(
                CellFault(heading=heading, given=written, fault=RowFault.NOT_INTRAORAL)
            )
        elif (
            view in {None, UNCLEAR}
            or untold
            or (view in SIDE_ALONE and own is None and self._is_of_no_region(written, texts))
            or (view == "bitewing" and self._one_a_row and is_either_side(written))
            or are_at_odds([texts.get(name, "") for name in self._sided])
            or any(are_two_sides(texts.get(name, "")) for name in sheet.headings("side"))
        ):
            why = RowFault.UNKNOWN_VIEW if written and not untold else RowFault.NO_VIEW
            read.faults.append(CellFault(heading=heading, given=written, fault=why))
        else:
            read.fields["view"] = view
        teeth = [code for name in sheet.headings("teeth") for code in teeth_in(texts.get(name, ""))]
        if teeth:
            read.fields["teeth"] = " ".join(map(str, sorted(set(teeth))))

    def _is_untold(self, texts: Mapping[str, str]) -> bool:
        """Whether nothing in the row says where the film was taken, as nearly all others do."""
        return bool(self._places) and not any(texts.get(name) for name in self._places)

    def _is_of_no_region(self, written: str, texts: Mapping[str, str]) -> bool:
        """Whether the others tell premolar or molar, and here stands a word that is neither."""
        beside = any(texts.get(name) for name in self._sheet.headings("region"))
        return self._regions_told and (beside or has_other_words(written))

    def _case(self, read: RowRead, texts: Mapping[str, str]) -> None:
        written = " ".join(texts[name] for name in self._cases if texts.get(name))
        if written and not is_gap(written):
            code = own_code(written, needs_figure=True)
            read.fields["case"] = code or self._people.code(CASE, written)

    def _grade(self, read: RowRead, texts: Mapping[str, str]) -> None:  # noqa: C901  one a case
        grades, heading = self._sheet.grades, self._sheet.heading("rating")
        if grades is None:
            if given := texts.get(heading or "", ""):
                why = RowFault.UNKNOWN_GRADE
                read.faults.append(CellFault(heading=heading or "", given=given, fault=why))
            return
        if self._scale is not None:
            self._on_scale(read, heading or "", texts.get(heading or "", ""))
            return
        word = grade_in(self._sheet, texts)
        own = self._words.get("rating", {}).get(plain(word))
        rating = own or grades.ratings.get(word) or self._close_grade(word)
        written = texts.get(heading, "") if heading else ""
        two = are_two_grades(written, grades.ratings) or is_doubtful(written)
        rating = None if two else rating
        read.beside = beside_grade(written) if rating is not None else ""
        said = self._words.get("decision", {}).get(word_of(written), "") if rating is None else ""
        for text in (written if rating is None else "", read.beside):
            if text and decision_word(text) in self._told:
                read.told = decision_word(text) or ""
        if said and said != UNCLEAR:
            read.told = said
        if rating is not None:
            read.fields["rating"] = rating
            known = (each for each, held in grades.ratings.items() if held == rating)
            read.grade = word if word in grades.ratings else next(known, word)
        elif read.told:
            return
        elif not written and self._is_awaited(texts):
            read.told = "undecided"
        elif self._grades_told or two or (written and self._has_grades):
            why = RowFault.UNKNOWN_GRADE if written else RowFault.NO_GRADE
            read.faults.append(CellFault(heading=heading or "", given=written, fault=why))

    def _is_awaited(self, texts: Mapping[str, str]) -> bool:
        """Whether a remark says that the film has still to be graded."""
        told = (*self._sheet.headings("note"), *self._sheet.headings("faults"))
        return any(is_awaited(texts.get(name, "")) for name in told)

    def _on_scale(self, read: RowRead, heading: str, written: str) -> None:
        """A number of a long scale: no grade, but a limit tells from it what was kept."""
        number = number_on_scale(written, self._scale or 0.0)
        if number is not None:
            read.grade = f"{number:.6g}"
            rating = banded(self._answers.get("decisions", ""), read.grade)
            read.fields |= {} if rating is None else {"rating": rating}
        elif written or self._grades_told:
            why = RowFault.UNKNOWN_GRADE if written else RowFault.NO_GRADE
            read.faults.append(CellFault(heading=heading, given=written, fault=why))

    def _close_grade(self, word: str) -> str | None:
        """The rating of a grade that is mistyped or cut short."""
        found = self._grade_words.meaning(word)
        if found is None and len(word) >= LEAST_CUT:
            ratings = self._sheet.grades.ratings if self._sheet.grades is not None else {}
            begun = {rating for each, rating in ratings.items() if each.startswith(word)}
            found = begun.pop() if len(begun) == 1 else None
        return found

    def _faults(self, read: RowRead, texts: Mapping[str, str]) -> None:
        given = self._words.get("faults", {})
        named: dict[str, None] = {}
        for heading in self._sheet.headings("faults"):
            found = faults_in(texts.get(heading, ""), given)
            named.update(dict.fromkeys(found.faults))
            if found.unknown and counts_unknown(heading):
                named.setdefault(UNKNOWN_FAULT)
        told = texts.get(self._sheet.heading("decision") or "", "")
        if told and plain(told) not in meanings("decisions"):
            told = without_some_fault(second_apart(told) or told)
            beside = faults_in(_without_decision(told) or told, given).faults
            named.update(dict.fromkeys(each for each in beside if each != UNKNOWN_FAULT))
        if read.beside:
            named.update(dict.fromkeys(faults_in(read.beside, given).faults))
        for heading, name in self._sheet.wide("fault:").items():
            text = texts.get(heading, "")
            is_stroke = text in STROKES and not is_filled(self._sheet, heading)
            if (
                text
                and flag(text) is not False
                and (is_stroke or flag(text) or not is_nothing(text))
            ):
                named.setdefault(name)
        size = self._sheet.heading("fault_size")
        number = number_in(texts.get(size, "")) if size else None
        if number is not None and len(named) == 1 and ":" not in next(iter(named)):
            named = {f"{next(iter(named))}:{number[0]:g}": None}
        if named:
            read.fields["faults"] = "|".join(named)

    def _plain_fields(self, read: RowRead, texts: Mapping[str, str]) -> None:
        sheet = self._sheet
        for target in FREE:
            heading = sheet.heading(target)
            text = texts.get(heading, "")[:LONGEST] if heading else ""
            if text and not is_gap(text):
                said = self._words.get(target, {}).get(plain(text), text)
                read.fields[target] = self._people.code("room", said) if has_title(said) else said
        for target in NUMBERS[:-1]:
            heading = sheet.heading(target)
            if heading and texts.get(heading) and not is_gap(texts[heading]):
                self._number(read, heading, target, texts[heading])
        key, of = sheet.heading("key"), sheet.heading("retake_of")
        read.sheet_key = key_text(texts.get(key, "")) if key else ""
        read.repeats = key_text(texts.get(of, "")) if of else ""
        place = (read.row.sheet, read.sheet_key)
        if read.sheet_key and self._keys_differ:
            if place in self._seen:
                read.faults.append(
                    CellFault(heading=key or "", given=texts[key or ""], fault=RowFault.DOUBLE)
                )
            self._seen.add(place)
        if of and read.repeats.isdigit() and int(read.repeats) > self._last_key > 0:
            read.faults.append(CellFault(heading=of, given=texts[of], fault=RowFault.NO_SUCH_FILM))
        if self._answers.get("note") == "keep":
            said = "; ".join(texts[name] for name in sheet.headings("note") if texts.get(name))
            if said:
                read.fields["note"] = said[:500]

    def _number(self, read: RowRead, heading: str, target: str, text: str) -> None:
        found = number_in(text)
        if found is None:
            read.faults.append(CellFault(heading=heading, given=text, fault=RowFault.NO_NUMBER))
            return
        number, unit = found
        if target == "exposure_time_s" and (unit.startswith("m") or self._in_ms.get(heading)):
            number /= 1000
        read.fields[target] = f"{number:.6g}"


def _without_decision(text: str) -> str:
    """What stands behind a decision in one cell: "NOK, too dark" is "too dark"."""
    first, _, rest = text.partition(" ")
    return rest if decision_word(first.strip(",;:-")) is not None or flag(first) is not None else ""


def _scale(sheet: Understanding) -> float | None:
    """The largest number of a long scale of quality; None where grades are none."""
    if sheet.grades is None or not sheet.grades.limits:
        return None
    return most_on_scale(map(cell_text, sheet.table.column(sheet.heading("rating") or "")))


def _last_key(sheet: Understanding) -> int:
    """The largest number of a film on a sheet; nought where they are no numbers."""
    heading = sheet.heading("key")
    texts = [key_text(cell_text(cell)) for cell in sheet.table.column(heading)] if heading else []
    numbers = [int(text) for text in texts if text.isdigit()]
    return max(numbers, default=0) if len(numbers) > MOSTLY * len(texts) else 0


def _keys_differ(sheet: Understanding) -> bool:
    """Whether nearly all rows have a number of their own, so that one there twice is a slip."""
    heading = sheet.heading("key")
    texts = [
        (row.sheet, cell_text(row.cells[heading]))
        for row in sheet.table.rows
        if heading is not None and heading in row.cells
    ]
    return bool(texts) and len(set(texts)) >= DIFFER * len(texts) and not sheet.several


def _has_grades(sheet: Understanding) -> bool:
    """Whether nearly every film has a grade, so that one without is a slip."""
    heading = sheet.heading("rating")
    if heading is not None:
        return is_filled(sheet, heading)
    marks = sheet.wide("grade:")
    told = sum(any(name in row.cells for name in marks) for row in sheet.table.rows)
    return told >= FILLED * len(sheet.table.rows)


def _case_headings(sheet: Understanding) -> list[str]:
    """The columns that tell a patient: a number alone where there is one, else all of them."""
    headings = sheet.headings("case")
    numbered = [name for name in headings if _is_number_column(sheet, name)]
    return numbered[:1] or headings


def _is_number_column(sheet: Understanding, heading: str) -> bool:
    texts = [cell_text(cell) for cell in sheet.table.column(heading)]
    return bool(texts) and sum(any(c.isdigit() for c in text) for text in texts) >= 0.9 * len(texts)


def _is_ms(sheet: Understanding, heading: str) -> bool:
    if {"ms", "msec", "milliseconds", "millisekunden"} & set(plain(heading).split()):
        return True
    numbers = [
        found[0] for cell in sheet.table.column(heading) if (found := number_in(cell_text(cell)))
    ]
    return bool(numbers) and sum(number > 10 for number in numbers) > 0.8 * len(numbers)


__all__ = ["RowReading", "rows_read"]
