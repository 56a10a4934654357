"""Messy sheets 17 to 20: workbooks of the open format."""

from datetime import date
from typing import Any

from builders.messy_rows import (
    BITEWINGS,
    SIDES,
    Film,
    Line,
    Says,
    Sheet,
    Tab,
    double,
    film_of,
    films,
    flat,
    kept,
    months,
    phrase,
    plain,
    remark,
    rows,
    spelt,
    spoil,
    told,
)
from builders.messy_sheets_in_text import ENGLISH_FAULTS, MOLAR_TOO, ONE_A_SIDE


def sheets() -> list[Sheet]:
    """The four of them."""
    return [ditto(), german_quarter(), tab_a_person(), row_a_patient()]


def ditto() -> Sheet:
    """Sheet 17."""
    people = ("ABr", "NT", "VdL")
    shown = {
        "right-premolar": ("bw r pre", "R-BW pre"),
        "right-molar": ("bw r mol", "R-BW mol"),
        "left-premolar": ("bw l pre", "L-BW pre"),
        "left-molar": ("bw l mol", "L-BW mol"),
    }

    def cells(film: Film) -> list[Any]:
        result = ("OK", "ok", "okay")[film.pick % 3] if film.level < 2 else "repeat"
        fault = phrase(film, ENGLISH_FAULTS)
        day = film.day.isoformat()
        return [day, film.person, film.chart, spelt(film, shown), result, fault]

    def says(film: Film) -> Says:
        return told(film, "faults", "case", decision=kept(film.level < 2))

    lines = rows(films(17, 44, people, date(2025, 6, 2), date(2025, 8, 29)), cells, says)
    before: Film | None = None
    for line in lines:
        film = film_of(line)
        if before is not None and film.day == before.day and film.chart == before.chart:
            line.cells[0], line.cells[1], line.cells[2] = "", '"', '"'
        before = film
    first = [at for at, line in enumerate(lines) if line.cells[0]]
    alone = [at for at in first if at + 1 in first]
    spoil(lines, alone[0], 4, "0K?", "a nought for the letter O, and a question mark")
    spoil(lines, alone[-1], 0, "2025-07-00", "there is no day nought")
    last = [at for at in range(len(lines)) if at not in first]
    spoil(lines, last[7], 4, "", "neither OK nor repeat")
    spoil(lines, last[12], 3, "?", "the view is not known")
    head = plain(
        ["Radiographs, ground floor"],
        ["(initials only please)"],
        ["day", "by", "chart", "what", "result", "if repeat: why"],
    )
    return Sheet(
        name="17-ditto.ods",
        says="English workbook of the open format: initials, the date once a patient with nothing "
        "below it, ditto marks for operator and chart, OK or repeat.",
        tabs=[Tab(title="log", lines=head + lines)],
        answers={
            "Does an empty day mean the same day as above?": "yes",
            'Does " mean the same as above?': "yes",
            "What do OK and repeat mean?": "OK is accepted, repeat is rejected",
        },
        also_right=["0K? taken as OK, and told"],
    )


def german_quarter() -> Sheet:
    """Sheet 18."""
    people = ("Fr. Emmelroth", "Hr. Dachsl", "Dr. Wittensee-Au")
    shown = {
        "right-premolar": ("BF rechts PM", "BF re PM"),
        "right-molar": ("BF rechts M", "BF re M"),
        "left-premolar": ("BF links PM", "BF li PM"),
        "left-molar": ("BF links M", "BF li M"),
    }
    words = {
        "cone-cut": ("Tubus daneben", "Cone-Cut"),
        "receptor-placement": ("zu weit vorne", "zu weit distal"),
        "tilted": ("gekippt",),
        "under-exposed": ("zu hell",),
        "movement": ("verwackelt",),
    }

    def size(film: Film) -> float:
        return 0.3 + film.pick % 9 / 10

    def cells(film: Film) -> list[Any]:
        overlap = f"überlappt {film.pair} {size(film):.1f} mm".replace(".", ",")
        fault = phrase(film, words | {"overlap": (overlap,)}, "; ")
        number = f"{int(film.chart) // 1000}.{film.chart[2:]}"
        grade = film.level + 1
        again = "W" if film.retake else ""
        return [number, film.day, film.person, spelt(film, shown), grade, fault, again]

    def says(film: Film) -> Says:
        faults = [f"overlap:{size(film):.1f}" if f == "overlap" else f for f in film.faults]
        more = {"rating": f"uk-2001:{film.level + 1}", "decision": kept(film.level < 2)}
        return told(film, "kind", "case", faults="|".join(faults), **more)

    lines = rows(films(18, 42, people, date(2025, 1, 7), date(2025, 3, 31)), cells, says)
    spoil(lines, 7, 4, "2-3", "2-3 is no grade of 1, 2 and 3")
    spoil(lines, 17, 1, "3O.01.25", "the letter O stands for a nought in the date")
    remark(lines, 25, 2, "Praxis geschlossen (Fortbildung)")
    double(lines, 32)

    def foot(month: int, part: list[Line]) -> list[list[Any]]:
        name = ("Januar", "Februar", "März")[month - 1]
        third = sum(line.cells[4] == 3 for line in part)
        return [["", "", "", f"Summe {name}", len(part), f"davon Note 3: {third}"], []]

    head = plain(
        ["Röntgen QS 1. Quartal 2025"],
        ["Akte", "Aufnahme", "", "", "Beurteilung", "", ""],
        ["", "Datum", "wer", "Bild", "Note", "Fehler", "W = Wiederholung"],
    )
    merged = ("A1:G1", "A2:A3", "B2:D2", "E2:G2")
    return Sheet(
        name="18-german-quarter.ods",
        says="German workbook of the open format: merged head of two lines, real dates, sums and "
        "blank lines between months, grades 1 to 3, sizes with decimal commas within free text.",
        tabs=[Tab(title="Q1", lines=head + flat(months(lines, foot)), merged=merged)],
        answers={
            "Which scheme are the grades 1, 2 and 3?": "UK 2001",
            "Which grades were not kept?": "3 is rejected, 1 and 2 are accepted",
            "Does W mean this film is the repeat, or was repeated?": "this film is the repeat",
            "What are zu weit vorne, zu weit distal?": "the film lay wrong: a misplaced receptor",
        },
        also_right=[
            "no decision at all where the person says that a grade decides nothing",
            "overlaps without their sizes",
            "a wrong horizontal angle for zu weit vorne, where the person means the tube",
            "the date 3O.01.25 read with a nought for the letter O, and told",
            "the comment passed over as no data, if it is told",
            "the doubled row taken as a second film, and told",
        ],
    )


