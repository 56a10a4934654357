"""Sheets as practices keep them, and what is made of them."""

import pytest

from bitewright.log.days import day_number
from bitewright.sheets.cells import Cell, CellDay, MergedCells, Sheet, Workbook, cell_text
from bitewright.sheets.dates import Order, day_reading
from bitewright.sheets.grades import decided_by_rule, decision_rules, grade_meanings, grade_word
from bitewright.sheets.pseudonyms import Pseudonyms
from bitewright.sheets.questions import questions_of
from bitewright.sheets.row_reading import rows_read
from bitewright.sheets.understanding import (
    Given,
    NoDayColumnError,
    NoTableError,
    TallySheetError,
    Understanding,
    understood,
)
from bitewright.sheets.view_words import NOT_INTRAORAL, view_in
from bitewright.sheets.word_meanings import faults_in

TODAY = day_number("2026-06-30")


def sheet(text: str, *, name: str = "", merged: tuple[MergedCells, ...] = ()) -> Sheet:
    rows: list[list[Cell]] = [
        [cell.strip() or None for cell in line.split("|")] for line in text.strip("\n").split("\n")
    ]
    return Sheet(name=name, rows=rows, lines=range(1, len(rows) + 1), merged=merged)


def made_of(*sheets: Sheet, name: str = "audit", **answers: str) -> Understanding:
    workbook = Workbook(name=name, digest="", sheets=sheets)
    return understood(workbook, Given(answers=answers), today=TODAY)


def read(found: Understanding) -> list[dict[str, str]]:
    rows = list(rows_read(found, Pseudonyms({})))
    assert [fault for row in rows for fault in row.faults] == []
    return [row.fields for row in rows]


def test_a_german_sheet_of_two_line_headings_marks_and_days_of_a_month() -> None:
    text = """
Röntgenprotokoll
Januar 2025
|| Patient || Aufnahme || Qualität ||| | Belichtung |
Nr.|Tag|Nachname|Vorname|Art|Seite|1|2|3|Fehler|kV|Zeit (s)|ZFA
1|3.|Müller|Anna|BF Molaren|re|x||||65|0,16|Jana
2|14.|Schmidt|Jörg|BF Prämolaren|li|||x|Tubusfehler|65|160 ms|Jana
Summe|2|||||1||1
"""
    found = made_of(sheet(text), decisions="reject 3")
    first, second = read(found)
    assert (first["day"], first["view"], first["rating"]) == (
        "2025-01-03",
        "right-molar",
        "uk-2001:1",
    )
    assert (first["decision"], second["decision"]) == ("accepted", "rejected")
    assert (second["faults"], second["exposure_time_s"]) == ("cone-cut", "0.16")
    assert (first["case"], second["case"], first["operator"]) == (
        "case-0001",
        "case-0002",
        "staff-01",
    )


def test_one_sheet_a_month_is_one_table_and_a_summary_is_left_out() -> None:
    months = [
        sheet(
            "Fecha|Historia|Realizada por|Tipo|Lado|Calidad\n"
            + "\n".join(
                f"{day}/{month}/24|40{day}|AG|Aleta molares|der|Aceptable" for day in (3, 9)
            ),
            name=name,
        )
        for month, name in ((1, "Enero"), (2, "Febrero"))
    ]
    summary = sheet("Mes|Aceptable\nEnero|2\nFebrero|2", name="Resumen")
    found = made_of(*months, summary)
    assert [fields["day"] for fields in read(found)][1:3] == ["2024-01-09", "2024-02-03"]
    assert [name for name, _ in found.table.sheets_left_out] == ["Resumen"]


def test_cells_merged_downwards_and_dittos_hold_for_the_rows_below() -> None:
    text = """
Date|Patient|Operator|View|Accepted
2025-02-03|P1|S1|RBW molar|yes
||"|LBW molar|no
"""
    merged = (MergedCells(1, 0, 2, 0), MergedCells(1, 1, 2, 1))
    first, second = read(made_of(sheet(text, merged=merged)))
    assert (second["day"], second["case"], second["operator"]) == ("2025-02-03", "P1", "S1")
    assert (first["decision"], second["decision"]) == ("accepted", "rejected")


def test_a_legend_says_what_codes_stand_for() -> None:
    text = """
Date|Pt no|Operator|View|Grade|Fault
2025-02-03|11|S1|RBW molar|A|
2025-02-03|11|S1|LBW molar|N|CC
2025-02-04|12|S1|LBW molar|N|OL; CC
CC = cone cut
OL|overlapping contacts
"""
    assert [fields.get("faults") for fields in read(made_of(sheet(text)))] == [
        None,
        "cone-cut",
        "overlap|cone-cut",
    ]


