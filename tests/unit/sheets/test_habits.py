"""Habits in which practices keep their sheets, each in a sheet of a few rows."""

import pytest

from bitewright.sheets.questions import Ask, questions_of
from tests.unit.sheets.test_understanding import faults_of, made_of, read, sheet


def views_and_days(text: str, **answers: str) -> list[tuple[str | None, str | None]]:
    return [(row.get("view"), row.get("day")) for row in read(made_of(sheet(text), **answers))]


def test_a_day_in_a_line_of_its_own_holds_for_the_rows_below() -> None:
    text = """
Radiographs
Monday 3 March 2025
Pt|View|Taken by|Grade
1201|BW R premolar|KL|1
Tuesday 4 March 2025
Pt|View|Taken by|Grade
1203|BW R molar|MB|2
1204|BW L molar|MB|3
"""
    assert views_and_days(text) == [
        ("right-premolar", "2025-03-03"),
        ("right-molar", "2025-03-04"),
        ("left-molar", "2025-03-04"),
    ]


def test_a_column_for_each_view_is_a_film_for_each_filled_cell() -> None:
    text = """
Date|Patient|Nurse|R PM|R M|L PM|L M|Repeats
03/03/2025|101|AB|A|N|A|A|R M
14/03/2025|102|AB|A|-||N|
"""
    rows = read(made_of(sheet(text), decisions="reject N", retake="was"))
    assert [(row["view"], row["decision"]) for row in rows] == [
        ("right-premolar", "accepted"),
        ("right-molar", "retaken"),
        ("left-premolar", "accepted"),
        ("left-molar", "accepted"),
        ("right-premolar", "accepted"),
        ("left-molar", "rejected"),
    ]


def test_numbered_columns_are_films_and_numbered_faults_are_not() -> None:
    numbered = """
Datum|Pat-Nr|ZFA|Aufnahme 1|Note 1|Aufnahme 2|Note 2
3.3.25|11|JW|BF re PM|1|BF li PM|2
14.3.25|12|JW|BF re M|3||
"""
    assert [view for view, _ in views_and_days(numbered)] == [
        "right-premolar",
        "left-premolar",
        "right-molar",
    ]
    faults = """
Date|Pt|Nurse|View|Fault 1|Fault 2
03/03/2025|11|AB|BW R molar|cone cut|overlap
14/03/2025|12|AB|BW L molar||
"""
    assert [row.get("faults") for row in read(made_of(sheet(faults)))] == ["cone-cut|overlap", None]


def test_two_tables_side_by_side_are_one_after_the_other() -> None:
    text = """
Bissflügel|||||Zahnfilme
Tag|Seite|Bereich|Name||Tag|Zahn|Name
03.03.2025|re|Präm.|AB||04.03.2025|36|CD
14.03.2025|li|Mol.|AB||15.03.2025|11|CD
15.03.2025|li|Mol.|AB||16.03.2025|12|CD
"""
    assert sorted({view for view, _ in views_and_days(text) if view}) == [
        "left-molar",
        "periapical",
        "right-premolar",
    ]


def test_a_list_without_headings_is_read_by_its_cells_and_asked_about() -> None:
    text = """
03/02/2025|1001|AB|RBW premolar|A
04/02/2025|1002|CD|RBW molar|N
14/02/2025|1003|CD|LBW molar|A
15/02/2025|1004|AB|LBW molar|A
"""
    found = made_of(sheet(text), decisions="reject N")
    assert [row["view"] for row in read(found)][:2] == ["right-premolar", "right-molar"]
    assert questions_of(found)[0].ask is Ask.COLUMNS


def test_a_second_table_in_other_words_goes_on_with_the_first() -> None:
    text = """
Date|Pt|Nurse|View|Grade
13/1/25|1|AB|RBW molar|A
14/1/25|2|AB|LBW molar|N

Datum|Patient|Behandler|Aufnahme|Bewertung
16.1.25|3|CD|BF re molar|A
"""
    assert [row["operator"] for row in read(made_of(sheet(text)))] == ["AB", "AB", "CD"]


