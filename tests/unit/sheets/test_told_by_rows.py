"""What the rows of a sheet tell: second films, words at odds with them, days in six figures."""

import pytest

from bitewright.sheets.cells import Workbook
from bitewright.sheets.legends import legend_meanings
from bitewright.sheets.pseudonyms import Pseudonyms
from bitewright.sheets.questions import Ask, questions_of
from bitewright.sheets.row_reading import rows_read
from bitewright.sheets.understanding import Given, Understanding, understood
from tests.unit.sheets.test_understanding import TODAY, faults_of, made_of, read, sheet

PAIRS = """
Date|Chart|By|View|Result|Reason|Remark
2025-02-03|11|KL|BW R|OK||
2025-02-03|12|KL|BW L|rejected|cone cut|
2025-02-03|12|KL|BW L|OK||{0}
2025-02-04|13|MN|BW R|rejected|too dark|anxious
2025-02-04|13|MN|BW R|OK||{0}
2025-02-05|14|MN|BW L|OK||anxious
2025-02-05|15|MN|BW R|OK||anxious
"""


def with_words(text: str, **words: dict[str, str]) -> Understanding:
    workbook = Workbook(name="audit", digest="", sheets=[sheet(text)])
    return understood(workbook, Given(words=words), today=TODAY)


@pytest.mark.parametrize("remark", ["zwo", "RE-TAKE", "2a"])
def test_a_remark_that_follows_each_film_that_was_not_kept_marks_the_second_one(
    remark: str,
) -> None:
    films = read(made_of(sheet(PAIRS.format(remark))))
    assert [each.get("kind", "") for each in films] == ["", "", "retake", "", "retake", "", ""]


def test_rows_of_films_are_no_legend() -> None:
    rows = "\n".join(f"{3000 + at}|BW {'RL'[at % 2]}|Ann|fine" for at in range(9))
    text = f"chart|view|who|result\n{rows}\n4001|PA 16|Bo|kept"
    book = Workbook(name="audit", digest="", sheets=[sheet(text)])
    assert legend_meanings(book) == {}


def test_codes_explained_in_one_column_beside_the_table_are_its_legend() -> None:
    lines = ["OV overlapped contacts", "CC cone cut", "AP apex/anatomy missed", "", ""]
    rows = "\n".join(
        f"2025-02-0{at}|{at}|KL|BW R|{'n' if code else 'y'}|{code}||{line}"
        for at, (code, line) in enumerate(zip(["", "OV", "CC", "AP", ""], lines, strict=True), 1)
    )
    found = made_of(sheet(f"Date|Chart|By|Image|Diag?|Code||\n{rows}"))
    assert [each.get("faults") for each in read(found)] == [
        *(None, "overlap", "cone-cut", "receptor-placement", None)
    ]


GRADED = "\n".join(f"2025-02-{at:02d}|{at}|KL|BW R|{{{at % 3}}}" for at in range(1, 24))


def test_a_grade_cut_short_is_the_grade_that_it_begins() -> None:
    rows = GRADED.format("gut", "ausreichend", "unbr.") + "\n2025-02-25|30|KL|BW R|unbrauchb."
    found = made_of(
        sheet(f"Datum|Pat.|MFA|Aufnahme|Qualität\n{rows}"), decisions="reject unbrauchbar"
    )
    assert found.grades is not None
    assert len(found.grades.worst_first) == 3


def test_a_grade_that_is_close_to_one_is_decided_as_that_one() -> None:
    rows = GRADED.format("gut", "ausreichend", "unbrauchbar") + "\n2025-02-25|30|KL|BW R|unbrauchbr"
    found = made_of(
        sheet(f"Datum|Pat.|MFA|Aufnahme|Qualität\n{rows}"), decisions="reject unbrauchbar"
    )
    assert read(found)[-1]["decision"] == "rejected"


def test_a_word_that_stands_once_and_says_the_same_as_another_grade_is_a_fault() -> None:
    rows = GRADED.format("goed", "matig", "slecht") + "\n2025-02-25|30|KL|BW R|redelijk"
    found = made_of(sheet(f"datum|patient|wie|foto|kwaliteit\n{rows}"))
    assert faults_of(found)[-1] == "unknown grade"


