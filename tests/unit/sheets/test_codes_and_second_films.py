"""Codes that a sheet explains, films made again by their view, weeks, and questions few enough."""

import pytest

from bitewright.sheets.column_facts import ColumnFacts
from bitewright.sheets.marks_under_headings import wide_columns
from bitewright.sheets.questions import Ask, questions_of
from bitewright.sheets.takes import says_second, without_second
from bitewright.sheets.view_words import view_in
from bitewright.sheets.word_meanings import faults_in
from tests.unit.sheets.test_understanding import made_of, read, sheet


def test_a_view_that_says_2nd_in_brackets_is_a_retake_of_that_view() -> None:
    text = """
Date|Chart|Request|A/N|Exposed by
04.02.2026|5036|bitewing left side|N|Hale
04.02.2026|5036|bitewing left side (2nd)|A|Hale
04.02.2026|5037|bitewing, right, molars (R)|A|Hale
"""
    rows = read(made_of(sheet(text), decisions="reject N"))
    assert [(row["view"], row.get("kind", "")) for row in rows] == [
        ("left-bitewing", ""),
        ("left-bitewing", "retake"),
        ("right-molar", "retake"),
    ]


@pytest.mark.parametrize("text", ["molar (R)", "bitewing (premolar)", "PA 12 (root)"])
def test_other_brackets_stay_part_of_the_view(text: str) -> None:
    assert not says_second(text)
    assert without_second(text) == text


@pytest.mark.parametrize(
    ("text", "view"),
    [
        ("BW E", "left-bitewing"),
        ("aleta I", "left-bitewing"),
        ("BW D", "right-bitewing"),
        ("L wing back", "left-molar"),
    ],
)
def test_a_letter_behind_a_bitewing_is_its_side(text: str, view: str) -> None:
    assert view_in(text) == view


def test_a_remark_between_rows_does_not_end_the_week() -> None:
    text = """
Herbst 2026
Tag|Karte|Aufnahme|Note|von
KW 38
Di|334|BF re PM|1|Alma
Strom weg
Fr|339|BF li M|2|Alma
KW 39
Mo|340|BF li M|2|Alma
"""
    rows = read(made_of(sheet(text), decisions="reject 3"))
    assert [row["day"] for row in rows] == ["2026-09-15", "2026-09-18", "2026-09-21"]


def test_fault_numbers_in_one_line_above_the_table_are_its_legend() -> None:
    text = """
Faults: 1 overlap  2 cone cut  3 receptor misplaced  4 crest missing
No|Date|Stud.|Chart|View|Gr.|Fault nos|Kept
1|29/01/2026|Y4-15|2600|R pm|1||y
2|29/01/2026|Y4-15|2600|L mol|3|2|n
3|29/01/2026|Y4-03|2617|R mol|2|1|y
4|30/01/2026|Y4-03|2618|L mol|2|4|y
"""
    rows = read(made_of(sheet(text)))
    assert [row.get("faults", "") for row in rows] == ["", "cone-cut", "overlap", "crest-missing"]


def test_a_fault_in_a_heading_is_told_by_the_whole_phrase() -> None:
    columns = [ColumnFacts("Défauts / coupe du cône", ["x"] * 3, 10)]
    assert wide_columns(columns) == {"Défauts / coupe du cône": "fault:cone-cut"}


def test_a_film_of_another_sort_is_not_of_the_sort_in_the_line_above() -> None:
    text = """
Bitewings, spring 2026
Cartella|lato|zona|valutazione|operatore|data
903||endorale 14|ottima|Delia|20/03/2026
907|D|PM|ottima|Delia|20/03/2026
907|S|M|accettabile|Delia|21/03/2026
"""
    rows = read(made_of(sheet(text), decisions="undecided"))
    assert [row["view"] for row in rows] == ["periapical", "right-premolar", "left-molar"]


def test_the_sort_of_film_is_asked_before_what_teeth_mean() -> None:
    rows = [f"0{at}.10.2025|004{at}|1{4 + at % 2} 15|P|x|Rusk" for at in range(1, 9)]
    made = made_of(sheet("Date|Chart|Teeth|Grade|Overlap|Student\n" + "\n".join(rows)))
    asked = [each.ask for each in questions_of(made)]
    assert Ask.VIEW in asked
    assert Ask.VIEW_WORDS not in asked


def test_a_list_without_headings_and_years_is_read_from_its_first_row() -> None:
    days = ("8-1", "20-1", "31-1", "2-2", "3-2", "5-2")
    films = ("bw r pm", "bw l m", "bw r m", "bw l pm", "bw r pm", "bw l m")
    rows = [
        f"{who}|{day}|81{at}0|{film}|0,{at + 1}|v"
        for at, (who, day, film) in enumerate(zip(("sb", "jm", "kw") * 2, days, films, strict=True))
    ]
    made = made_of(sheet("\n".join(rows)))
    assert len(made.table.rows) == len(rows)


@pytest.mark.parametrize("text", ["cone cut, repeated", "cone cut, opnieuw gemaakt"])
def test_that_a_film_was_made_again_is_no_fault_of_its_own(text: str) -> None:
    found = faults_in(text, {})
    assert (found.faults, found.unknown) == (("cone-cut",), ())
