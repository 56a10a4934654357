"""What one cell tells of several things: a grade and its faults, two films, two outcomes."""

import pytest

from bitewright.sheets.pseudonyms import Pseudonyms
from bitewright.sheets.questions import Ask, questions_of
from bitewright.sheets.row_reading import rows_read
from bitewright.sheets.said_above import said_between
from tests.unit.sheets.test_understanding import faults_of, made_of, read, sheet

LEGEND = "1 = ideal  2 = usable  3 = not usable  B blurred  C cone cut  D too dark"
GLUED = """
Date|Pupil|Chart|View|Mark
2025-02-03|KL|11|R PM bitewing|1
2025-02-03|KL|12|L PM bitewing|2B
2025-02-04|MN|13|R PM bitewing|3BC/1
2025-02-04|MN|14|L PM bitewing|2D
2025-02-05|MN|15|L PM bitewing|1
2025-02-05|KL|16|L PM bitewing|3C/2B
"""


def test_a_grade_with_codes_of_faults_behind_it_is_both() -> None:
    text = f"{LEGEND}\ne.g. 3C/1 = cone cut at first, retake fine\n{GLUED.strip()}"
    films = read(made_of(sheet(text), decisions="reject 3"))
    assert [(each["rating"][-1], each.get("faults", "")) for each in films] == [
        ("1", ""),
        ("2", "movement"),
        ("3", "movement|cone-cut"),
        ("1", ""),
        ("2", "over-exposed"),
        ("1", ""),
        ("3", "cone-cut"),
        ("2", "movement"),
    ]
    assert [each.get("kind", "") for each in films].count("retake") == 2
    assert [each["decision"] for each in films].count("retaken") == 2


def test_a_stroke_that_no_line_explains_makes_no_second_film() -> None:
    found = made_of(sheet(f"{LEGEND}\n{GLUED.strip()}"))
    assert len(found.table.rows) == 6


SIDES = """
Date|Chart|By|View|Quality|Fault
2025-02-03|11|KL|BW R+L|{}|{}
2025-02-03|12|KL|BW R|1|
2025-02-04|13|MN|BW L|2|
2025-02-04|14|MN|BW R+L|1|
2025-02-05|15|MN|BW L|3|too dark
"""


@pytest.mark.parametrize("told", ["R1 L2", "L2 R1", "L 2 / R 1", "R: 1, L: 2"])
def test_a_grade_behind_each_side_is_of_that_side(told: str) -> None:
    films = read(made_of(sheet(SIDES.format(told, "")), decisions="reject 3"))
    assert [(each["view"], each["rating"]) for each in films[:2]] == [
        ("right-bitewing", "uk-2001:1"),
        ("left-bitewing", "uk-2001:2"),
    ]


def test_two_faults_of_one_side_are_not_shared_out() -> None:
    films = read(made_of(sheet(SIDES.format("2", "L: cone cut + overlap"))))
    assert [each.get("faults", "") for each in films[:2]] == ["", "cone-cut|overlap"]


def test_a_bitewing_without_a_side_among_others_with_one_is_a_bitewing() -> None:
    text = SIDES.format("1", "") + "2025-02-06|16|MN|BW|1|\n"
    assert read(made_of(sheet(text)))[-1]["view"] == "bitewing"


@pytest.mark.parametrize("mark", ["1 or 3?", "2?", "1/3", "1 oder 3"])
def test_a_grade_in_doubt_is_a_fault(mark: str) -> None:
    text = SIDES.format("1", "") + f"2025-02-06|16|MN|BW R|{mark}|\n"
    assert faults_of(made_of(sheet(text)))[-1] == "unknown grade"


