"""Lists that change hands: headings in another order, a legend of two scales, rows at odds."""

from bitewright.sheets.cells import Workbook
from bitewright.sheets.grades import beside_grade, grade_meanings
from bitewright.sheets.legends import grades_explained, legend_meanings
from bitewright.sheets.questions import Ask, questions_of
from bitewright.sheets.word_meanings import decision_word
from tests.unit.sheets.test_understanding import faults_of, made_of, read, sheet

HANDED_ON = """
Date|Taken by|Pt no|Film|Grade|Comments|
13/01/26|Den|30215|R BW|A|cone cut|
13/01/26|Den|30216|L BW|N|too dark|
13/01/26|Den|30216|L BW|A||
NEW FORM - please fill in every column!||||||
Pt no|Date|Film|Taken by|Grade (A/N)|Retake done? Y/N|Fault
30491|22/04/2026|BW right|Mae|N|Y|cone cut
30491|22/04/2026|BW right|Mae|A|N|
"""


def test_a_heading_that_comes_again_in_another_order_and_partly_in_other_words() -> None:
    found = made_of(sheet(HANDED_ON), decisions="reject N", retake="was")
    rows = read(found)
    assert [row["day"] for row in rows] == ["2026-01-13"] * 3 + ["2026-04-22"] * 2
    assert [row["case"] for row in rows] == ["30215", "30216", "30216", "30491", "30491"]
    assert [row["rating"][-1] for row in rows] == ["A", "N", "A", "N", "A"]
    assert [row.get("faults") for row in rows[3:]] == ["cone-cut", None]


def test_faults_and_grades_with_the_same_numbers_are_two_legends_where_a_blank_parts_them() -> None:
    keys = "Nr|Meaning\n1|overlap\n2|cone cut\n3|movement\n|\nGrade|Meaning\n1|good\n2|fair\n3|poor"
    book = Workbook(name="audit", digest="", sheets=[sheet(keys, name="Keys")])
    assert legend_meanings(book)["faults"] == {"1": "overlap", "2": "cone-cut", "3": "movement"}
    assert grades_explained(book) == {"1": 0.0, "2": 0.5, "3": 1.0}


def table(rows: list[str], heading: str = "Date|Pt|Film|By|Grade|Kept|Why") -> str:
    return "\n".join((heading, *rows))


ALIKE = [
    f"{day}/07/2026|{day}|R bw|Mel|{('good|yes|', 'poor|no|dark')[day % 2]}"
    for day in range(13, 25)
]


def test_an_outcome_against_its_grade_is_a_fault_unless_something_says_why() -> None:
    odd = ["25/07/2026|25|R bw|Mel|good|no|", "26/07/2026|26|R bw|Mel|poor|yes|"]
    said = ["27/07/2026|27|R bw|Mel|good|no|moved"]
    assert faults_of(made_of(sheet(table([*ALIKE, *odd, *said])))) == [
        *[None] * 12,
        "against grade",
        "against grade",
        None,
    ]


def test_where_films_of_a_grade_come_out_either_way_none_is_a_slip() -> None:
    either = [f"{day}/07/2026|{day}|R bw|Mel|good|no|" for day in range(25, 31)]
    assert faults_of(made_of(sheet(table([*ALIKE, *either])))) == [None] * 18


def test_one_row_of_both_sides_with_a_stroke_is_a_slip_and_is_asked() -> None:
    rows = [f"{day}/07/2026|{day}|{'RL'[day % 2]} BW|Mel|good|yes|" for day in range(1, 30)]
    found = made_of(sheet(table([*rows, "30/07/2026|30|R/L BW|Mel|good|yes|"])))
    asked = {each.ask: each.proposed for each in questions_of(found)}
    assert asked[Ask.SEVERAL] == "one"
    assert faults_of(found)[-1] == "unknown view"
    each = made_of(sheet(table([*rows, "30/07/2026|30|R/L BW|Mel|good|yes|"])), several="each")
    assert [row["view"] for row in read(each)[-2:]] == ["right-bitewing", "left-bitewing"]


def test_a_retake_told_by_a_remark_counts_where_its_own_column_is_blank() -> None:
    text = """
Datum|Wer|Pat.|Aufnahme|Bewertung|Bemerkung
06.11.24|Jule|727|BF links PM|unbrauchbar|verwackelt
06.11.24|Jule|727|BF links PM|gut|Wiederholung
07.11.24|Jule|728|BF links PM|gut|
Pat.|Datum|Aufnahme|Bewertung|Bemerkung|Wdh.?|Wer
969|08.01.2025|BF links M|unbrauchbar|verwackelt||Samira
969|08.01.2025|BF links M|gut||Wiederholung|Samira
"""
    found = made_of(sheet(text), decisions="reject unbrauchbar", retake="is")
    assert [row.get("kind") for row in read(found)] == [None, "retake", None, None, "retake"]


