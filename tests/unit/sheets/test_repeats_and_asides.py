"""Films made again told beside other things, days left out, and remarks that are no faults."""

from pathlib import Path

import pytest

from bitewright.files.workbooks import workbook_from_bytes
from bitewright.sheets.legends import legend_meanings
from bitewright.sheets.second_told import is_surely_second
from bitewright.sheets.takes import says_second, without_second
from bitewright.sheets.view_words import view_in
from bitewright.sheets.word_meanings import faults_in
from tests.unit.sheets.test_marks_and_lines import also_bad
from tests.unit.sheets.test_understanding import faults_of, made_of, read, sheet


@pytest.mark.parametrize(
    ("written", "view"),
    [
        ("BF rechts Wdh.", "right-bitewing"),
        ("L b/w rpt", "left-bitewing"),
        ("R PM BW - RT", "right-premolar"),
        ("bitewing left redo", "left-bitewing"),
        ("BW links herh.", "left-bitewing"),
        ("BW D bis", "right-bitewing"),
    ],
)
def test_a_short_word_behind_a_view_says_that_the_film_is_a_retake(written: str, view: str) -> None:
    assert says_second(written)
    assert view_in(without_second(written)) == view


@pytest.mark.parametrize("written", ["BW rt", "bw rt", "rt bw", "BW", "PA rt"])
def test_a_side_is_no_word_for_a_retake(written: str) -> None:
    assert not says_second(written)


@pytest.mark.parametrize(
    "remark",
    ["redo of one above", "rpt of previous", "Wdh. zu Nr. 5", "of 12", "repetición de la anterior"],
)
def test_a_remark_that_names_the_film_before_is_of_a_retake(remark: str) -> None:
    assert is_surely_second(remark)


def test_one_column_may_tell_of_films_taken_again_and_of_their_retakes() -> None:
    lines = [f"{day}/07/2026|{day}|R bw|Mel|A|" for day in range(1, 15)]
    pairs = [
        f"{day}/07/2026|{day}|R bw|Mel|{grade}|{told}"
        for day in (15, 16, 17)
        for grade, told in (("N", "taken"), ("A", "is rpt"))
    ]
    text = "\n".join(("Date|Pt|Film|By|Grade|Repeat", *lines, *pairs))
    rows = read(made_of(sheet(text), decisions="reject N"))
    told = [(row["decision"], row.get("kind", "")) for row in rows[-6:]]
    assert told == [("retaken", ""), ("accepted", "retake")] * 3


def test_a_grade_under_a_heading_for_repeats_is_that_of_the_retake() -> None:
    lines = [f"{day}/07/2026|{day}|R bw|Mel|A|" for day in range(1, 15)]
    again = [f"{day}/07/2026|{day}|R bw|Mel|N|A" for day in (15, 16)]
    text = "\n".join(("Date|Pt|Film|By|Grade|Rpt", *lines, *again))
    rows = read(made_of(sheet(text), decisions="reject N"))
    told = [(row["decision"], row.get("kind", ""), row["rating"]) for row in rows[-4:]]
    both = [("retaken", "", "uk-2020:N"), ("accepted", "retake", "uk-2020:A")]
    assert told == both * 2


def test_a_cross_under_a_heading_for_repeats_is_no_grade_of_a_retake() -> None:
    lines = [f"{day}/07/2026|{day}|BW dr.|Mel|{('✔|', '|✘')[day % 9 == 0]}" for day in range(1, 25)]
    text = "\n".join(("Date|Dossier|Cliché|Qui|Gardé|Refait", *lines))
    rows = also_bad(made_of(sheet(text)))
    assert len(rows) == 24
    assert not any("kind" in row for row in rows)


def test_two_outcomes_with_a_stroke_are_never_one_kept_retake() -> None:
    lines = [f"{day}/07/2026|{day}|R bw|Mel|kept" for day in range(1, 15)]
    text = "\n".join(("Date|Pt|Film|By|Outcome", *lines, "15/07/2026|9|R bw|Mel|kept / retaken"))
    assert faults_of(made_of(sheet(text)))[-1] is not None


def test_a_day_without_its_year_is_of_the_year_of_the_days_around() -> None:
    lines = [f"{day}/07/2026|{day}|R bw|Mel|A" for day in range(1, 15)]
    text = "\n".join(
        ("Date|Pt|Film|By|Grade", "30 Jun|99|L bw|Mel|A", *lines, "2 Aug|9|R bw|Mel|A")
    )
    rows = read(made_of(sheet(text)))
    assert (rows[0]["day"], rows[-1]["day"]) == ("2026-06-30", "2026-08-02")


def test_an_empty_day_among_dittos_is_the_one_above() -> None:
    lines = [f'{day}/07/2026|{day}|R bw|Mel|A\n"|{day}|L bw|"|A' for day in range(10, 20)]
    text = "\n".join(("Date|Pt|Film|By|Grade", *lines, "|19|R bw|Mel|A"))
    assert read(made_of(sheet(text)))[-1]["day"] == "2026-07-19"


def test_a_grade_cut_to_three_letters_is_the_one_that_begins_so() -> None:
    lines = [f"{day}/07/2026|{day}|BW D|Mel|{('bon', 'moyen')[day % 2]}" for day in range(1, 25)]
    text = "\n".join(("Date|Patient|Film|Qui|Qualité", *lines, "25/07/2026|9|BW D|Mel|moy."))
    assert also_bad(made_of(sheet(text)))[-1]["rating"] == "own:moyen"