MARKED = """
Fecha|Paciente|Hecha por|Proyección|Buena|Regular|Repetir
03/02/2025|11|KL|aleta der|x||
03/02/2025|12|KL|aleta izq||x|
14/02/2025|13|MN|aleta der|||x
14/02/2025|13|MN|aleta der|x||
15/02/2025|14|MN|aleta izq|x||
15/02/2025|15|MN|aleta izq|x||
16/02/2025|16|MN|aleta izq|||x
16/02/2025|17|MN|aleta izq|x||
17/02/2025|18|MN|aleta der|x||
"""
MARKED += "".join(f"{at}/02/2025|{at}|KL|aleta izq|x||\n" for at in range(18, 28))
MARKED += "28/02/2025|19|MN|aleta der|||\n"


def test_marks_under_good_fair_and_again_are_outcomes_and_none_or_two_a_fault() -> None:
    found = made_of(sheet(MARKED))
    told = [row.fields.get("decision") for row in rows_read(found, Pseudonyms({}))]
    assert told[:4] == ["accepted", "accepted-with-a-remark", "rejected", "accepted"]
    assert faults_of(found)[-1] == "no decision"
    twice = made_of(sheet(MARKED.replace("19|MN|aleta der|||", "19|MN|aleta der|x||x")))
    assert faults_of(twice)[-1] == "unknown decision"


BEST = "Date|Chart|By|View|Grade|Overlap|Cone cut|Redone\n" + "\n".join(
    f"2025-02-{1 + at:02d}|{at}|KL|BW R|{grade}|{overlap}||{again}"
    for at, (grade, overlap, again) in enumerate(
        [*[("good", "", "")] * 9, ("poor", "/", "yes"), ("poor", "/", "yes"), ("good", "", "yes")]
    )
)


def test_a_film_of_the_best_grade_that_was_made_again_is_a_fault() -> None:
    found = made_of(sheet(BEST), decisions="reject poor", retake="was")
    assert faults_of(found)[9:] == [None, None, "unknown decision"]


def test_a_stroke_marks_a_fault_in_a_column_that_is_mostly_empty() -> None:
    assert [row.get("faults", "") for row in read(made_of(sheet(BEST)))][8:11] == [
        "",
        "overlap",
        "overlap",
    ]


def test_tries_alone_are_asked_about_and_a_count_in_doubt_is_a_fault() -> None:
    text = """
Date|Chart|Operator|View|Shots|Reason
2025-02-03|1|KL|BW R|1|
2025-02-03|2|KL|BW L|2|cone cut
2025-02-04|3|MN|BW L|1?|
2025-02-04|4|MN|BW L||
2025-02-05|5|MN|BW L|1|
2025-02-05|6|MN|BW R|1|
2025-02-06|7|MN|BW R|1|
2025-02-06|8|MN|BW R|1|
"""
    text += "".join(f"2025-02-1{at}|{20 + at}|MN|BW R|1|\n" for at in range(8))
    found = made_of(sheet(text))
    assert Ask.DECISIONS in {each.ask for each in questions_of(found)}
    told = [row.fields.get("decision") for row in rows_read(found, Pseudonyms({}))]
    assert told[:3] == ["accepted", "retaken", "accepted"]
    assert faults_of(found)[3] == "unknown tries"


def test_a_film_that_a_remark_says_was_not_taken_is_a_fault() -> None:
    text = SIDES.format("1", "") + "2025-02-06|16|MN|BW R|1|not taken, patient left\n"
    assert faults_of(made_of(sheet(text)))[-1] == "void"
    text = SIDES.format("1", "") + "2025-02-06|16|MN|BW R|1|repeat not taken\n"
    assert faults_of(made_of(sheet(text)))[-1] is None


def test_a_line_that_names_a_quarter_says_nothing_of_second_films() -> None:
    assert "kind" not in said_between("2e kwartaal")
    assert "kind" not in said_between("2. Quartal")
    assert said_between("Repeat films") == {"kind": "Repeat films"}


def test_a_film_whose_day_and_patient_stand_above_is_a_row() -> None:
    text = """
Date|Chart|By|View|Grade|Fault
2025-02-03|11|KL|BW R|good|
|||BW L|good|
2025-02-04|12|MN|BW R|good|
|||BW L|poor|cone cut
2025-02-05|13|MN|BW R|good|
"""
    assert len(made_of(sheet(text)).table.rows) == 5
