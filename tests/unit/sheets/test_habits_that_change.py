"""Habits that change within a list: other scales, outcomes told on some tabs alone, other words."""

from bitewright.sheets.questions import Ask, questions_of
from bitewright.sheets.second_told import second_apart
from bitewright.sheets.word_meanings import decision_word, faults_in
from bitewright.words.sheets import rule_words
from tests.unit.sheets.test_understanding import faults_of, made_of, read, sheet

FIGURES = "\n".join(
    f"{day:02d}.09.2024|31{day}|re PM|{grade}|{again}"
    for day, (grade, again) in enumerate([("1", "")] * 6 + [("2", "")] * 4 + [("3", "x")] * 3, 1)
)
WORDS = "\n".join(
    f"{day:02d}.01.2025|68{day}|rechts|PM|{grade}|{kept}"
    for day, (grade, kept) in enumerate(
        [("gut", "ja")] * 6 + [("mittel", "ja")] * 4 + [("schlecht", "nein")] * 3, 1
    )
)
TABS = (
    sheet(f"Datum|Pat.|Aufnahme|Note|Wdh.\n{FIGURES}", name="2024"),
    sheet(f"Datum|Pat.|Seite|Bereich|Qualität|behalten\n{WORDS}", name="2025"),
)


def test_two_scales_of_as_many_grades_are_one_by_their_order() -> None:
    films = read(made_of(*TABS, scheme="own", operator="K1", retake="was", view="bitewing"))
    assert [each["rating"] for each in films[:13]] == [each["rating"] for each in films[13:]]


def test_outcomes_told_on_one_tab_alone_are_asked_for_the_other() -> None:
    answers = {"scheme": "own", "operator": "K1", "retake": "was", "view": "bitewing"}
    asked = {each.ask for each in questions_of(made_of(*TABS, operator="K1", view="bitewing"))}
    assert Ask.DECISIONS in asked
    films = read(made_of(*TABS, **answers, decisions="accept others"))
    assert [each["decision"] for each in films[:13]] == ["accepted"] * 10 + ["retaken"] * 3
    assert [each["decision"] for each in films[13:]] == ["accepted"] * 10 + ["rejected"] * 3


def test_where_rejected_films_are_marked_nobody_is_asked_what_a_blank_means() -> None:
    rows = [
        f"{day:02d}/02/2025|40{day}|BW PM dx|Zan|{grade}|{mark}"
        for day, (grade, mark) in enumerate([("ottima", "")] * 14 + [("scarsa", "X")] * 4, 1)
    ]
    text = "\n".join(("data|cartella|proiezione|TSRM|giudizio|scartata", *rows))
    found = made_of(sheet(text))
    assert Ask.DECISIONS not in {each.ask for each in questions_of(found)}
    assert [each["decision"] for each in read(found)] == ["accepted"] * 14 + ["rejected"] * 4


def test_marks_of_kept_and_of_redone_beside_each_other_tell_every_film() -> None:
    rows = [
        f"{day:02d}/02/2025|40{day}|BW PM dx|Zan|{grade}|{marks}"
        for day, (grade, marks) in enumerate([("ottima", "x|")] * 12 + [("scarsa", "|x")] * 6, 1)
    ]
    text = "\n".join(("data|cartella|proiezione|TSRM|giudizio|Tenuta|Rifatta", *rows))
    assert Ask.DECISIONS not in {each.ask for each in questions_of(made_of(sheet(text)))}


def test_a_published_scheme_stays_beside_a_scale_of_three() -> None:
    rows = [f"202506{day:02d}|38{day}|RBW|{'AAN'[day % 3]}" for day in range(1, 16)]
    later = [f"202507{day:02d}|40{day}|RBW|{'112123'[day % 6]}" for day in range(1, 19)]
    line = "from July: new marks|||"
    text = "\n".join(("date|chart|view|grade", *rows, line, "date|chart|view|grade", *later))
    films = read(made_of(sheet(text), operator="K1", scheme="own", decisions="reject N 3"))
    schemes = [each["rating"].partition(":")[0] for each in films]
    assert schemes == ["uk-2020"] * 15 + ["own"] * 18
    assert {each["decision"] for each in films if each["rating"][-1] in "N3"} == {"rejected"}