def test_a_letter_that_a_legend_of_all_others_leaves_out_is_a_fault() -> None:
    rows = GRADED.format("A", "B", "C") + "\n2025-02-25|30|KL|BW R|D"
    legend = "A = parfait, B = utilisable, C = inutilisable"
    found = made_of(sheet(f"{legend}\n\nJour|Dossier|Fait par|Cliché|Qualité\n{rows}"))
    assert faults_of(found)[-1] == "unknown grade"


@pytest.mark.parametrize(
    ("cells", "days"),
    [
        (("250113", "250127", "250203", "250219"), ("2025-01-13", "2025-02-19")),
        (("130125", "270125", "030225", "190225"), ("2025-01-13", "2025-02-19")),
    ],
)
def test_days_in_six_figures_are_read_the_way_that_keeps_them_together(
    cells: tuple[str, ...], days: tuple[str, str]
) -> None:
    rows = "\n".join(f"{cell}|{at}|KL|BW R|OK" for at, cell in enumerate(cells))
    films = read(made_of(sheet(f"Datum|Patient|Tagen av|Bild|Beslut\n{rows}")))
    assert (films[0]["day"], films[-1]["day"]) == days


def test_numbers_of_patients_in_six_figures_are_no_days() -> None:
    rows = "\n".join(f"2025-02-0{at}|25011{at}|KL|BW R|OK" for at in range(1, 9))
    films = read(made_of(sheet(f"Date|Chart|By|View|Result\n{rows}")))
    assert (films[0]["day"], len({each["case"] for each in films})) == ("2025-02-01", 8)


def test_a_word_for_just_good_enough_is_asked_and_not_taken_for_a_remark() -> None:
    rows = "\n".join(f"2025-02-0{at}|{at}|KL|BW R|{word}" for at, word in enumerate(JUST, 1))
    text = f"Datum|Pat.|Wer|Bild|Urteil\n{rows}"
    (asked,) = (
        each for each in questions_of(made_of(sheet(text))) if each.ask is Ask.DECISION_WORDS
    )
    assert [(each.word, each.proposed) for each in asked.words][:1] == [
        ("knapp", "accepted-with-a-remark")
    ]
    films = read(with_words(text, decision={"knapp": "accepted"}))
    assert films[1]["decision"] == "accepted"


JUST = ("i.O.", "knapp", "i.O.", "n.i.O.", "knapp", "i.O.")
AGAIN = """
Date|Chart|By|View|Result
2025-02-03|11|KL|BW R|OK
2025-02-03|12|KL|BW L|repeated
2025-02-04|13|MN|BW R|repeated (moved)
2025-02-04|14|MN|BW R|OK
2025-02-05|15|MN|BW L|repeated
"""


def test_films_made_again_whose_second_film_is_nowhere_are_asked_about() -> None:
    asked = [each.ask for each in questions_of(made_of(sheet(AGAIN)))]
    assert Ask.DECISION_WORDS in asked
    said = {"repeated": "made-twice", "repeated moved": "made-twice"}
    films = read(with_words(AGAIN, decision=said))
    assert [each["decision"] for each in films].count("rejected") == 3
    assert [each.get("faults") for each in films if each["case"] == "13"] == ["movement", None]


def test_a_word_of_a_view_may_be_said_to_be_two_or_four_films() -> None:
    rows = "2025-02-03|11|KL|zig|OK\n2025-02-03|12|KL|zag|OK\n2025-02-04|13|KL|zig|OK"
    text = f"Date|Chart|By|View|Result\n{rows}\n2025-02-05|14|KL|zag|OK"
    said = {"zig": "two-bitewings", "zag": "four-bitewings"}
    views = [each["view"] for each in read(with_words(text, view=said))]
    assert views[:2] == ["right-bitewing", "left-bitewing"]
    assert views[2:6] == ["right-premolar", "right-molar", "left-premolar", "left-molar"]
    assert len(views) == 12


def test_a_visit_written_out_in_one_cell_is_a_row_for_each_film() -> None:
    rows = [
        "6/5/25|503 Sue|PA UR4 2 moved",
        "7/5/25|506 Ange|RBW 1, LBW 2 cone cut",
        "16/5/25|518 Ange|RBW 3 cone cut, overlap - redone 1",
        "19/5/25|524 Sue|RBW 1, LBW 1",
        "20/5/25|530 Sue|RBW",
    ]
    text = "date|pt + who|films and grade\n" + "\n".join(rows)
    found = made_of(sheet(text), decisions="reject 3")
    films = read_rows_without_faults(found)
    assert [
        (each["view"], each["rating"][-1], each.get("faults"), each.get("kind")) for each in films
    ] == [
        ("periapical", "2", "movement", None),
        ("right-bitewing", "1", None, None),
        ("left-bitewing", "2", "cone-cut", None),
        ("right-bitewing", "3", "cone-cut|overlap", None),
        ("right-bitewing", "1", None, "retake"),
        ("right-bitewing", "1", None, None),
        ("left-bitewing", "1", None, None),
    ]
    assert (films[0]["case"], films[0]["operator"]) == ("503", films[5]["operator"])
    assert faults_of(found)[-1] == "no grade"


