"""Which of several gradings counts, who a blank is, what stands beside: asked or told."""

from pathlib import Path

import pytest

from bitewright.sheets.dates import Order, month_and_year, year_turns
from bitewright.sheets.pseudonyms import Pseudonyms
from bitewright.sheets.questions import Ask, questions_of
from bitewright.sheets.row_reading import rows_read
from bitewright.sheets.word_meanings import decision_word, try_of
from bitewright.tasks.log.sheet_page import sheet_page
from bitewright.words.sheets import preview_words, question_words
from tests.unit.sheets.test_understanding import faults_of, made_of, read, sheet


def asked(text: str, **answers: str) -> dict[Ask, str]:
    """The questions of a sheet in words."""
    return {
        each.ask: question_words(each) for each in questions_of(made_of(sheet(text), **answers))
    }


READINGS = "Date|Chart|Operator|View|Own grade|Supervisor grade\n" + "\n".join(
    f"2025-02-0{1 + at % 9}|{100 + at}|S{at % 2}|BW R PM|{own}|{theirs}"
    for at, (own, theirs) in enumerate([*[("A", "A")] * 8, ("A", "N"), ("N", "A"), ("N", "N")])
)


def test_two_gradings_that_differ_are_asked_about_and_the_answer_counts() -> None:
    words = asked(READINGS)[Ask.OUTCOME_COLUMN]
    assert words == (
        "Several columns tell how a film came out. Which counts? 2 rows differ; so "
        "far Supervisor grade counts."
    )
    grades = {
        column: [
            row["rating"] for row in read(made_of(sheet(READINGS), **{"outcome-column": column}))
        ]
        for column in ("Own grade", "Supervisor grade")
    }
    assert grades["Own grade"][8:] == ["uk-2020:A", "uk-2020:N", "uk-2020:N"]
    assert grades["Supervisor grade"][8:] == ["uk-2020:N", "uk-2020:A", "uk-2020:N"]


def test_a_grade_that_each_person_has_one_of_is_none() -> None:
    rows = "\n".join(
        f"2025-02-0{1 + at % 9}|{at}|P{at % 3}|D{3 + at % 3 % 2}|BW R PM|ok" for at in range(15)
    )
    found = made_of(sheet(f"Date|Chart|Operator|Class|View|Status\n{rows}"))
    assert found.columns["Class"] == "level"
    assert not any("rating" in row for row in read(found))


def test_remarks_beside_a_column_of_faults_are_no_faults() -> None:
    text = """
Date|Chart|Operator|View|Grade|Fault|Remarks
2025-02-03|1|S1|BW R PM|N|cone cut|gag reflex
2025-02-03|2|S1|BW R PM|A||recall
2025-02-04|3|S1|BW L PM|A||gag reflex
2025-02-04|4|S1|BW L PM|A||recall
"""
    assert [row.get("faults", "") for row in read(made_of(sheet(text)))] == ["cone-cut", "", "", ""]


def test_codes_that_stand_at_the_bad_films_are_asked_about_as_faults() -> None:
    told = [("A|", "N|moon", "N|ski")[at % 3 if at < 9 else 0] for at in range(18)]
    rows = "\n".join(
        f"2025-02-0{1 + at % 9}|{at}|S1|BW R PM|{each}" for at, each in enumerate(told)
    )
    words = asked(f"Date|Chart|Operator|View|Grade|Notes\n{rows}")[Ask.FAULT_WORDS]
    assert "moon (3)" in words
    assert "ski (3)" in words


BLANKS = "Date|Chart|By|View|Result\n" + "\n".join(
    f"2025-02-0{1 + at % 9}|{at}|{('K', 'K', '', 'J', 'J', '')[at % 6]}|BW R PM|ok"
    for at in range(18)
)


def test_a_name_that_comes_again_does_not_hold_for_the_blanks_below_it() -> None:
    assert asked(BLANKS)[Ask.OPERATOR] == (
        "Some rows do not say who exposed. Who was it? 6 rows with nothing under By."
    )
    assert faults_of(made_of(sheet(BLANKS)))[:3] == [None, None, "no operator"]
    people = [row["operator"] for row in read(made_of(sheet(BLANKS), operator="dentist"))]
    assert people[:4] == ["K", "K", "dentist", "J"]


def test_tries_are_films_of_which_the_last_came_out_as_told() -> None:
    text = """
Date|Chart|Operator|View|Tries|Final image|What went wrong
2025-02-03|1|S1|BW R PM|1|kept|
2025-02-03|2|S1|BW L PM|2|kept|cone cut
2025-02-04|3|S1|BW L PM|0|kept|
2025-02-04|4|S1|BW L PM|1|gave up|too dark
"""
    found = made_of(sheet(text))
    fields = [row.fields for row in rows_read(found, Pseudonyms({}))]
    told = [(row.get("decision"), row.get("kind", ""), row.get("faults", "")) for row in fields]
    assert told[:3] == [
        ("accepted", "", ""),
        ("retaken", "", "cone-cut"),
        ("accepted", "retake", ""),
    ]
    assert faults_of(found)[3] == "no try"


@pytest.mark.parametrize(
    ("text", "told"),
    [("1.", "first"), ("2e", "second"), ("2nd", "second"), ("om", "second"), ("12", None)],
)
def test_first_and_second_tries_as_languages_write_them(text: str, told: str | None) -> None:
    assert try_of(text) == told


def test_a_room_with_a_number_is_no_month() -> None:
    assert month_and_year("Gabinete 1") == (None, None)
    assert month_and_year("Monat 3") == (3, None)


