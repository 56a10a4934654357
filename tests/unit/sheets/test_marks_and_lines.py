"""What marks, lines above rows, legends and limits say of films, each in a sheet of a few rows."""

import pytest

from bitewright.sheets.pseudonyms import Pseudonyms
from bitewright.sheets.questions import Ask, questions_of
from bitewright.sheets.row_reading import rows_read
from bitewright.sheets.understanding import Understanding
from bitewright.sheets.word_meanings import decision_word, faults_in
from tests.unit.sheets.test_understanding import made_of, read, sheet


def also_bad(found: Understanding) -> list[dict[str, str]]:
    return [row.fields for row in rows_read(found, Pseudonyms({}))]


@pytest.mark.parametrize(
    ("phrase", "fault"),
    [
        ("contact points not open", "overlap"),
        ("Approximalraum nicht einsehbar", "overlap"),
        ("espaces interproximaux fermés", "overlap"),
        ("tubo descentrado", "cone-cut"),
        ("hoek niet belicht", "cone-cut"),
        ("capteur glissé", "receptor-placement"),
        ("sensor muito à frente", "receptor-placement"),
        ("livello osseo non visibile", "crest-missing"),
        ("Zähne nicht aufeinander", "not-closed"),
        ("poca exposición", "under-exposed"),
        ("te lang belicht", "over-exposed"),
        ("plaatje verkeerd om", "receptor-reversed"),
    ],
)
def test_a_fault_is_known_by_its_parts_in_words_of_no_table(phrase: str, fault: str) -> None:
    """Phrases as the trade has them in seven languages. Common practice, no source."""
    assert faults_in(phrase, {}).faults == (fault,)


def test_praise_is_no_fault_and_a_bare_cut_is_asked() -> None:
    for phrase in ("contacts open", "position ok", "pas de flou", "keine Überlappung"):
        assert faults_in(phrase, {}).faults == ()
        assert faults_in(phrase, {}).unknown == ()
    assert faults_in("abgeschnitten", {}).unknown == ("abgeschnitten",)


def test_decisions_that_go_together_are_one_and_others_are_none() -> None:
    assert decision_word("scartata e ripetuta") == "retaken"
    assert decision_word("goedgekeurd met opmerking") == "accepted-with-a-remark"
    assert decision_word("kept / retaken") is None


def test_a_mark_of_two_films_is_two_and_the_fault_is_of_the_first() -> None:
    text = """
✓ good  ✗✓ not diagnostic, took again & good
Date|Pt|R PM|L PM|Taken by|Comment
13/07/2026|11|✓|✗✓|Mel|L coned
14/07/2026|12|✗✓|✓|Mel|too dark
15/07/2026|13|✓|✓|Mel|
16/07/2026|14|✓|✓|Mel|
"""
    rows = read(made_of(sheet(text)))
    assert [(row["view"], row["decision"], row.get("kind"), row.get("faults")) for row in rows][
        :6
    ] == [
        ("right-premolar", "accepted", None, None),
        ("left-premolar", "rejected", None, "cone-cut"),
        ("left-premolar", "accepted", "retake", None),
        ("right-premolar", "rejected", None, "over-exposed"),
        ("right-premolar", "accepted", "retake", None),
        ("left-premolar", "accepted", None, None),
    ]


def test_weekdays_are_days_of_the_week_that_a_line_names() -> None:
    text = """
Rx 2026
giorno|paziente|operatore|proiezione|esito
Settimana 12 (dal 16/3 al 20/3)
lun|311|Ada|prem. destra|ok
mer|312|Ada|prem. sinistra|rifatta
Settimana 13 (dal 23/3 al 27/3)
mar|313|Ada|mol. destra|ok
dom?|313|Ada|mol. destra|ok
"""
    assert [row.get("day") for row in also_bad(made_of(sheet(text)))] == [
        "2026-03-16",
        "2026-03-18",
        "2026-03-24",
        None,
    ]


def test_a_weekday_before_the_day_of_the_month_is_read() -> None:
    text = """
Tag|Pat.|Aufnahme|Note|gemacht von
Januar 2026
Do 8.|1143|BF re|1|AB
Fr 9.|1146|BF li|3|AB
Februar 2026
Mo 2.|1147|BF li|2|AB
"""
    days = [row.get("day") for row in read(made_of(sheet(text)))]
    assert days == ["2026-01-08", "2026-01-09", "2026-02-02"]


def test_quality_in_per_cent_is_no_grade_and_a_limit_is_asked() -> None:
    shares = (90, 75, 80, 85, 50, 40, 95, 100, 70, 140)
    rows = "\n".join(
        f"{at + 13}/05/2026|{at}|AB|BW R molar|{share}%" for at, share in enumerate(shares)
    )
    found = made_of(sheet(f"below 60% is repeated\nDate|Pt|Nurse|View|Quality\n{rows}\n"))
    asked = next(each for each in questions_of(found) if each.ask is Ask.DECISIONS)
    assert asked.proposed == "reject below 60"
    told = also_bad(found)
    assert [row.get("decision") for row in told] == [
        *["accepted"] * 4,
        *["rejected"] * 2,
        *["accepted"] * 3,
        None,
    ]
    assert all("rating" not in row for row in told)


def test_letters_that_a_legend_explains_are_grades_in_its_order() -> None:
    text = """
Data|Utente|Incidência|Class.|Executante
13/04/2026|904|BW dir|O|AB
14/04/2026|904|BW esq|I|AB
15/04/2026|908|BW dir|A|AB
16/04/2026|908|BW esq|O|AB
O = ótima; A = aceitável; I = inaceitável
"""
    found = made_of(sheet(text))
    assert found.grades is not None
    assert found.grades.worst_first == ("i", "a", "o")
    assert [row["rating"] for row in read(found)] == ["own:O", "own:I", "own:A", "own:O"]


def test_a_grade_then_another_is_a_film_and_its_retake() -> None:
    text = """
Date|Chart|Films|Grades|Nurse
13/04/2026|1|BW R molar|1|AB
14/04/2026|2|BW R molar|3 rpt 1|AB
15/04/2026|3|BW L molar|2|AB
16/04/2026|4|BW L molar|3|AB
"""
    rows = read(made_of(sheet(text), decisions="reject 3"))
    assert [(row["rating"], row["decision"], row.get("kind")) for row in rows][1:3] == [
        ("uk-2001:3", "retaken", None),
        ("uk-2001:1", "accepted", "retake"),
    ]


def test_two_bitewings_of_a_visit_are_one_a_side() -> None:
    text = """
Date|Chart|Films|Nurse
13/04/2026|1|2BW|AB
14/04/2026|2|BW x 4|AB
"""
    assert [row["view"] for row in read(made_of(sheet(text)))] == [
        "right-bitewing",
        "left-bitewing",
        "right-premolar",
        "right-molar",
        "left-premolar",
        "left-molar",
    ]