def read_rows_without_faults(found: Understanding) -> list[dict[str, str]]:
    return [row.fields for row in rows_read(found, Pseudonyms({})) if not row.faults]


def test_teeth_behind_a_film_are_no_grades() -> None:
    rows = "\n".join(f"2025-02-0{at}|{at}|KL|PA 1{at}, BW R|OK" for at in range(1, 7))
    films = read(made_of(sheet(f"Date|Chart|By|Films|Result\n{rows}")))
    assert len(films) == 12
    assert {each["view"] for each in films} == {"periapical", "right-bitewing"}


def test_the_outcome_of_one_side_of_a_pair_is_not_that_of_the_other() -> None:
    rows = "2025-02-03|11|KL|BW D+G|ok\n2025-02-03|12|KL|BW D+G|G refusée (bougé)"
    films = read(
        made_of(sheet(f"date|dossier|par|radio|résultat\n{rows}\n2025-02-04|13|KL|BW D+G|ok"))
    )
    assert [(each["view"], each["decision"]) for each in films[2:4]] == [
        ("right-bitewing", "accepted"),
        ("left-bitewing", "rejected"),
    ]


def test_two_grades_of_a_mark_that_a_legend_explains_are_two_films() -> None:
    legend = "B = buena M = mala (no vale) M/B = mala, repetida y salió buena"
    rows = "\n".join(
        f"2025-02-0{at}|{at}|KL|BW R|{'M/B' if at == 3 else 'B'}" for at in range(1, 8)
    )
    found = made_of(
        sheet(f"{legend}\n\nFecha|Historia|Operador|Placa|Calidad\n{rows}\n2025-02-09|9|KL|BW R|M"),
        decisions="reject M",
    )
    films = read(found)
    assert [each["rating"] for each in films if each["case"] == "3"] == ["own:M", "own:B"]


def test_a_patient_written_once_is_that_of_the_rows_without_a_day_below() -> None:
    rows = ["2025-02-03|11|BW R|KL|y", "||BW L|KL|y", "|12|BW R|KL|y", '|"|BW L|KL|y']
    rows += ["2025-02-04|13|BW R|KL|y", "||BW L|KL|y", "|14|BW R|MN|n", "||BW L|MN|y"]
    films = read(made_of(sheet("Date|Chart|Image|By|Diag?\n" + "\n".join(rows))))
    assert [each["case"] for each in films] == ["11", "11", "12", "12", "13", "13", "14", "14"]


def test_rows_without_a_grade_are_faults_and_no_question() -> None:
    rows = GRADED.format("A", "B", "C") + "\n2025-02-25|30|KL|BW R|"
    text = f"Date|Chart|By|View|Grade\n{rows}"
    assert faults_of(made_of(sheet(text)))[-1] == "no grade"
    assert faults_of(made_of(sheet(text), blanks="undecided"))[-1] is None


def test_a_column_that_may_tell_the_place_of_a_film_is_asked_about() -> None:
    rows = "\n".join(f"2025-02-{at:02d}|{at}|BW|{'ab'[at % 2]}|KL|OK" for at in range(1, 14))
    found = made_of(sheet(f"Date|Chart|View|Qwx|By|Result\n{rows}"))
    assert "Qwx" in found.unsure
    questions = [each.ask for each in questions_of(found)]
    assert questions.index(Ask.COLUMNS) == 0


def test_numbers_of_earlier_rows_tell_which_film_each_repeats() -> None:
    rows = "\n".join(
        f"{at}|2025-02-{at:02d}|{at // 2}|KL|BW {'RL'[at // 2 % 2]}|{3 if at % 2 else 1}|{again}"
        for at, again in enumerate(["", "", "", "2", "", "4", "", "", "8", ""], 1)
    )
    found = made_of(sheet(f"Lp.|Data|Karta|Kto|Zdjęcie|Ocena|Qwx lp.\n{rows}"))
    assert found.columns["Qwx lp."] == "retake_of"
    assert len(found.table.rows) == 10