@pytest.mark.parametrize(
    "text",
    [
        "Month|Films taken|Accepted|Rejected\nJan|40|35|5\nFeb|38|33|5",
        "Date|Accepted|Rejected\n2025-01-03|12|2\n2025-01-04|9|0\n2025-01-05|11|3",
        "Fault|Count|Films\nCone cut||||| |||\nOverlap|||||",
    ],
)
def test_a_sheet_that_counts_films_is_refused(text: str) -> None:
    with pytest.raises((TallySheetError, NoTableError, NoDayColumnError)):
        made_of(sheet(text))


def test_what_a_sheet_leaves_open_is_asked_with_a_proposal() -> None:
    rows = "\n".join(f"{day}/{month}/24|11|BW R|{grade}|{mark}" for day, month, grade, mark in ROWS)
    found = made_of(sheet(f"Date|Pt no|View|Grade|Retake\n{rows}"))
    asked = {each.ask.value: each.proposed for each in questions_of(found)}
    assert asked == {
        "date": None,
        "decisions": "reject 3",
        "retake": "was",
        "operator": "practice",
        "bitewings": "not-said",
    }


ROWS = [(5, 3, "1", ""), (3, 5, "3", "Y"), (2, 9, "2", "N"), (9, 2, "3", "Y"), (7, 7, "1", "")]


@pytest.mark.parametrize(
    ("cells", "order"),
    [
        (["3/2/25", "14/2/25"], Order.DAY_FIRST),
        (["2/3/25", "2/14/25"], Order.MONTH_FIRST),
        (["3/2/25", "2/3/25"], None),
        ([CellDay(2025, 2, 3)], Order.DAY_FIRST),
        (
            [f"{month}/{day}/25" for month in range(1, 4) for day in (2, 5, 8, 11)],
            Order.MONTH_FIRST,
        ),
    ],
)
def test_the_order_of_day_and_month_is_found_from_all_cells(
    cells: list[Cell], order: Order | None
) -> None:
    assert day_reading(cells, today=TODAY).order is order


@pytest.mark.parametrize(
    ("text", "view"),
    [
        ("BW R molar", "right-molar"),
        ("rbw pm", "right-premolar"),
        ("Bissflügel links Prämolaren", "left-premolar"),
        ("aleta de mordida derecha", "right-bitewing"),
        ("rétro-coronaire", "bitewing"),
        ("vertical BW left molar", "left-molar-vertical"),
        ("PA 36", "periapical"),
        ("BW 14-17", "right-molar"),
        ("BW 24 25", "left-premolar"),
        ("OPG", NOT_INTRAORAL),
        ("left molar", "left-molar"),
        ("a film", None),
    ],
)
def test_words_for_views(text: str, view: str | None) -> None:
    assert view_in(text) == view


@pytest.mark.parametrize(
    ("text", "faults", "unknown"),
    [
        ("cone cut & overlap 0.6 mm", ("cone-cut", "overlap:0.6"), ()),
        ("overlaped", ("overlap",), ()),
        ("Belichtung, zu hell", ("exposure", "under-exposed"), ()),
        ("mal positionné / flou", ("receptor-placement", "movement"), ()),
        ("none", (), ()),
        ("gremlins", (), ("gremlins",)),
    ],
)
def test_words_for_faults(text: str, faults: tuple[str, ...], unknown: tuple[str, ...]) -> None:
    found = faults_in(text, {})
    assert (found.faults, found.unknown) == (faults, unknown)


def test_grades_of_three_schemes_and_the_rules_that_may_follow() -> None:
    two, three = grade_meanings(["A", "N"]), grade_meanings(["Grade 1", "2 - ok", "III"])
    own = grade_meanings(["gut", "mittel", "schlecht"])
    assert two is not None
    assert three is not None
    assert own is not None
    assert (two.ratings["n"], three.ratings["3"]) == ("uk-2020:N", "uk-2001:3")
    assert decision_rules(three)[:2] == ("reject 3", "reject 3, remark 2")
    assert own.worst_first[0] == "schlecht"
    said = [
        decided_by_rule("reject 3, remark 2", grade_word(word), {}) for word in ("1", "II", "3")
    ]
    assert said == ["accepted", "accepted-with-a-remark", "rejected"]
    assert grade_meanings(["cone cut", "overlap"]) is None


def test_the_same_name_has_the_same_code_next_month() -> None:
    people = Pseudonyms({"staff-01": "Anna Smith", "case-0007": "J. Fielding"})
    assert people.code("staff", "anna  smith") == "staff-01"
    assert people.code("case", "J Fielding") == "case-0007"
    assert people.code("case", "New Person") == "case-0008"
    assert people.made == {"case-0008": "New Person"}


def test_text_of_a_cell() -> None:
    cells: list[Cell] = [3.0, 0.16, True, CellDay(2025, 2, 3), "  a  b ", None]
    assert [cell_text(cell) for cell in cells] == ["3", "0.16", "yes", "2025-02-03", "a b", ""]
