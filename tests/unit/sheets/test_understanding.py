"""Sheets as practices keep them, and what is made of them."""

import pytest

from bitewright.log.days import day_number
from bitewright.sheets.best_assignment import best_assignment
from bitewright.sheets.cells import Cell, CellDay, MergedCells, Sheet, Workbook, cell_text
from bitewright.sheets.dates import Order, day_reading
from bitewright.sheets.decision_rules import decided_by_rule, decision_rules
from bitewright.sheets.grades import grade_meanings, grade_word
from bitewright.sheets.lost_rows import with_lost_rows
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


def faults_of(found: Understanding) -> list[str | None]:
    rows = rows_read(found, Pseudonyms({}))
    return [row.faults[0].fault.value if row.faults else None for row in rows]


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
        "bitewings": "not-said",
        "operator": "practice",
    }


ROWS = [(5, 3, "1", ""), (3, 5, "3", "Y"), (2, 9, "2", "N"), (9, 2, "3", "Y"), (7, 7, "1", "")]


@pytest.mark.parametrize(
    ("cells", "order"),
    [
        (["3/2/25", "14/2/25"], Order.DAY_FIRST),
        (["2/3/25", "2/14/25"], Order.MONTH_FIRST),
        (["3/2/25", "2/3/25"], None),
        (["2025/2/4", "2025/2/14"], Order.DAY_FIRST),
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
        ("R. pre-molar b/w (gagged)", "right-premolar"),
        ("interprossimale destra premolari", "right-premolar"),
        ("interproximal esquerda molares", "left-molar"),
        ("BW links premolaren", "left-premolar"),
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
        ("cone cut, no overlap; ohne Artefakte", ("cone-cut",), ()),
        ("not closed", ("not-closed",), ()),
        ("(second attempt)", (), ()),
        ("sovrapposizione, cono tagliato", ("overlap", "cone-cut"), ()),
        ("sensor mal colocado + tremida", ("receptor-placement", "movement"), ()),
        ("hoek afgesneden; te licht", ("cone-cut", "under-exposed"), ()),
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


def test_a_grade_kept_in_two_languages_is_one_grade() -> None:
    found = grade_meanings(["gut", "bon", "bonne", "gut", "mittel", "moyen", "schlecht", "mauvais"])
    assert found is not None
    assert len(set(found.ratings.values())) == 3
    assert found.ratings["bon"] == found.ratings["gut"]
    apart = grade_meanings(["excellent", "good", "fair", "poor"])
    assert apart is not None
    assert len(set(apart.ratings.values())) == 4


def test_what_contradicts_itself_is_a_fault_and_no_guess() -> None:
    text = """
Date|Pt no|Operator|Teeth|Diagnostic?|Type
Mon 03-02-2025|11|S1|14-15/44-45|yes|BW
Tue 03-02-2025|11|S1|14-15/44-45|yes|BW
Mon 03-02-2025|11|S1|14-15/34-35|yes|BW
Mon 03-02-2025|11|S1|14-15/44-45|yes/no|BW
Mon 03-02-2025|11|S1|14-15/44-45|Y?|BW
Mon 17-02-2025|12|S1|24-25/34-35|no|BW
"""
    assert faults_of(made_of(sheet(text))) == [
        None,
        "other weekday",
        "unknown view",
        "unknown decision",
        "unknown decision",
        None,
    ]


def test_a_side_alone_is_a_bitewing_where_all_others_are() -> None:
    text = """
Date|Pt no|Operator|Film|Accepted
2025-02-03|11|S1|{0} L|yes
2025-02-03|11|S1|R side|yes
2025-02-03|11|S1|XX|yes
2025-02-04|12|S1|{0} R|yes
2025-02-04|12|S1|{0} L|yes
"""
    bitewings = made_of(sheet(text.format("bitewing")))
    views = [row.fields.get("view") for row in rows_read(bitewings, Pseudonyms({}))]
    assert views[:3] == ["left-bitewing", "right-bitewing", None]
    assert faults_of(made_of(sheet(text.format("periapical"))))[1] == "unknown view"


def test_the_outcome_marked_in_one_of_several_columns() -> None:
    text = """
Date|Pt no|Operator|Film|OK|OK-ish|Redo
2025-02-03|11|S1|BW R|1||
2025-02-03|11|S1|BW L||1|
2025-02-03|12|S1|BW L|||1
2025-02-04|12|S1|BW R|1||1
2025-02-04|13|S1|BW R|||
2025-02-05|13|S1|BW L|1||
"""
    found = made_of(sheet(text))
    rows = list(rows_read(found, Pseudonyms({})))
    assert [row.fields.get("decision") for row in rows] == [
        *("accepted", "accepted-with-a-remark", "rejected", None, None, "accepted")
    ]
    assert faults_of(found)[3:5] == ["unknown decision", "no decision"]


def test_headings_of_an_export_cut_short_and_its_legend_behind_hashes() -> None:
    text = """
PAT_ID|ACQ_DT|PROC_CODE|OPER_ID|REJ_FLAG|REJ_CODES
26113|2025-01-13T09:28:50|BW-R-M|U4471|0|
26113|2025-01-14T09:30:55|BW-L-PM|U4471|1|Q1,Q2
26114|2025-01-14T09:32:42|BW-L-M|U4471|9|
26115|2025-01-15T09:32:42|BW-L-M|U4471|0|
#Q1=overlapping contacts
#Q2=cone cut
"""
    found = made_of(sheet(text))
    second = list(rows_read(found, Pseudonyms({})))[1].fields
    assert (second["day"], second["operator"], second["case"]) == ("2025-01-14", "U4471", "26113")
    assert (second["decision"], second["faults"]) == ("rejected", "overlap|cone-cut")
    assert faults_of(found) == [None, None, "unknown decision", None]


def test_faults_under_a_heading_that_says_nothing_and_the_head_of_each_page() -> None:
    text = """
datum|gemaakt door|dossier|opname|beoordeling|gezien
14 mrt 2025|S1|11|BW rechts molaren|goed|
14 mrt 2025|S1|11|BW links molaren|slecht|onderbelicht
z.o.z.
datum|gemaakt door|dossier|opname|beoordeling|gezien
2 mei 2025|S1|12|BW links premolaren|matig|scheef
9 mei 2025|S1|12|BW rechts premolaren|goed|bewogen
"""
    rows = read(made_of(sheet(text), decisions="reject slecht"))
    assert [row["day"] for row in rows] == ["2025-03-14", "2025-03-14", "2025-05-02", "2025-05-09"]
    assert [row.get("faults") for row in rows] == [None, "under-exposed", "tilted", "movement"]
    assert [row["decision"] for row in rows].count("rejected") == 1


def test_a_side_in_portuguese_is_no_ditto_below_another_side() -> None:
    text = """
Data|Processo|Operador|Lado|Tipo|Aceite
2025-02-03|11|S1|esq|interproximal|sim
2025-02-03|11|S1|dto|interproximal|sim
"""
    assert [row["view"] for row in read(made_of(sheet(text)))] == [
        "left-bitewing",
        "right-bitewing",
    ]


@pytest.mark.parametrize(
    ("heading", "cells", "decisions"),
    [
        (
            "Rejected?",
            ("rejected", "not rejected", "accepted"),
            ("rejected", "accepted", "accepted"),
        ),
        ("Repeated", ("repeated", "not repeated", "rejected"), ("retaken", "accepted", None)),
        ("Outcome", ("ok", "not good", "no retake needed"), ("accepted", "rejected", None)),
        ("Outcome", ("ok", "not acceptable", "redo"), ("accepted", "rejected", "retaken")),
    ],
)
def test_what_is_denied_is_never_taken_for_what_it_denies(
    heading: str, cells: tuple[str, ...], decisions: tuple[str | None, ...]
) -> None:
    rows = "\n".join(f"2025-02-03|11|S1|BW R molar|{cell}" for cell in (*cells, *cells))
    found = made_of(sheet(f"Date|Pt no|Operator|View|{heading}\n{rows}"))
    read_rows = list(rows_read(found, Pseudonyms({})))[:3]
    assert tuple(row.fields.get("decision") for row in read_rows) == decisions
    told = ["unknown decision" if decision is None else None for decision in decisions]
    assert faults_of(found)[:3] == told


ROWS_OF_WORDS = "\n".join(
    f"2025-02-{day:02d}|{day * 7}|{'Anna' if day % 2 else 'Boris'}|{'zig' if day % 3 else 'zag'}|"
    f"{'fine' if day % 5 else 'weg'}"
    for day in range(1, 21)
)


def test_a_view_that_no_column_tells_is_the_first_question_and_a_column_answers_it() -> None:
    table = sheet(f"Date|Chart|Operator|Qwx|Decision\n{ROWS_OF_WORDS}")
    first = questions_of(with_lost_rows(made_of(table)))[0]
    assert (first.ask.value, first.proposed) == ("view-column", None)
    assert "Qwx" in first.columns
    said = Given(answers={"view-column": "Qwx"})
    found = understood(Workbook(name="audit", digest="", sheets=(table,)), said, today=TODAY)
    assert found.heading("view") == "Qwx"
    asked = questions_of(with_lost_rows(found))
    assert [each.word for each in asked[0].words] == ["zig", "zag"]


def test_who_exposed_may_be_answered_by_a_column() -> None:
    rows = ROWS_OF_WORDS.replace("zig", "RBW molar").replace("zag", "LBW molar")
    table = sheet(f"Date|Chart|Room|View|Decision\n{rows}")
    (asked,) = (each for each in questions_of(made_of(table)) if each.ask.value == "operator")
    assert "column Room" in asked.answers
    assert read(made_of(table, operator="column Room"))[0]["operator"] == "staff-01"


def test_days_under_a_word_that_is_not_known_are_days_and_those_of_birth_are_not() -> None:
    born = "\n".join(
        f"3/{day}/{1950 + 3 * day}|14/{day}/2025|RBW molar|S1|A" for day in range(1, 10)
    )
    found = made_of(sheet(f"Zlorp|Kriv|View|Operator|Grade\n{born}"))
    assert found.heading("day") == "Kriv"


def test_columns_are_told_together_so_that_the_sum_is_best() -> None:
    best = best_assignment(
        {
            ("one", ("view", "")): 5.0,
            ("one", ("day", "")): 4.0,
            ("two", ("view", "")): 4.5,
            ("three", ("day", "")): 0.2,
        }
    )
    assert best == {"one": ("day", ""), "two": ("view", "")}
