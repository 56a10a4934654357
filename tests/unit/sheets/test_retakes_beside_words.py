"""Second films told beside other words, marks that are no grades, pairs graded in one cell."""

import pytest

from bitewright.sheets.cells import Workbook
from bitewright.sheets.questions import Ask, questions_of
from bitewright.sheets.second_told import is_second, second_apart
from bitewright.sheets.understanding import Understanding, understood
from bitewright.tasks.log.sheet_mapping import given_answers
from tests.unit.sheets.test_understanding import TODAY, faults_of, read, sheet


def answered(text: str, *answers: str) -> Understanding:
    workbook = Workbook(name="audit", digest="", sheets=(sheet(text),))
    return understood(workbook, given_answers(answers), today=TODAY)


@pytest.mark.parametrize(
    ("text", "rest"),
    [
        ("gardé (2e prise)", "gardé"),
        ("2nd go: fine", "fine"),
        ("ok (ripetizione)", "ok"),
        ("behalten (Wiederholung)", "behalten"),
        ("verworfen (2. Aufnahme)", "verworfen"),
        ("rejected (repeat)", None),
        ("repeat - dr asked", None),
        ("kept, overlap", None),
    ],
)
def test_a_second_film_is_told_beside_its_outcome(text: str, rest: str | None) -> None:
    assert second_apart(text) == rest


@pytest.mark.parametrize(
    "text", ["seconda lastra", "is retake", "2. Aufnahme", "nueva placa", "tweede opname"]
)
def test_phrases_that_name_the_second_film(text: str) -> None:
    assert is_second(text)


AGAIN = """
Date|Chart|By|View|Grade|{0}
2025-02-03|11|KL|BW R|A|
2025-02-03|12|KL|BW L|C|{1}
2025-02-03|12|KL|BW L|A|{2}
2025-02-04|13|MN|BW R|B|
2025-02-04|14|MN|BW R|C|{1}
2025-02-04|14|MN|BW R|A|{2}
2025-02-05|15|MN|BW R|A|
2025-02-05|16|MN|BW L|B|
"""


@pytest.mark.parametrize(
    ("heading", "was", "again"),
    [("Refait ?", "oui", "reprise"), ("Retake?", "yes", "is retake")],
)
def test_one_column_tells_what_was_made_again_and_what_is_the_second_film(
    heading: str, was: str, again: str
) -> None:
    made = answered(AGAIN.format(heading, was, again), "decisions=reject C", "retake=was")
    films = read(made)
    assert [each.get("kind", "") for each in films][1:3] == ["", "retake"]
    assert [each["decision"] for each in films][1:3] == ["retaken", "accepted"]


def test_marks_below_the_same_film_that_was_not_kept_are_those_of_second_films() -> None:
    text = AGAIN.format("Retake?", "", "x").replace("|14|MN|BW R|A|", "|14|MN|BW R|C|")
    asked = {each.ask: each.proposed for each in questions_of(answered(text))}
    assert asked[Ask.RETAKE] == "is"


def test_ticks_crosses_and_a_word_for_films_made_again_are_decisions() -> None:
    rows = "\n".join(f"2025-03-{at:02d}|{at}|KL|BW R|✓" for at in range(1, 9))
    text = f"Date|Chart|By|View|OK?\n{rows}\n2025-03-10|21|KL|BW L|✗\n2025-03-11|22|KL|BW L|redo"
    decided = [each["decision"] for each in read(answered(text))]
    assert decided[-3:] == ["accepted", "rejected", "retaken"]


def test_a_rule_may_say_that_a_mark_is_no_grade() -> None:
    text = AGAIN.format("Note", "", "") + "2025-02-06|17|MN|BW L|D|\n"
    made = answered(text, "decisions=reject C, unknown D")
    assert faults_of(made)[-1] == "unknown grade"
    assert read(answered(text, "decisions=reject C"))[-1]["decision"] == "accepted"


def test_two_grades_without_a_stroke_between_are_a_fault() -> None:
    text = AGAIN.format("Note", "", "") + "2025-02-06|17|MN|BW L|A C|\n"
    assert faults_of(answered(text, "decisions=reject C"))[-1] == "unknown grade"


def test_the_scheme_of_figures_is_asked() -> None:
    text = AGAIN.format("Note", "", "")
    for letter, figure in zip("ABC", "123", strict=True):
        text = text.replace(f"|{letter}|", f"|{figure}|")
    assert Ask.SCHEME in {each.ask for each in questions_of(answered(text))}
    assert read(answered(text))[0]["rating"] == "uk-2001:1"
    assert read(answered(text, "scheme=own"))[0]["rating"] == "own:1"


PAIRS = """
Date|Chart|By|Films|Grade|Wrong|Redone?
2025-02-03|11|KL|BWs|3/1|L too dark|L redone
2025-02-03|11|KL|L BW|1||this is the redo
2025-02-04|12|KL|BWs L+R|1/2|R cone cut|
2025-02-05|13|MN|BWs|2/1||
2025-02-06|14|MN|BWs|1/1||
2025-02-07|15|MN|R BW|1||
"""


def test_a_pair_of_films_graded_in_one_cell_is_two_films_in_the_order_of_the_sheet() -> None:
    films = read(answered(PAIRS, "decisions=reject 3", "several=each", "retake=was"))
    told = [(each["view"], each["rating"][-1], each["decision"]) for each in films]
    assert told[:4] == [
        ("left-bitewing", "3", "retaken"),
        ("right-bitewing", "1", "accepted"),
        ("left-bitewing", "1", "accepted"),
        ("left-bitewing", "1", "accepted"),
    ]
    assert len(films) == 10
    assert films[2]["kind"] == "retake"


def test_a_second_table_with_other_headings_in_another_order_is_read_on() -> None:
    text = """
Date|Pt no|Taken by|View|A/N|Why N|Retaken
2025-02-03|11|KL|BW R|A||
2025-02-03|12|KL|BW L|N|too dark|yes
2025-02-04|13|KL|BW R|A||
SURGERY 2||||||
Pt|Day|View|By|Grade A or N|Retake?|Comment
5041|4 Feb 2025|BW R|MN|N|yes|cone cut
5042|5 Feb 2025|BW L|MN|A||
"""
    films = read(answered(text, "decisions=reject N"))
    assert [each["view"] for each in films][-2:] == ["right-bitewing", "left-bitewing"]
    assert (films[-2]["day"], films[-2]["faults"]) == ("2025-02-04", "cone-cut")


def test_a_worse_grade_before_a_better_one_is_asked_and_may_be_a_film_and_its_retake() -> None:
    text = AGAIN.format("Note", "", "") + "2025-02-06|17|MN|BW L|C/A|\n"
    made = answered(text, "decisions=reject C")
    assert Ask.DECISION_WORDS in {each.ask for each in questions_of(made)}
    assert faults_of(made)[-1] == "unknown grade"
    films = read(answered(text, "decisions=reject C", "decision.C/A=made-twice"))
    assert [each["rating"] for each in films][-2:] == ["own:C", "own:A"]
    assert films[-1]["kind"] == "retake"


def test_a_film_named_by_one_tooth_alone_is_a_periapical_one() -> None:
    text = AGAIN.format("Note", "", "") + "2025-02-06|17|MN|RX 21|A|\n"
    assert read(answered(text, "decisions=reject C"))[-1]["view"] == "periapical"