def test_a_word_for_a_bad_grade_is_the_worst_though_others_have_more_faults() -> None:
    rows = [
        *(f"{day}/07/2026|{day}|R bw|Mel|Marginal|yes|cone cut" for day in range(1, 9)),
        *(f"{day}/07/2026|{day}|R bw|Mel|Diagnostic|yes|" for day in range(9, 20)),
        *(f"{day}/07/2026|{day}|R bw|Mel|Non-diagnostic|{told}" for day, told in ODD),
    ]
    found = made_of(sheet(table(rows)))
    assert found.grades is not None
    assert found.grades.worst_first[0] == "non diagnostic"


ODD = ((20, "no|dark"), (21, "no|dark"), (22, "yes|"))


def test_what_a_title_explains_behind_a_label_is_a_legend_and_no_view_of_all_rows() -> None:
    rows = [
        f"{day:02d}-10-2025|Rui|2{day:03d}|{'M' if day % 2 else 'PM'}|{'DE'[day % 3 % 2]}|sim"
        for day in range(1, 20)
    ]
    titles = "Registo de bitewing\nRegião: PM = pré-molares, M = molares||Lado: D = direito"
    text = f"{titles}\nData|Aluno|N.º processo|Região|Lado|Mantida\n" + "\n".join(rows)
    found = made_of(sheet(text))
    assert {row["view"] for row in read(found)} == {
        "left-molar",
        "left-premolar",
        "right-molar",
        "right-premolar",
    }
    blank = made_of(sheet(f"{text}\n20-10-2025|Rui|2999|||sim"))
    assert faults_of(blank)[-1] == "no view"


def test_a_yes_or_no_that_goes_with_the_worst_grade_is_the_decision() -> None:
    rows = [
        f"{day:02d}.10.2025|P{day}|BF re PM|{grade}|{said}|ZA T"
        for day, (grade, said) in enumerate([("1", "ja")] * 9 + [("3", "nein")] * 3 + TWO, 1)
    ]
    heading = "Datum|Pat.|Aufnahme|Note|gesichtet?|Testat"
    found = made_of(sheet("\n".join((heading, *rows))), scheme="own", operator="K1")
    assert [row["decision"] for row in read(found)] == (
        ["accepted"] * 9 + ["rejected"] * 3 + ["accepted"] * 4
    )
    mixed = "\n".join((heading, *(row.replace("nein", "ja") for row in rows)))
    assert "decision" not in made_of(sheet(mixed), scheme="own", operator="K1").columns.values()


TWO = [("2", "ja")] * 4


def test_a_tick_and_then_a_cross_is_no_film_and_its_retake() -> None:
    rows = [f"{day:02d}/04/2025|{day}|R bw|Mel|{'✓✗'[day % 5 == 0]}" for day in range(1, 25)]
    text = "\n".join(("Date|Pt|Film|By|Kept", *rows, "26/04/2025|26|R bw|Mel|✓✗"))
    assert faults_of(made_of(sheet(text)))[-1] is not None


def test_in_order_with_limits_and_not_in_order_under_quality_are_grades() -> None:
    words = ("i.O.", "bedingt i.O.", "i.O.", "n.i.O.", "i.O.")
    rows = [f"{day:02d}.6.2025|{day}|BW R PM|Amst|{words[day % 5]}" for day in range(1, 26)]
    found = made_of(sheet("\n".join(("Datum|Dossier|Aufnahme|MPA|Qualität", *rows))))
    assert found.grades is not None
    assert found.grades.worst_first == ("n i o", "bedingt i o", "i o")


def test_faults_under_the_head_of_a_second_attempt_are_of_the_second_film() -> None:
    text = """
||||1st attempt||2nd attempt|
Date|Student|UR no.|View|Grade|Fault|Grade|Fault
10/03/2025|Tah|U1|Right molar|Fair|artefact||
10/03/2025|Bri|U2|Right molar|Poor|overexposed|Fair|cone cut
20/03/2025|Bri|U3|Left molar|Good|||
21/03/2025|Bri|U4|Left molar|Good|||
25/03/2025|Kie|U5|Left molar|Poor|too dark|Good|
26/03/2025|Kie|U6|Left molar|Good|||
27/03/2025|Kie|U7|Left molar|Fair|||
"""
    found = read(made_of(sheet(text), decisions="reject poor"))
    assert [(row.get("faults"), row.get("kind")) for row in found[1:3]] == [
        ("over-exposed", None),
        ("cone-cut", "retake"),
    ]