def tab_a_person() -> Sheet:
    """Sheet 19."""
    people = ("Maëlle", "Jorick", "Dr Fauvenat")
    shown = {
        "right-premolar": ("bitewing droite", "BW dr."),
        "left-premolar": ("bitewing gauche", "BW g."),
    }

    def cells(film: Film) -> list[Any]:
        good = film.level < 2
        month = ("janv.", "févr.", "mars", "avr.")[film.day.month - 1]
        yes = "✔" if good else ""
        no = "" if good else "✘"
        return [f"{film.day.day} {month} 2025", film.chart, spelt(film, shown), yes, no]

    def says(film: Film) -> Says:
        return told(film, "case", decision=kept(film.level < 2))

    lines = rows(films(19, 42, people, date(2025, 1, 6), date(2025, 4, 25), SIDES), cells, says)
    tabs = []
    for name, column, value, why in (
        ("Maëlle", 0, "31 avr. 2025", "April has 30 days"),
        ("Jorick", 3, "", "neither column is ticked"),
        ("Dr Fauvenat", 0, "lundi", "lundi is no date"),
    ):
        part = [line for line in lines if line.film is not None and line.film.person == name]
        at = next(at for at, line in enumerate(part) if at > 3 and line.cells[3])
        spoil(part, at, column, value, why)
        title = plain([f"Clichés de {name}"], [], ["Date", "Dossier", "Cliché", "Gardé", "Refait"])
        tabs.append(Tab(title=name, lines=title + part))
    double(tabs[1].lines, 8)
    return Sheet(
        name="19-french-tab-a-person.ods",
        says="French workbook of the open format: a tab a person, who is named in title and tab "
        "alone; months in letters; a tick under kept or a cross under taken again.",
        tabs=tabs,
        answers={
            "Is the name of the tab the operator?": "yes",
            "What do Gardé and Refait mean?": "a mark under Gardé is accepted, under Refait not",
            "Which view is bitewing droite, bitewing gauche?": ONE_A_SIDE,
        },
        also_right=[MOLAR_TOO, "the doubled row taken as a second film, and told"],
    )


def row_a_patient() -> Sheet:
    """Sheet 20."""
    people = ("Isbet", "Corl", "Fenna")
    patients: dict[tuple[date, str, str], list[Film]] = {}
    for film in films(20, 70, people, date(2025, 3, 3), date(2025, 6, 27)):
        if not film.retake:
            patients.setdefault((film.day, film.person, film.chart), []).append(film)
    lines = []
    for (day, person, chart), part in patients.items():
        grades = {film.view: ("good", "fair", "poor")[film.level] for film in part}
        again = ", ".join(view_word(film) for film in part if film.again)
        cells = [day, person, chart, *(grades.get(view, "") for view in BITEWINGS), again]
        ordered = sorted(part, key=lambda film: BITEWINGS.index(film.view))
        says = [
            told(film, "case", rating=f"own:{grades[film.view]}", decision=kept(not film.again))
            for film in ordered
        ]
        lines.append(Line(cells, says, part[0]))
    spoil(lines, 4, 0, "??/03/2025", "the day is not known")
    spoil(lines, 11, 1, "", "nobody is named who took the films")
    odd = next(line for line in lines[14:] if line.says and not line.cells[7])
    at = lines.index(odd)
    view = 3 + BITEWINGS.index(odd.says[0]["view"])
    spoil(lines, at, view, "gd", "gd is none of good, fair and poor")
    head = plain(
        ["Bitewing sets", "", "", "Right", "", "Left", "", ""],
        ["Date", "Taken by", "Chart", "PM", "M", "PM", "M", "Which were taken again?"],
    )
    merged = ("D1:E1", "F1:G1")
    return Sheet(
        name="20-row-a-patient.ods",
        says="English workbook of the open format: one row a patient with a grade for each of four "
        "bitewings in columns of their own; an empty cell is a film that was not taken.",
        tabs=[Tab(title="Sets", lines=head + lines, merged=merged)],
        answers={
            "Does each grade in a row stand for one film?": "yes; an empty cell is no film",
            "Which scheme are good, fair, poor?": "a scheme of our own: good, fair, poor",
            "What does the last column say?": (
                "the films named there were repeated, so rejected; all others were accepted"
            ),
        },
        also_right=[
            (
                "the sheet refused with a sentence that says one row holds several exposures, and "
                "how to turn it into a row for each"
            ),
            "rejected for a poor film that was not taken again",
            "the other films of the row with gd taken, and only the one left out",
            "no decision at all where the last column cannot be read",
        ],
    )


def view_word(film: Film) -> str:
    """A view as the last column of sheet 20 names it."""
    side, _, part = film.view.partition("-")
    return f"{side[0].upper()} {'PM' if part == 'premolar' else 'M'}"
