"""What columns, lines in cells and legends tell together: lines for films, sides at odds, signs."""

from bitewright.sheets.cells import MergedCells, Sheet, Workbook
from bitewright.sheets.grades import are_two_grades
from bitewright.sheets.legends import grades_explained, legend_meanings
from bitewright.sheets.questions import Ask, questions_of
from bitewright.sheets.takes import marks_explained
from bitewright.sheets.view_words import view_in
from bitewright.sheets.word_meanings import decision_word, faults_in, has_both_marks, is_doubtful
from tests.unit.sheets.test_understanding import faults_of, made_of, read, sheet


def book(text: str) -> Workbook:
    return Workbook(name="audit", digest="", sheets=[sheet(text)])


def test_a_line_for_each_film_in_the_cells_of_a_row_is_a_row_for_each_film() -> None:
    heading: list[str | None] = ["Date", "N° dossier", "Opérateur", "Cliché(s)", "Note", "Remarque"]
    two = [
        [f"{day}/09/2025", f"70{day}", "MER Abdel", "BW D\nBW G", "1\n3", "-\nchevauchement"]
        for day in range(10, 16)
    ]
    one: list[list[str | None]] = [["17/09/2025", "7099", "MER Abdel", "BW D", "2", None]]
    rows = [heading, *two, *one]
    found = made_of(
        Sheet(name="", rows=rows, lines=range(1, len(rows) + 1)), decisions="reject 3", scheme="own"
    )
    films = read(found)
    assert len(films) == 13
    assert [(each["view"], each["decision"], each.get("faults")) for each in films[:2]] == [
        ("right-bitewing", "accepted", None),
        ("left-bitewing", "rejected", "overlap"),
    ]


def test_a_view_and_a_side_that_name_other_sides_are_a_fault_and_not_two_films() -> None:
    rows = [
        f"{day:02d}/06/2025|DX{day}|Bitewing {('Right', 'Left')[day % 2]}|{'RL'[day % 2]}|KL|A|Kept"
        for day in range(1, 21)
    ]
    text = "\n".join(("Date|Chart|Exam|Side|By|Grade|Status", *rows))
    odd = f"{text}\n21/06/2025|DX21|Bitewing Right|L|KL|A|Kept"
    found = made_of(sheet(odd))
    assert faults_of(found) == [*[None] * 20, "unknown view"]
    assert Ask.SEVERAL not in {each.ask for each in questions_of(found)}


def test_a_code_that_says_its_side_is_not_explained_by_the_other_side() -> None:
    told = legend_meanings(book("Projections: BWR/BWL bitewing right/left, PA periapical"))
    assert "bwl" not in told.get("view", {})


def test_a_vertical_bitewing_in_a_legend_is_a_view_and_no_fault() -> None:
    assert "vbw" not in legend_meanings(book("VBW = vertical bitewing")).get("faults", {})


def test_what_a_mark_stands_for_ends_where_the_next_code_begins() -> None:
    told = marks_explained(book("√ = tenuta    X = scartata e rifatta    √2 = tenuta poi"))
    assert told["√"] == ("accepted",)


def test_figures_whose_words_tell_grades_and_what_was_done_are_grades() -> None:
    line = "1 = bon 2 = utilisable, gardé avec remarque 3 = inutilisable (jeté)"
    assert grades_explained(book(line)) == {"1": 0.0, "2": 0.5, "3": 1.0}
    assert grades_explained(book("1 = kept 2 = rejected")) == {}


def test_a_tick_and_then_a_cross_say_nothing() -> None:
    assert all(map(has_both_marks, ("√ X", "✓✗", "✓/✗")))
    assert not any(map(has_both_marks, ("✗✓", "√2", "X", "✓ xray")))
    assert is_doubtful("√ X")


def test_what_was_not_taken_again_may_be_said_to_be_kept_whatever_its_grade() -> None:
    rows = [
        f"{day:02d}/03/2025|Cai|26{day}|BW D|{grade}|{again}"
        for day, (grade, again) in enumerate(
            [("satisfatória", "N")] * 9 + [("insatisfatória", "S")] * 2 + [("insatisfatória", "N")],
            1,
        )
    ]
    text = "\n".join(("Data|Aluno|Prontuário|Radiografia|Avaliação|Repetiu?", *rows))
    asked = {each.ask: each for each in questions_of(made_of(sheet(text)))}
    assert "accept others" in asked[Ask.DECISIONS].answers
    films = read(made_of(sheet(text), decisions="accept others"))
    assert [each["decision"] for each in films[8:]] == [
        "accepted",
        "retaken",
        "retaken",
        "accepted",
    ]


def test_a_dash_between_two_grades_is_two_grades() -> None:
    assert are_two_grades("B-R", {"b": "own:B", "r": "own:R"})
    assert not are_two_grades("B", {"b": "own:B", "r": "own:R"})
    assert not are_two_grades("pre-molar", {"b": "own:B", "r": "own:R"})