def test_two_films_in_one_row_are_two_unless_a_person_says_one() -> None:
    text = """
Date|Patient|Nurse|Films|Grade
03/03/2025|101|AB|BW right and left molar|1
14/03/2025|102|AB|2 x BW|2
"""
    assert [view for view, _ in views_and_days(text)] == [
        "right-molar",
        "left-molar",
        "right-bitewing",
        "left-bitewing",
    ]
    assert len(views_and_days(text, several="one")) == 2


def test_words_that_nobody_knows_are_asked_with_a_guess_and_never_dropped() -> None:
    text = """
Date|Pt|Nurse|View|Outcome|Fault
13/1/25|1|AB|RBW molar|filed|
14/1/25|2|AB|LBW molar|flung|zorped
15/1/25|3|AB|LBW molar|filed|
16/1/25|4|AB|LBW molar|flung|overlapp
"""
    found = made_of(sheet(text))
    asked = {each.ask: each for each in questions_of(found)}
    faults = [each for each in asked[Ask.FAULT_WORDS].words if not each.is_known]
    assert [(each.word, each.count, each.proposed) for each in faults] == [("zorped", 1, "other")]
    rows = read(made_of(sheet(text), decisions="reject flung"))
    assert [row["decision"] for row in rows] == ["accepted", "rejected"] * 2
    assert rows[3]["faults"] == "overlap"


def test_grades_of_an_own_scale_are_ordered_by_the_faults_beside_them() -> None:
    text = "Date|Chart|By|Film|Score|Why\n" + "\n".join(
        f"{day}/3/25|{day}|AM|BW R molar|{score}|{why}"
        for day, score, why in (
            (13, 5, ""),
            (14, 1, "cone cut"),
            (15, 5, ""),
            (16, 1, "overlap"),
            (17, 4, ""),
            (18, 2, "overlap"),
        )
    )
    found = made_of(sheet(text))
    assert next(each for each in questions_of(found) if each.ask is Ask.DECISIONS).proposed == (
        "reject 1"
    )


def test_a_grade_with_its_fault_or_its_retake_in_one_cell() -> None:
    text = """
Date|Pt|Nurse|View|Grade
13/1/25|1|AB|RBW molar|A
14/1/25|2|AB|LBW molar|N / cone cut
15/1/25|3|AB|LBW molar|N retaken
16/1/25|4|AB|LBW molar|A
"""
    rows = read(made_of(sheet(text), decisions="reject N"))
    assert [row["decision"] for row in rows] == ["accepted", "rejected", "retaken", "accepted"]
    assert rows[1]["faults"] == "cone-cut"


def test_a_number_twice_is_a_slip_and_a_repeated_film_was_retaken() -> None:
    text = "No|Date|Pt|Nurse|View|Kept?|Repeat of\n" + "\n".join(
        f"{number}|{day}/3/25|{number}|AB|BW L molar|{kept}|{of}"
        for number, day, kept, of in (
            *((at, 13, "Y", "") for at in range(1, 11)),
            (11, 14, "N", ""),
            (12, 14, "Y", "11"),
            (12, 14, "Y", "11"),
        )
    )
    found = made_of(sheet(text))
    assert faults_of(found) == [None] * 12 + ["double"]


@pytest.mark.parametrize(
    ("head", "rows"),
    [
        (
            "Datum|Signatur|Bild|Bedömning|Anmärkning",
            ("BW vä molar|Godkänd|", "BW hö premolar|Underkänd|konskuren och underexponerad"),
        ),
        (
            "data|wykonał|rodzaj zdjęcia|ocena|uwagi",
            ("skrz.-zgr. L trzonowce|dobre|", "skrz.-zgr. P przedtrz.|złe|ucięte i za jasne"),
        ),
    ],
    ids=["swedish", "polish"],
)
def test_other_languages(head: str, rows: tuple[str, str]) -> None:
    text = head + "".join(
        f"\n{day}.03.2026|AB|{row}" for day, row in zip((3, 14), rows, strict=True)
    )
    first, second = read(made_of(sheet(text)))
    assert (first["view"], second["view"]) == ("left-molar", "right-premolar")
    assert (first["decision"], second["decision"]) == ("accepted", "rejected")
    assert second["faults"] == "cone-cut|under-exposed"
