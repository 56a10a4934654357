"""Messy sheets 10 to 16: workbooks, one of them a tally that holds no single exposure."""

from datetime import date, datetime
from typing import Any

from builders.messy_rows import (
    PANORAMIC,
    SIDES,
    Film,
    Says,
    Sheet,
    Tab,
    double,
    films,
    heading,
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
from builders.messy_sheets_in_text import (
    ENGLISH_FAULTS,
    ENGLISH_SIDES,
    KEPT_N,
    MOLAR_TOO,
    ONE_A_SIDE,
    UNGRADED,
)

LETTERS = {
    "right-premolar": ("RPM", "R PM"),
    "right-molar": ("RM", "R M"),
    "left-premolar": ("LPM", "L PM"),
    "left-molar": ("LM", "L M"),
}


def sheets() -> list[Sheet]:
    """The seven of them."""
    return [
        tab_a_month(),
        german_head(),
        several_tables(),
        was_and_is(),
        french_others(),
        tally(),
        two_assessors(),
    ]


def tab_a_month() -> Sheet:
    """Sheet 10."""
    people = ("P. Quarrenby", "H. Ilkstone")

    def cells(film: Film) -> list[Any]:
        grade = film.level + 1
        person, view = film.person, spelt(film, ENGLISH_SIDES)
        return [film.day.day, int(film.chart), person, view, grade, "Y" if film.again else ""]

    def says(film: Film) -> Says:
        decision = kept(not film.again)
        return told(film, "case", rating=f"uk-2001:{film.level + 1}", decision=decision)

    lines = rows(films(10, 44, people, date(2025, 1, 6), date(2025, 3, 28), SIDES), cells, says)
    spoil(lines, 4, 4, 4, "4 is no grade of 1, 2 and 3")
    spoil(lines, 19, 0, 31, "February has no 31st")
    spoil(lines, 26, 4, "", "no grade")
    names = ("January", "February", "March")
    tabs, counts = [], []
    for month, part in months(lines, lambda _, part: [[], ["Films", len(part)]]):
        name = names[month - 1]
        head = plain([f"{name} 2025"], [], ["Day", "Chart", "Operator", "Film", "Grade", "Retaken"])
        tabs.append(Tab(title=f"{name[:3]} 25", lines=head + part))
        counts.append([name, len(part) - 2])
    summary = plain(["Summary 2025"], ["Month", "Films"], *counts)
    return Sheet(
        name="10-tab-a-month.xlsx",
        says="English workbook, a tab a month: the day alone in a column, month and year in title "
        "and tab, grades 1 to 3, a tab of counts at the end that holds no exposures.",
        tabs=[*tabs, Tab(title="Summary", lines=summary)],
        answers={
            "Of which month and year are the days 1 to 31?": "as the title of each tab says",
            "Which scheme are 1, 2 and 3?": "UK 2001",
            "Does Retaken mean this film was repeated?": "yes: Y is rejected, empty is accepted",
            "Which view is R BW, L BW?": ONE_A_SIDE,
        },
        also_right=[
            MOLAR_TOO,
            "rejected for a film graded 3 that was not repeated",
            UNGRADED,
        ],
    )


def german_head() -> Sheet:
    """Sheet 11."""
    people = ("ZFA Mirl", "ZFA Osterhagk", "Dr. Quent")
    shown = {
        "right-premolar": ("Prämolaren re", "PM re."),
        "right-molar": ("Molaren re", "M re."),
        "left-premolar": ("Prämolaren li", "PM li."),
        "left-molar": ("Molaren li", "M li."),
    }

    def cells(film: Film) -> list[Any]:
        good = film.level < 2
        born = date(1950 + int(film.chart) % 60, 1 + int(film.chart) % 12, 1 + int(film.chart) % 28)
        marks = ["x" if good else "", "" if good else "x"]
        view = spelt(film, shown)
        return [film.day, film.clock, view, int(film.chart), born, film.person, *marks, ""]

    def says(film: Film) -> Says:
        good = film.level < 2
        return told(film, "case", rating=f"uk-2020:{'A' if good else 'N'}", decision=kept(good))

    lines = rows(films(11, 40, people, date(2025, 9, 1), date(2025, 11, 28)), cells, says)
    spoil(lines, 9, 6, "", "neither A nor N is ticked")
    lines[9].cells[7] = ""
    spoil(lines, 20, 6, "x", "A and N are both ticked")
    lines[20].cells[7] = "x"
    spoil(lines, 29, 0, "31.09.2025", "September has 30 days")
    double(lines, 34)
    lines[12].cells[8] = "Pat. sehr unruhig"
    head = plain(
        ["Qualitätssicherung Röntgen"],
        ["Bissflügelaufnahmen, 3. Stock"],
        [],
        ["Aufnahme", "", "", "Patient", "", "wer", "Qualität", "", "Bem."],
        ["Datum", "Uhrzeit", "Ansicht", "Nr.", "geb.", "", "A", "N", ""],
    )
    merged = ("A1:I1", "A2:I2", "A4:C4", "D4:E4", "F4:F5", "G4:H4", "I4:I5")
    return Sheet(
        name="11-german-two-line-head.xlsx",
        says="German workbook: merged titles, a head of two lines with merged cells, real dates "
        "and times, a hidden column with birthdays, the grade as a tick in one of two columns.",
        tabs=[Tab(title="BF", lines=head + lines, merged=merged, hidden=("E",))],
        answers={
            "Which scheme are A and N?": "UK 2020",
            "Which grades were not kept?": "N is rejected, A is accepted",
            "Is the hidden column geb. taken?": "no: birthdays stay out of the log",
        },
        also_right=[
            "no decision at all where the person says that a grade decides nothing",
            "the doubled row taken as a second film, and told",
        ],
    )


def several_tables() -> Sheet:
    """Sheet 12."""

    def first_cells(film: Film) -> list[Any]:
        outcome = "fail" if film.level == 2 else "pass"
        return [film.day, film.person, spelt(film, LETTERS), outcome, phrase(film, ENGLISH_FAULTS)]

    def second_cells(film: Film) -> list[Any]:
        outcome = "FAIL" if film.level == 2 else "PASS"
        return [spelt(film, LETTERS), film.day, outcome, film.person]

    def first_says(film: Film) -> Says:
        return told(film, "faults", decision=kept(film.level < 2), room="Surgery 1")

    def second_says(film: Film) -> Says:
        return told(film, decision=kept(film.level < 2), room="Surgery 2")

    span = date(2025, 5, 1), date(2025, 5, 30)
    first = rows(films(12, 20, ("Ebba", "Lorne"), *span), first_cells, first_says)
    second = rows(films(112, 18, ("Ruvi", "Ebba"), *span), second_cells, second_says)
    spoil(first, 5, 0, "first week", "first week is no date")
    spoil(first, 13, 3, "pass/fail", "pass and fail in one cell")
    spoil(second, 7, 3, "", "nobody is named who took the film")
    for line, note in zip(first, ("pass = kept", "fail = taken again", "ask Ebba"), strict=False):
        line.cells += ["", note]
    lines = [
        *plain(["SURGERY 1 - May 2025"], ["Date", "Name", "Film", "Outcome", "Fault", "", "KEY"]),
        *first,
        *plain(["", "", "Total", len(first)], [], [], ["SURGERY 2 - May 2025"]),
        *plain(["Film", "Date", "Outcome", "Name"]),
        *second,
        *plain(["", "Total", len(second)]),
    ]
    return Sheet(
        name="12-several-tables.xlsx",
        says="English workbook: two tables below one another, their columns in another order, the "
        "room in the title above each, a legend beside, totals below.",
        tabs=[Tab(title="Sheet1", lines=lines)],
        answers={
            "What do pass and fail mean?": "pass is accepted, fail is rejected",
            "Is the title above each table the room?": "yes: Surgery 1 and Surgery 2",
            "Which view is RPM, RM, LPM, LM?": "right and left premolar and molar bitewings",
        },
        also_right=[
            "no room, where the person was not asked for it",
            "one table taken, and the other refused with a sentence that says where it begins",
        ],
    )


def was_and_is() -> Sheet:
    """Sheet 13."""
    people = ("Gisla Thornquay", "Perrin Aldmoor", "Student 14")

    def cells(film: Film) -> list[Any]:
        grade = "Diagnostically acceptable" if film.level < 2 else "Diagnostically not acceptable"
        was, again = "Yes" if film.again else "No", "Yes" if film.retake else "No"
        when = datetime.combine(film.day, film.clock)
        return [
            when,
            "Dr Ambrell",
            film.person,
            film.chart,
            spelt(film, LETTERS),
            grade,
            was,
            again,
        ]

    def says(film: Film) -> Says:
        grade = "A" if film.level < 2 else "N"
        decision = kept(not film.again)
        more = {"rating": f"uk-2020:{grade}", "decision": decision, "supervisor": "Dr Ambrell"}
        return told(film, "kind", "case", **more)

    lines = rows(films(13, 46, people, date(2025, 2, 10), date(2025, 4, 11)), cells, says)
    spoil(lines, 8, 5, "Diagnostically", "the grade stops halfway")
    spoil(lines, 16, 6, "", "neither Yes nor No under Was retaken")
    spoil(lines, 25, 0, "10.30 am", "a time without a date")
    double(lines, 37)
    head = heading(
        "Date & time|Supervisor|Operator|Record|View|Image quality|Was retaken|Is a retake"
    )
    return Sheet(
        name="13-was-and-is.xlsx",
        says="English workbook of a teaching clinic: date and time in one cell, the UK 2020 "
        "wording in full, Was retaken on the rejected film beside Is a retake on the second film.",
        tabs=[Tab(title="Log", lines=head + lines)],
        answers={
            "Which column is the decision?": "Was retaken: Yes is rejected, No is accepted",
            "What does Is a retake say?": "that this film is the second one: a retake",
            "Which scheme is Image quality?": "UK 2020: acceptable is A, not acceptable is N",
        },
        also_right=[
            KEPT_N,
            UNGRADED,
            "the row without Was retaken taken with an open decision, and told",
            "the doubled row refused because it has the same time, or taken and told",
        ],
    )


def french_others() -> Sheet:
    """Sheet 14."""
    people = ("Mlle Ardouche", "M. Tivernel")
    shown = {
        "right-premolar": ("BW D", "bitewing droite", "bite-wing dte"),
        "left-premolar": ("BW G", "bitewing gauche", "bite-wing gche"),
        "periapical": ("rétro-alvéolaire 16", "RA 36", "péri-apicale 11"),
        "occlusal": ("occlusale max.", "cliché mordu"),
        PANORAMIC: ("pano", "panoramique", "OPT"),
    }

    def cells(film: Film) -> list[Any]:
        day: Any = film.day
        if film.pick % 3 == 0:
            day = f"{film.day:%d/%m/%Y}"
        seconds: Any = "0,2" if film.pick % 2 else 0.25
        again = "oui" if film.level == 2 else "non"
        return [day, film.person, film.chart, spelt(film, shown), seconds, again]

    def says(film: Film) -> Says:
        seconds = "0.2" if film.pick % 2 else "0.25"
        return told(film, "case", decision=kept(film.level < 2), exposure_time_s=seconds)

    views = (*SIDES, "periapical", PANORAMIC, "occlusal")
    lines = rows(films(14, 44, people, date(2025, 10, 1), date(2025, 12, 19), views), cells, says)
    good = [at for at, line in enumerate(lines) if line.says]
    spoil(lines, good[5], 0, "31/11/2025", "November has 30 days")
    spoil(lines, good[14], 3, "cliché", "the word says no view")
    spoil(lines, good[22], 5, "", "neither oui nor non")
    remark(lines, good[29], 1, "capteur HS, voir facture")
    head = plain(
        ["Registre des clichés", "", "", "", "1.204 clichés en 2024"],
        [],
        ["Date", "Réalisé par", "Dossier", "Type", "Temps (s)", "À refaire ?"],
    )
    return Sheet(
        name="14-french-others.xlsx",
        says="French workbook: real dates and dates as text in one column, periapical, occlusal "
        "and panoramic films among the bitewings, decimal commas as text, whether to take it "
        "again.",
        tabs=[Tab(title="Feuil1", lines=head + lines)],
        answers={
            "Is 06/10/2025 written as text a day of October?": "yes, the day comes first",
            "What does À refaire mean?": "oui is rejected, non is accepted",
            "Which view is BW D, BW G?": ONE_A_SIDE,
        },
        also_right=[
            MOLAR_TOO,
            "the panoramic films counted among the bad rows, if the reason says so",
            "the comment passed over as no data, if it is told",
        ],
    )


def tally() -> Sheet:
    """Sheet 15: nothing in it is one exposure."""
    made = films(15, 260, ("x",), date(2025, 1, 2), date(2025, 6, 27))
    lines = plain(
        ["Bitewings - monthly tally 2025"],
        [],
        ["Month", "Films taken", "Grade A", "Grade N", "Retakes", "% A"],
    )
    names = ("January", "February", "March", "April", "May", "June")
    for month, name in enumerate(names, start=1):
        part = [film for film in made if film.day.month == month]
        poor = sum(film.level == 2 for film in part)
        share = round((len(part) - poor) / len(part), 3)
        again = sum(film.retake for film in part)
        lines += plain([name, len(part), len(part) - poor, poor, again, share])
    poor = sum(film.level == 2 for film in made)
    lines += plain(["Total", len(made), len(made) - poor, poor])
    return Sheet(
        name="15-tally.xlsx",
        says="English workbook: a monthly tally of counts. It holds no single exposure.",
        tabs=[Tab(title="Tally", lines=lines)],
        refused="The sheet holds counts by month and no single exposures; exposures cannot be made "
        "up from counts. Give a sheet with a row for each exposure.",
        also_right=["told that two counts of an audit's cycle can be given by hand instead"],
    )


def two_assessors() -> Sheet:
    """Sheet 16."""
    people = ("Aux. Maialén R.", "Aux. Tobar")
    shown = {
        "right-premolar": ("AM PM dcha", "bitewing PM derecha"),
        "right-molar": ("AM M dcha", "bitewing M derecha"),
        "left-premolar": ("AM PM izda", "bitewing PM izquierda"),
        "left-molar": ("AM M izda", "bitewing M izquierda"),
    }
    names = ("ene", "feb", "mar", "abr", "may", "jun")
    grades = ("bueno", "regular", "malo")

    def cells(film: Film) -> list[Any]:
        day = f"{film.day.day}-{names[film.day.month - 1]}-{film.day.year}"
        number = f"{film.chart[:2]}.{film.chart[2:]}"
        before = grades[min(2, max(0, film.level + film.pick % 3 - 1))]
        size = 0.4 + film.pick % 7 / 10
        fault = f"solapamiento {film.pair}" if "overlap" in film.faults else ""
        shown_size = f"{size:.1f}".replace(".", ",") if fault else ""
        view, grade = spelt(film, shown), grades[film.level]
        return [number, day, film.person, view, before, "ok", grade, fault, shown_size]

    def says(film: Film) -> Says:
        size = 0.4 + film.pick % 7 / 10
        fault = f"overlap:{size:.1f}" if "overlap" in film.faults else ""
        rating = "own:" + ("good", "fair", "poor")[film.level]
        return told(film, "case", rating=rating, decision=kept(film.level < 2), faults=fault)

    lines = rows(films(16, 40, people, date(2025, 1, 8), date(2025, 6, 25)), cells, says)
    spoil(lines, 6, 6, "pendiente", "the final grade is still to come")
    spoil(lines, 18, 1, "30-feb-2025", "30 February is no date")
    spoil(lines, 27, 6, "", "no final grade, though the first assessor gave one")
    double(lines, 33)
    head = heading("Nº|Fecha|Quién|Radiografía|1.ª lectura|visto|Lectura final|Error|mm")
    return Sheet(
        name="16-hidden-first-reading.xlsx",
        says="Spanish workbook: two assessors, the first one's column hidden; points in the "
        "patients' numbers, decimal commas as text, the overlap's size in a column of its own.",
        tabs=[Tab(title="2025", lines=head + lines, hidden=("E", "F"))],
        answers={
            "Which column is the grade?": "Lectura final, which can be seen; not the hidden one",
            "Which scheme are bueno, regular, malo?": "a scheme of our own: good, fair, poor",
            "Which grades were not kept?": "malo is rejected, the others are accepted",
            "What are the numbers under mm?": "the size of the overlap in the row",
        },
        also_right=[
            "no decision at all where the person says that a grade decides nothing",
            "the overlap without its size",
            "the row still to come (pendiente) taken without rating and decision, and told",
            "the doubled row taken as a second film, and told",
        ],
    )