def test_a_cross_that_means_bad_and_made_again_is_the_first_film_alone() -> None:
    told = marks_explained(book("✓ tenuta   ✗ buttata e rifatta"))
    assert told["✗"] == ("rejected",)
    twice = marks_explained(book("X2 = taken twice, second fine"))
    assert twice["X2"] == ("rejected", "accepted")


def test_a_code_of_a_side_and_a_region_is_not_explained_by_its_neighbour() -> None:
    line = "RPBW / RMBW = right premolar / right molar bitewing; LPBW / LMBW = left"
    assert legend_meanings(book(line)).get("view", {}).get("rmbw") in {None, "right-molar"}


def test_letters_in_order_with_one_that_is_good_are_grades() -> None:
    codes = "A|bon, gardé\nB|gardé avec remarque\nC|à refaire, refait le jour même"
    assert grades_explained(book(codes)) == {"a": 0.0, "b": 0.5, "c": 1.0}


def test_an_outcome_with_its_fault_in_one_cell_in_danish() -> None:
    cells = ("beholdt", "kasseret - tubus skåret af", "beholdt - cone cut", "beholdt")
    rows = [f"{day}/9-25|33{day}|BW højre molar|Bir|{cells[day % 4]}" for day in range(1, 21)]
    text = "\n".join(("Dato|Journal|Optagelse|Taget af|Resultat / fejl", *rows))
    films = read(made_of(sheet(text)))
    assert [(each["decision"], each.get("faults")) for each in films[:3]] == [
        ("rejected", "cone-cut"),
        ("accepted", "cone-cut"),
        ("accepted", None),
    ]


def test_kept_with_a_star_was_kept_with_a_remark() -> None:
    assert decision_word("kept*") == "accepted-with-a-remark"


def test_words_of_decisions_under_a_heading_of_judgement_are_decisions() -> None:
    cells = ("godkjent", "godkjent m/anm.", "godkjent", "ikke godkjent", "godkjent")
    rows = [f"{day:02d}.1.2025|65{day}|Haug|BW høyre|{cells[day % 5]}" for day in range(1, 21)]
    found = made_of(sheet("\n".join(("Dato|Pas.nr.|Tatt av|Bilde|Vurdering", *rows))))
    assert found.grades is None
    assert {each["decision"] for each in read(found)} == {
        "accepted",
        "accepted-with-a-remark",
        "rejected",
    }


def test_grade_and_faults_of_two_films_under_headings_that_name_their_film() -> None:
    rows = [f"{day:02d}.02.2025|67{day}|Petra|1|gekippt|2|" for day in range(1, 16)]
    films_of = "BF rechts Note|BF rechts Fehler|BF links Note|BF links Fehler"
    heading = f"Datum|Kartei-Nr.|aufgenommen von|{films_of}"
    films = read(made_of(sheet("\n".join((heading, *rows))), decisions="reject 3", scheme="own"))
    assert [(each["view"], each["rating"], each.get("faults")) for each in films[:2]] == [
        ("right-bitewing", "own:1", "tilted"),
        ("left-bitewing", "own:2", None),
    ]


def test_a_photo_of_a_tooth_is_a_film_and_pas_is_a_patient() -> None:
    assert view_in("losse periapicale foto") == "periapical"
    assert view_in("foto") == "not-intraoral"
    assert faults_in("pas. beveget seg", {}).faults == ("movement",)


def test_letters_under_a_merged_head_are_headings_though_they_are_grades_too() -> None:
    merged = (MergedCells(0, 3, 0, 4), MergedCells(0, 5, 0, 6))
    rows = [
        f"{day:02d}/01/2025|64{day}|Nuria|{'MRB'[day % 3]}|R|B|{'BM'[day % 2]}|"
        for day in range(1, 13)
    ]
    text = "Fecha|Historia|Higienista|Derecha||Izquierda||Observaciones\n|||PM|M|PM|M|\n"
    found = made_of(sheet(text + "\n".join(rows), merged=merged), decisions="reject M")
    films = read(found)
    assert len(films) == 48
    assert [each["view"] for each in films[:4]] == [
        "right-premolar",
        "right-molar",
        "left-premolar",
        "left-molar",
    ]


def test_a_yes_with_a_reserve_was_kept_with_a_remark() -> None:
    cells = ("bon|oui", "moyen|oui avec réserve", "mauvais|refait", "bon|oui")
    rows = [f"{day:02d}/03/2025|D8{day}|Mme G|BW droit|{cells[day % 4]}" for day in range(1, 21)]
    text = "\n".join(("Date|Dossier|Opérateur|Cliché|Qualité|Retenu", *rows))
    assert [each["decision"] for each in read(made_of(sheet(text)))[:3]] == [
        "accepted-with-a-remark",
        "retaken",
        "accepted",
    ]


def test_a_mark_in_a_legend_tells_how_a_list_is_filled_in() -> None:
    assert legend_meanings(book("x|segnare una sola colonna\nErr|scrivere a parole")) == {}