def test_days_without_a_year_go_on_past_the_turn_of_the_year() -> None:
    days = ["21.10.", "28.10.", "4.11.", "9.12.", "6.1.", "3.2."]
    assert year_turns(days, Order.DAY_FIRST) == 10
    assert year_turns(days[:4], Order.DAY_FIRST) is None
    rows = "\n".join(f"{day}|{at}|S1|BW R PM|A" for at, day in enumerate(days))
    found = made_of(sheet(f"Date|Chart|Operator|View|Grade\n{rows}"), year="2024")
    assert [row["day"] for row in read(found)][-3:] == ["2024-12-09", "2025-01-06", "2025-02-03"]


def test_a_grade_that_the_legend_leaves_out_is_told() -> None:
    rows = "\n".join(f"2025-02-03|{at}|S1|BW R PM|{'AABABACABAAD'[at]}" for at in range(12))
    text = (
        f"A = ottimo; B = accettabile; C = non diagnostico\nDate|Chart|Operator|View|Grade\n{rows}"
    )
    found = made_of(sheet(text))
    assert faults_of(found)[-1] == "unknown grade"
    assert set(faults_of(found)[:-1]) == {None}


def test_cells_of_a_table_are_no_legend() -> None:
    text = """
Date|Chart|Operator|View|Grade|Code|Remarks
2025-02-03|1|S1|BW R PM|N|F1|gag reflex
2025-02-03|2|S1|BW R PM|N|F2|gag reflex
2025-02-04|3|S1|BW L PM|A||
2025-02-04|4|S1|BW L PM|A||

F1|OVERLAP
F2|CONE CUT
"""
    assert [row.get("faults", "") for row in read(made_of(sheet(text)))][:2] == [
        "overlap",
        "cone-cut",
    ]


def test_a_mark_with_a_fault_behind_it_is_two_films_and_the_fault_of_the_first() -> None:
    text = """
R-xx = retook it, second one good
LT too light, CC cone cut
Date|Chart|Operator|View|Result
2025-02-03|A101|S1|BW R PM|ok
2025-02-03|A102|S1|BW R PM|R-LT
2025-02-04|A103|S1|BW L PM|ok
2025-02-04|A104|S1|BW L PM|R-CC
2025-02-04|A105|S1|BW L PM|ok
2025-02-04|A106|S1|BW R PM|ok
"""
    told = [
        (row["decision"], row.get("kind", ""), row.get("faults", ""))
        for row in read(made_of(sheet(text)))
    ]
    assert told[1:3] == [("rejected", "", "under-exposed"), ("accepted", "retake", "")]


def test_a_row_of_several_films_that_is_the_one_above_once_more_is_told() -> None:
    text = """
Date|Chart|Operator|Right bitewing|Left bitewing
2025-02-03|1|S1|1|1
2025-02-03|2|S1|1|2
2025-02-03|2|S1|1|2
2025-02-04|3|S1|3|1
2025-02-04|4|S1|1|1
"""
    assert faults_of(made_of(sheet(text)))[4:6] == ["same as above"] * 2


def test_a_region_that_is_none_is_told_where_the_others_have_one() -> None:
    rows = "\n".join(
        f"2025-02-03|{at}|S1|{'RL'[at % 2]}|{('PM', 'M')[at % 3 % 2]}|A" for at in range(12)
    )
    text = f"Bitewings\nDate|Chart|Operator|Side|Region|Grade\n{rows}\n2025-02-04|99|S1|R|X|A"
    assert faults_of(made_of(sheet(text)))[-1] == "unknown view"


@pytest.mark.parametrize(
    ("text", "decision"),
    [("not good", "rejected"), ("non buona", "rejected"), ("not retaken", None)],
)
def test_a_denial_of_one_good_word_and_no_more_is_a_rejection(
    text: str, decision: str | None
) -> None:
    assert decision_word(text) == decision


def test_grades_of_acceptability_in_german_are_grades() -> None:
    rows = "\n".join(
        f"2025-02-03|{at}|S1|BF re PM|{('i.O.', 'i.O.', 'bed.', 'n.i.O.')[at % 4]}"
        for at in range(16)
    )
    found = made_of(sheet(f"Datum|Pat|Behandler|Aufnahme|Ergebnis\n{rows}"))
    assert found.columns["Ergebnis"] == "rating"
    assert found.grades is not None
    assert found.grades.worst_first == ("n i o", "bed", "i o")


def test_a_word_that_is_asked_is_shown_with_the_first_row_it_stands_in() -> None:
    rows = "".join(
        f"2025-02-0{1 + at % 9},{at},S1,BW R PM,{'N,moon' if at < 4 else 'A,'}\n"
        for at in range(12)
    )
    page = sheet_page(f"Date,Chart,Operator,View,Grade,Fault\n{rows}".encode(), Path("a.csv"), ())
    (asked_words,) = (each["asked"] for each in page.questions if each["key"] == "fault-words")
    assert asked_words[0]["word"] == "moon"
    assert asked_words[0]["example"] == "line 2: 2025-02-01, BW R PM, N, moon"
    assert asked_words[0]["nothing"] == "no fault"


def test_words_that_no_question_shows_are_counted_as_guesses() -> None:
    said = preview_words(
        good=40, bad=0, outside=0, undecided=0, names=0, first="", last="", guessed=3
    )
    assert said == (
        "40 exposures can be taken; 3 of them rest on a guess of words that are not known."
    )
