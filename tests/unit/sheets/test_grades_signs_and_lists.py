"""Grades told by signs or listed in a heading, outcomes in a phrase, films told in a list."""

from bitewright.sheets.questions import Ask, questions_of
from bitewright.sheets.unsure_columns import unsure_columns
from bitewright.sheets.word_meanings import faults_in
from tests.unit.sheets.test_understanding import faults_of, made_of, read, sheet

HEAD = "Date|Chart|Operator|View|Grade|Fault"


def rows(*told: str, head: str = HEAD) -> str:
    """A sheet of one row a film: what stands behind its view."""
    return f"{head}\n" + "\n".join(
        f"2025-02-{1 + at:02d}|P{100 + at}|S{at % 3}|BW {'RL'[at % 2]}|{each}"
        for at, each in enumerate(told)
    )


def test_a_dash_beside_a_plus_is_a_grade_and_a_figure_is_none_of_signs() -> None:
    told = (
        "+",
        "\u2013",
        "+",
        "o",
        "+",
        "\u2013",
        "o",
        "+",
        "+",
        "+",
        "+",
        "o",
        "\u2013",
        "+",
        "5",
        "+ / \u2013",
    )
    found = made_of(sheet(rows(*(f"{each}|" for each in told))))
    assert found.grades is not None
    assert found.grades.worst_first == ("-", "o", "+")
    assert faults_of(found)[13:] == [None, "unknown grade", "unknown grade"]


def test_a_dash_without_a_plus_says_that_there_is_no_grade() -> None:
    told = ("A", "\u2013", "A", "N", "A", "A", "N")
    found = made_of(sheet(rows(*(f"{each}|" for each in told))))
    assert found.grades is not None
    assert found.grades.worst_first == ("n", "a")


def test_a_legend_of_signs_says_which_are_bad() -> None:
    text = "+ = nicht befundbar, o = mittel, - = gut\n" + rows(
        *(f"{each}|" for each in ("-", "-", "o", "+", "-", "o", "-", "+", "-"))
    )
    grades = made_of(sheet(text)).grades
    assert grades is not None
    assert grades.worst_first[0] == "+"


def test_a_grade_that_the_heading_does_not_list_is_none() -> None:
    text = rows(
        *(f"{each}|" for each in "ABABACABAAD"), head=HEAD.replace("Grade", "Grade (A/B/C)")
    )
    found = made_of(sheet(text), decisions="reject C")
    assert faults_of(found) == [None] * 10 + ["unknown grade"]


def test_a_tick_for_a_second_film_is_no_outcome_beside_columns_of_outcomes() -> None:
    head = HEAD.replace("Grade|Fault", "Is a repeat|Kept|Repeated|Discarded")
    told = ["|x||", "||x|", "x|x||", "|x||", "|||x", "|x||", "|x||"]
    fields = read(made_of(sheet(rows(*told, head=head))))
    assert [each["decision"] for each in fields][:5] == [
        *("accepted", "rejected", "accepted", "accepted", "rejected")
    ]
    assert fields[2]["kind"] == "retake"


def test_shares_under_ticks_are_a_total_and_leave_them_ticks() -> None:
    head = "Date|Operator|View|Grade 1|Grade 2|Grade 3"
    films = "\n".join(
        f"2025-02-{1 + at:02d}|S{at % 2}|BW {'RL'[at % 2]}|{mark}"
        for at, mark in enumerate(["x||", "|x|", "x||", "||x", "x||", "|x|"])
    )
    text = f"{head}\n{films}\nTotal|||3|2|1\n%|||0.5|0.33|0.17"
    fields = read(made_of(sheet(text), decisions="reject 3"))
    assert [each["rating"][-1] for each in fields] == ["1", "2", "1", "3", "1", "2"]


def test_letters_for_a_grade_are_no_sides_where_the_views_tell_the_side() -> None:
    text = rows(
        *(f"{each}|{why}" for each, why in zip("EESIESEEIS", ("",) * 10, strict=True)),
        head=HEAD.replace("Grade", "Cote"),
    )
    assert made_of(sheet(text)).columns["Cote"] == "rating"


def test_numbers_of_a_list_of_faults_are_asked_about() -> None:
    told = ("ok|1", "ok|", "retake|1|", "ok|", "reject|2", "ok|1", "ok|", "ok|2", "ok|", "ok|")
    text = rows(*told, head=HEAD.replace("Grade", "Decision"))
    found = made_of(sheet(text))
    words = {each.ask: each.words for each in questions_of(found)}[Ask.FAULT_WORDS]
    assert [each.word for each in words] == ["1", "2"]


def test_a_row_marked_as_deleted_does_not_count_and_nobody_is_called_null() -> None:
    text = rows(
        *("ok|0", "ok|0", "reject|0", "ok|1", "ok|0", "ok|0"),
        head=HEAD.replace("Grade|Fault", "Decision|Deleted"),
    )
    text = text.replace("S1", "NULL", 1)
    assert faults_of(made_of(sheet(text))) == [None, "no operator", None, "void", None, None]


def test_the_day_of_exposure_goes_before_when_a_form_was_sent_and_one_sent_twice_is_told() -> None:
    head = "Timestamp|Date of exposure|Chart|Operator|View|Grade"
    films = [
        f"2/{at + 2}/2025 10:{at}:11|2/{at + 1}/2025|P{at}|S{at % 2}|BW R|A" for at in range(12, 20)
    ]
    again = films[-1].replace("10:19:11", "10:19:31")
    text = "\n".join([head, *films, again])
    found = made_of(sheet(text), decisions="reject N")
    assert found.columns["Date of exposure"] == "day"
    assert faults_of(found)[-2:] == [None, "same as above"]