def test_a_reserve_beside_an_acceptance_is_one_with_a_remark_though_it_is_spelt_otherwise() -> None:
    assert decision_word("validée avec réserve") == "accepted-with-a-remark"
    assert decision_word("validée") == "accepted"


def test_a_sign_behind_several_words_explains_them_together() -> None:
    book = Workbook(
        name="audit", digest="", sheets=[sheet("BW R PM = bitewing right premolars; L = left")]
    )
    assert "pm" not in legend_meanings(book).get("view", {})


def test_two_bitewings_of_a_patient_without_their_sides_are_two_films() -> None:
    text = """
Date|Patient|X-ray|Grade|Outcome
22/5/25|Mrs Abb|BW|A|kept
22/5/25|Mrs Abb|BW|A|kept
27/5/25|Mr Ose|PA LL6|A|kept
27/5/25|Mr Ose|PA LL6|A|kept
"""
    found = made_of(sheet(text), operator="K1")
    assert faults_of(found) == [None, None, None, "same as above"]


def test_a_remark_that_says_rejected_goes_against_an_acceptance() -> None:
    rows = [f"{day}/07/2026|{day}|R bw|Mel|Accepted|" for day in range(13, 25)]
    odd = ["25/07/2026|25|R bw|Mel|Accepted|rejected - cone cut"]
    fine = ["26/07/2026|26|R bw|Mel|Rejected|rejected", "27/07/2026|27|R bw|Mel|Accepted|moved"]
    text = table([*rows, *odd, *fine], "Date|Pt|Film|By|Status|Reason")
    assert faults_of(made_of(sheet(text)))[12:] == ["against outcome", None, None]


def test_marks_under_kept_and_under_redone_at_once_are_a_fault_where_few_films_have_both() -> None:
    marks = ("x|", "x|", "x|", "|x", "x|")
    rows = [f"{day}/2/2026|{day}|molari dx|Lor|{marks[day % 5]}|" for day in range(1, 21)]
    both = ["21/2/2026|21|molari dx|Lor|X|X|", "22/2/2026|22|molari dx|Lor|x|x|"]
    text = table([*rows, *both], "Data|Cartella|Bite-wing|Assistente|Tenuta|Rifatta|Perché")
    assert [bool(each) for each in faults_of(made_of(sheet(text)))] == [False] * 20 + [True] * 2


def test_plus_and_minus_with_a_stroke_is_one_grade_where_it_stands_again_and_again() -> None:
    words = ("+", "+/-", "+", "-")
    rows = [f"{day} jan 2026|{day}|BW M R|EL|{words[day % 4]}|behouden" for day in range(1, 25)]
    found = made_of(sheet(table(rows, "datum|dossier|foto|wie|kwal.|wat mee gedaan")))
    assert {row["rating"] for row in read(found)} == {"own:+", "own:+/-", "own:-"}


def test_faults_behind_a_grade_keep_the_comma_between_them() -> None:
    assert beside_grade("3 too dark, tilted") == "too dark, tilted"


def test_words_of_a_published_scheme_among_others_are_a_scale_of_its_own() -> None:
    words = ["conforme"] * 9 + ["acceptable"] * 5 + ["non conforme"] * 4
    grades = grade_meanings(words, any_words=True)
    assert grades is not None
    assert {held.partition(":")[0] for held in grades.ratings.values()} == {"own"}


def test_whether_words_are_of_the_united_kingdom_or_the_practices_own_is_asked() -> None:
    words = ("Excellent", "Acceptable", "Excellent", "Unacceptable", "Excellent")
    rows = [f"{day}/07/2026|{day}|R bw|Mel|{words[day % 5]}|kept" for day in range(13, 30)]
    text = table(rows, "Date|Pt|Film|By|Quality|Outcome")
    asked = {each.ask: each for each in questions_of(made_of(sheet(text)))}
    assert asked[Ask.SCHEME].proposed == "uk-2001"
    own = read(made_of(sheet(text), scheme="own"))
    assert {row["rating"].partition(":")[0] for row in own} == {"own"}


def test_ok_and_okay_are_one_grade() -> None:
    grades = grade_meanings(["good"] * 9 + ["ok"] * 6 + ["okay"] * 4 + ["bad"] * 4)
    assert grades is not None
    assert grades.same["okay"] == grades.same["ok"]