def test_grades_under_a_heading_of_their_own_on_one_tab_stand_with_the_others() -> None:
    verdicts = [f"{day:02d}/10/2024|29{day}|BW D|{VERDICTS[day % 3]}" for day in range(1, 16)]
    notes = [
        f"{day:02d}/01/2025|45{day}|BW G|{'+±-'[day % 3]}|{('oui', 'oui', 'non')[day % 3]}"
        for day in range(1, 16)
    ]
    found = made_of(
        sheet("\n".join(("date|dossier|cliché|verdict|problème", *verdicts)), name="2024"),
        sheet("\n".join(("date|dossier|cliché|note|gardée", *notes)), name="2025"),
        operator="K1",
        decisions="reject poubelle",
    )
    films = read(found)
    assert [each["rating"] for each in films[:15]] == [each["rating"] for each in films[15:]]
    assert films[1]["decision"] == films[16]["decision"] == "rejected"


VERDICTS = ("nickel|", "passable|", "poubelle|bougé")


def test_a_grade_with_what_became_of_the_film_in_one_cell_is_taken_apart() -> None:
    cells = ("gut", "mittel, behalten", "schlecht -> nochmal", "Wh.: gut", "gut")
    rows = [f"{day:02d}.1.25|22{day}|re PM|{cells[day % 5]}|" for day in range(1, 21)]
    odd = "21.1.25|2221|re PM|mittel, behalten -> nochmal|"
    text = "\n".join(("Datum|Kartei|Bild|Urteil|warum", *rows, odd))
    found = made_of(sheet(text), operator="K1", view="bitewing", decisions="reject schlecht")
    assert faults_of(found) == [None] * 20 + ["unknown decision"]
    films = read(
        made_of(
            sheet("\n".join(text.splitlines()[:-1])),
            operator="K1",
            view="bitewing",
            decisions="reject schlecht",
        )
    )
    told = [(each["rating"], each["decision"], each.get("kind")) for each in films[:4]]
    assert told == [
        ("own:mittel", "accepted", None),
        ("own:schlecht", "retaken", None),
        ("own:gut", "accepted", "retake"),
        ("own:gut", "accepted", None),
    ]


def test_where_retakes_alone_are_marked_the_films_before_them_were_not_kept() -> None:
    rows = [
        "10.03.26|4843|dx M|scarsa|",
        "10.03.26|4843|dx M|discreta|bis",
        "10.03.26|4843|sin M|scarsa|",
        "11.03.26|4844|dx M|buona|",
        "11.03.26|4844|sin M|buona|",
        "12.03.26|4845|sin M|discreta|",
    ]
    text = "\n".join(("Data|Cartella|Proiezione|Giudizio|bis", *rows))
    answers = {"operator": "K1", "retake": "is", "view": "bitewing"}
    films = read(made_of(sheet(text), **answers, decisions="accept others"))
    assert [each["decision"] for each in films] == ["retaken", *["accepted"] * 5]


def test_three_grades_of_a_rule_are_listed_as_people_say_them() -> None:
    assert rule_words("reject N 3 2").startswith("N, 3 and 2 rejected")


def test_ok_with_a_minus_was_just_good_enough() -> None:
    assert decision_word("ok-") == "accepted-with-a-remark"
    assert decision_word("ok") == "accepted"


def test_a_second_try_is_told_with_nothing_between() -> None:
    assert second_apart("kept 2nd try") == "kept"
    assert second_apart("redone 2nd try") is None


def test_what_is_off_the_edge_is_misplaced_and_an_italian_article_joins_no_faults() -> None:
    assert faults_in("contact 4/5 off the edge", {}).faults == ("receptor-placement",)
    assert faults_in("sovrapposti i contatti", {}).faults == ("overlap",)


def test_a_letter_that_a_legend_explains_marks_the_film_made_again() -> None:
    rows = [
        "20250605|3896|R4-5|N",
        "20250605|3896|R4-5 r|A",
        *(f"202506{day:02d}|39{day}|R4-5|A" for day in range(6, 16)),
    ]
    legend = "R4-5 = right premolar view; r = repeat|||"
    found = made_of(
        sheet("\n".join((legend, "date|chart|view|grade", *rows))), operator="K1", view="bitewing"
    )
    kinds = [row.get("kind") for row in read(found)]
    assert kinds[:3] == [None, "retake", None]