def test_an_outcome_in_a_phrase_tells_the_fault_beside_it() -> None:
    told = ("fine", "too dark, redone", "fine", "bit cone cut but ok", "ok", "overlapped, binned")
    head = "Date|Chart|Operator|View|How was it"
    fields = read(made_of(sheet(rows(*told, head=head))))
    assert [each.get("faults") for each in fields] == [
        *(None, "over-exposed", None, "cone-cut", None, "overlap")
    ]
    assert [each["decision"] for each in fields] == [
        *("accepted", "retaken", "accepted", "accepted-with-a-remark", "accepted", "rejected")
    ]


def test_an_outcome_that_says_that_there_is_a_fault_names_none() -> None:
    told = (
        "válida|",
        "válida con defecto|cono cortado",
        "válida|",
        "válida con defecto|",
        "válida|",
    )
    head = "Fecha|Paciente|Operador|Proyección|Resultado|Defecto"
    fields = read(made_of(sheet(rows(*told, head=head))))
    assert [each.get("faults") for each in fields] == [None, "cone-cut", None, None, None]
    assert fields[3]["decision"] == "accepted-with-a-remark"


def test_bitewings_without_a_side_are_a_pair_where_others_tell_one() -> None:
    text = rows("A|", "A|", "A|", "N|", "A|", "A|").replace("BW R", "BWs", 1)
    found = made_of(sheet(text), decisions="reject N")
    assert found.several == 1
    assert [each["view"] for each in read(found)][:3] == [
        *("right-bitewing", "left-bitewing", "left-bitewing")
    ]


def test_a_list_of_films_made_again_tells_how_each_came_out() -> None:
    text = """
Fecha|Historia|Operador|AMD|AMI|Repetición|Defectos
08/07/2025|HC1|Nuria|N|A|AMD: A|AMD superposición; AMD rep. movimiento
18/07/2025|HC2|Nuria|A|A||
19/07/2025|HC3|Begoña|A|N|AMI: A|AMI movimiento
20/07/2025|HC4|Begoña|A|A||
21/07/2025|HC5|Begoña|A|A||
"""
    fields = read(made_of(sheet(text), decisions="reject N", retake="was"))[:3]
    assert [(each["view"], each["decision"], each.get("faults")) for each in fields] == [
        ("right-bitewing", "retaken", "overlap"),
        ("right-bitewing", "accepted", "movement"),
        ("left-bitewing", "accepted", None),
    ]
    assert fields[1]["kind"] == "retake"


def test_two_faults_joined_by_a_word_are_two_and_the_number_of_a_film_is_none() -> None:
    assert faults_in("sensor niet goed geplaatst en te donker", {}).faults == (
        *("receptor-placement", "over-exposed"),
    )
    assert faults_in("repeat of no. 7", {}).faults == ()


def test_a_mark_that_means_one_of_two_faults_is_asked_about() -> None:
    text = rows(
        "|x|A", "x||N", "||A", "||A", "||A", head="Date|Chart|Operator|View|Flou|Décentré|Cote"
    )
    found = made_of(sheet(text))
    assert unsure_columns(found.table, found.columns, {}) == ("Décentré",)


def test_few_letters_that_go_with_the_outcome_are_grades_and_asked_about() -> None:
    told = ("O|ok|", "O|ok|", "S|retake|overlap", "B|ok|") * 4
    text = rows(*told, head=HEAD.replace("Grade|Fault", "Q.p.|Decision|Fault"))
    found = made_of(sheet(text))
    assert found.columns["Q.p."] == "rating"
    assert found.unsure == ("Q.p.",)
    assert found.grades is not None
    assert found.grades.worst_first[0] == "s"


def test_words_for_outcomes_under_quality_are_grades_beside_what_was_done() -> None:
    told = ("Pass|file", "Pass|file", "Fail|repeat", "Borderline|file") * 4
    text = rows(*told, head=HEAD.replace("Grade|Fault", "Quality|Action"))
    fields = read(made_of(sheet(text)))
    assert [each["rating"] for each in fields[2:4]] == ["own:fail", "own:borderline"]
    assert [each["decision"] for each in fields[2:4]] == ["retaken", "accepted"]


def test_a_grade_that_a_heading_lists_is_no_slip_however_seldom() -> None:
    told = (*("G|",) * 20, "M|", "D|", "D|", "D|")
    text = rows(*told[:20], *told[20:], head=HEAD.replace("Grade", "Bedømmelse G/M/D"))
    grades = made_of(sheet(text)).grades
    assert grades is not None
    assert set(grades.worst_first) == {"g", "m", "d"}


def test_letters_for_another_thing_than_the_side_are_no_second_view() -> None:
    told = ("F|ok|", "D|ok|", "D|retake|overlap", "D|ok|") * 4
    text = rows(*told, head=HEAD.replace("Grade|Fault", "Type|Decision|Fault"))
    found = made_of(sheet(text))
    assert found.several == 0
    assert len(read(found)) == 16


def test_nought_in_a_list_of_numbers_of_faults_is_proposed_as_none() -> None:
    told = ("1|0", "2|0", "3|2", "1|0", "3|1/4", "3|2", "1|0", "2|4", "3|1", "1|0") * 2
    text = rows(*told, head=HEAD.replace("Fault", "Fehlernummer"))
    found = made_of(sheet(text), decisions="reject 3")
    words = {each.ask: each.words for each in questions_of(found)}[Ask.FAULT_WORDS]
    assert {each.word: each.proposed for each in words}["0"] == "none"
    assert "faults" not in read(found)[0]