def test_the_worst_of_marked_grades_is_a_grade_whatever_its_word_says_of_decisions() -> None:
    lines = [
        f"{day}/07/2026|{day}|BF re|Jana|{('x||', '|x|', '||x')[day % 3]}" for day in range(1, 25)
    ]
    text = "\n".join(("Datum|Pat.|Aufnahme|von|Bildqualität||", "||||gut|mittel|schlecht", *lines))
    found = made_of(sheet(text))
    assert found.grades is not None
    assert found.grades.worst_first[0] == "schlecht"


def test_a_column_of_quality_with_repeats_in_it_tells_outcomes() -> None:
    told = ("i.O.", "i.O.", "n.i.O.", "n.i.O./Wdh.")
    lines = [f"{day}/07/2026|{day}|BF re|Jana|{told[day % 4]}" for day in range(1, 25)]
    rows = read(made_of(sheet("\n".join(("Datum|Pat.|Aufnahme|von|Qualität", *lines)))))
    assert [row["decision"] for row in rows[:4]] == ["accepted", "rejected", "retaken", "accepted"]
    assert not any("rating" in row for row in rows)


@pytest.mark.parametrize(
    ("remark", "faults"),
    [
        ("c/cut, nervous pt", ("cone-cut",)),
        ("o/lap, caries lower 6", ("overlap",)),
        ("Pat. kam zu spät", ()),
        ("retard", ()),
        ("no change since last", ()),
        ("rpt film", ()),
        ("not fully closed", ("not-closed",)),
        ("nervous pt, moved", ("movement",)),
    ],
)
def test_asides_beside_faults_are_none(remark: str, faults: tuple[str, ...]) -> None:
    found = faults_in(remark, {})
    assert (found.faults, found.unknown) == (faults, ())


def test_a_tick_under_a_fault_marks_it_also_where_others_write_a_cross() -> None:
    lines = [f"{day}/07/2026|{day}|R bw|Mel|A|{'x' if day % 5 else ''}||" for day in range(1, 20)]
    text = "\n".join(
        (
            "Date|Pt|Film|By|Grade|Cone cut|Moved|Tilted",
            *lines,
            "20/07/2026|9|R bw|Mel|N|||✓",
            "21/07/2026|8|R bw|Mel|N||x|",
        )
    )
    assert read(made_of(sheet(text)))[-2]["faults"] == "tilted"


def test_a_film_to_be_graded_is_undecided() -> None:
    lines = [f"{day}/07/2026|{day}|R bw|Mel|{'AN'[day % 9 == 0]}|" for day in range(1, 28)]
    text = "\n".join(
        ("Date|Pt|Film|By|Grade|Fault", *lines, "28/07/2026|9|R bw|Mel||awaiting Dr V")
    )
    rows = read(made_of(sheet(text), decisions="reject N"))
    assert "decision" not in rows[-1]
    assert rows[-2]["decision"] == "rejected"


def test_a_stage_of_a_treatment_is_planned() -> None:
    lines = [f"{day}/07/2026|{day}|aleta der|Mel|buena" for day in range(1, 20)]
    text = "\n".join(
        (
            "Fecha|Exp.|Radiografía|Tomó|Calidad",
            *lines,
            "20/07/2026|9|periapical 46 conductometría|Mel|buena",
        )
    )
    assert also_bad(made_of(sheet(text)))[-1]["kind"] == "planned-stage"


def test_na_is_somebody_where_a_name_has_these_initials() -> None:
    lines = [f"{day}/07/2026|{day}|R bw|{('N. Ames', 'NA')[day % 2]}|A" for day in range(1, 20)]
    text = "\n".join(("Date|Pt|Film|Taken by|Grade", *lines))
    assert all(row.get("operator") for row in read(made_of(sheet(text))))


def test_a_polish_bitewing_of_a_side_is_no_film_of_the_bite_plane() -> None:
    assert view_in("zgryzowe prawa str.") == "right-bitewing"
    assert view_in("zgryzowe górne") == "occlusal"


def test_a_code_before_a_dash_for_no_film_keeps_its_meaning() -> None:
    workbook = workbook_from_bytes(
        b"Date,Film,Fault\n1/7/2026,R bw,MV\n"
        b"OL overlap   CC cone cut   MV movement   - not exposed,,\n",
        Path("a.csv"),
    )
    assert legend_meanings(workbook)["faults"]["mv"] == "movement"


def test_a_ditto_mark_between_strokes_begins_no_quoted_cell() -> None:
    text = (
        b"who | patient | view | grade\nOwen | 12 | bw rt | 1\n"
        b'" | 12 | bw lt | 1\nMel | 13 | bw rt | 1\n'
    )
    found = workbook_from_bytes(text, Path("a.txt")).sheets[0]
    assert [len(row) for row in found.rows] == [4] * 4


def test_a_heading_typed_with_other_signs_than_its_rows_is_one() -> None:
    text = b"X-ray log\n(date - chart - film - who)\n" + b"".join(
        f"{day} Jan | {day} | bw rt | Bev\n".encode() for day in range(1, 20)
    )
    found = workbook_from_bytes(text, Path("a.txt")).sheets[0]
    assert found.rows[1] == ["date", "chart", "film", "who"]