def test_a_word_of_a_view_is_asked_once_whatever_tooth_stands_behind_it() -> None:
    rows = "\n".join(f"2025-02-0{at}|{at}|KL|zig 1{at}|OK" for at in range(1, 7))
    text = f"Date|Chart|By|View|Result\n{rows}\n2025-02-09|9|KL|BW R|OK"
    (asked,) = (each for each in questions_of(made_of(sheet(text))) if each.ask is Ask.VIEW_WORDS)
    assert [(each.word, each.count) for each in asked.words if not each.is_known] == [("zig", 6)]
    films = read(with_words(text, view={"zig": "periapical"}))
    assert [each["view"] for each in films] == ["periapical"] * 6 + ["right-bitewing"]


def test_a_column_of_numbers_of_days_may_be_said_to_tell_the_day() -> None:
    rows = "\n".join(f"{at}|{100 + at}|KL|BW R|OK" for at in range(3, 15))
    text = f"Röntgen März 2025\n\nQwx|Pat.|Wer|Bild|Urteil\n{rows}"
    found = made_of(sheet(text))
    assert "Qwx" in next(each for each in questions_of(found)).columns
    said = made_of(sheet(text), **{"day-column": "Qwx"})
    assert read(said)[0]["day"] == "2025-03-03"


def test_one_letter_that_may_be_a_side_is_asked_with_that_side() -> None:
    rows = "\n".join(f"2025-02-0{at}|{at}|KL|BW {'hv'[at % 2]}|OK" for at in range(1, 7))
    found = made_of(sheet(f"Dag|Pasient|Hvem|Bilde|Resultat\n{rows}"))
    (asked,) = (each for each in questions_of(found) if each.ask is Ask.VIEW_WORDS)
    assert {each.word: each.proposed for each in asked.words} == {
        "BW h": "right-bitewing",
        "BW v": "left-bitewing",
    }


@pytest.mark.parametrize("again", ["retake", "again", "(2nd)"])
def test_a_word_behind_a_view_tells_a_second_film(again: str) -> None:
    rows = f"2025-02-03|11|KL|BW R|rejected\n2025-02-03|11|KL|BW R {again}|OK"
    films = read(made_of(sheet(f"Date|Chart|By|View|Result\n{rows}\n2025-02-04|12|KL|BW L|OK")))
    assert [each.get("kind") for each in films] == [None, "retake", None]


def test_a_film_that_was_accepted_and_made_again_is_a_fault_where_others_were_not() -> None:
    kept = [("no", "yes"), ("yes", ""), ("no", "yes"), ("no", "yes"), ("yes", "yes"), ("yes", "")]
    rows = "\n".join(
        f"2025-02-0{at}|{at}|KL|BW R|{ok}|{again}" for at, (ok, again) in enumerate(kept, 1)
    )
    found = made_of(sheet(f"Date|Chart|By|View|Accepted|Was retaken\n{rows}"))
    assert faults_of(found) == [None, None, None, None, "unknown decision", None]


def test_a_column_that_may_tell_the_region_beside_a_side_is_asked_about() -> None:
    rows = "\n".join(
        f"2025-02-{at:02d}|{at}|{['rechts', 'links'][at % 2]}|{['zig', 'zag'][at % 3 == 0]}|KL|ja"
        for at in range(1, 14)
    )
    found = made_of(sheet(f"BW lijst\n\nDatum|Kaart|Zijde|Qwx|Wie|Goed\n{rows}"))
    assert "Qwx" in found.unsure


@pytest.mark.parametrize("line", ["2025", ""])
def test_the_turn_of_a_year_that_a_line_names_is_counted_once(line: str) -> None:
    days = ["12 Nov", "25 Nov", "2 Dec", "11 Dec", "3 Jan", "7 Jan", "9 Jan"]
    rows = [f"{day}|{at}|BW R|KL|OK" for at, day in enumerate(days)]
    text = "\n".join(["Xray log", "", "2024", "date|chart|film|taker|result", *rows[:4]])
    text += (f"\n\n{line}||||" if line else "") + "\n" + "\n".join(rows[4:])
    films = read(made_of(sheet(text)))
    assert [each["day"] for each in films][3:5] == ["2024-12-11", "2025-01-03"]
