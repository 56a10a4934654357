"""Messy sheets 1 to 5: text files with their separators, encodings and languages."""

from datetime import date

from builders.messy_rows import (
    BITEWINGS,
    PANORAMIC,
    SIDES,
    Film,
    Line,
    Says,
    Sheet,
    Tab,
    double,
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

ENGLISH_FAULTS = {
    "overlap": ("overlap {pair}", "contacts closed {pair}", "overlapping"),
    "cone-cut": ("cone cut", "conecut", "coning off"),
    "receptor-placement": ("sensor too far back", "distal of last molar missed"),
    "tilted": ("tilted", "occlusal plane on a slope"),
    "under-exposed": ("too light", "underexposed"),
    "movement": ("patient moved", "blurred - moved"),
}
ENGLISH_SIDES = {
    "right-premolar": ("R BW", "BW right", "Rt BW", "BWR"),
    "left-premolar": ("L BW", "BW left", "Lt BW", "BWL"),
}
ONE_A_SIDE = (
    "one bitewing a side, over the premolars and the first molar: take it as the premolar view"
)
MOLAR_TOO = "right-molar and left-molar for the bitewings, where the person asked says so"
UNGRADED = "rows whose grade cannot be read taken without a rating, and told"
KEPT_N = (
    "rejected for a film graded N that was not repeated: the grade says it was of no use, "
    "the column only that nobody repeated it"
)
ZERO_READ = "row {}: the date read with a nought for the letter O, and told"


def sheets() -> list[Sheet]:
    """The five of them."""
    return [day_first(), month_first(), german_points(), french_comma(), spanish_tab()]


def day_first() -> Sheet:
    """Sheet 1."""
    people = ("J Orlensby", "Mrs P. Quillow", "T. Varnish-Holt")

    def cells(film: Film) -> list[str]:
        grade = "N" if film.level == 2 else "A"
        again = "Y" if film.again else ("N" if film.pick % 3 else "n")
        shown = spelt(film, ENGLISH_SIDES)
        person = film.person
        return [f"{film.day:%d/%m/%Y}", person, film.chart, shown, grade, again, why(film)]

    def why(film: Film) -> str:
        return phrase(film, ENGLISH_FAULTS, " + ") if film.level else ""

    def says(film: Film) -> Says:
        grade = "N" if film.level == 2 else "A"
        decision = kept(not film.again)
        return told(film, "faults", "case", rating=f"uk-2020:{grade}", decision=decision)

    lines = rows(films(1, 40, people, date(2025, 1, 6), date(2025, 6, 27), SIDES), cells, says)
    spoil(lines, 8, 0, "31/02/2025", "31 February is no date")
    spoil(lines, 15, 4, "B", "grade B is none of A and N")
    spoil(lines, 22, 4, "", "no grade")
    double(lines, 30)
    head = plain(
        ["Bitewing quality log", "", "", "", "Surgeries 1+2"],
        ["A = diagnostically acceptable, N = not acceptable. Please fill in EVERY film!!"],
        [],
        ["Date", "Operator ", "Chart no.", "Film", "Quality", "Repeated Y/N", "If N, why?"],
    )
    return Sheet(
        name="01-day-first.csv",
        says="English, commas, UTF-8 with a byte order mark: title rows, days first, grades A and "
        "N, and whether the film was repeated.",
        encoding="utf-8-sig",
        tabs=[Tab(lines=head + lines)],
        answers={
            "Is 10/01/2025 a day of January or of October?": "the day comes first",
            "Which scheme are A and N?": "UK 2020",
            "Does Repeated mean this film was repeated, or this film is the repeat?": (
                "this film was repeated, so it was not kept: Y is rejected, N is accepted"
            ),
            "Which view is R BW, L BW?": ONE_A_SIDE,
        },
        also_right=[
            MOLAR_TOO,
            KEPT_N,
            UNGRADED,
            "the doubled row taken as a second film, and told",
        ],
    )


def month_first() -> Sheet:
    """Sheet 2."""
    people = ("Dana", "Kez", "Dr. Fennimoor")
    shown = {
        "right-premolar": ("rt premolar bw", "Rt Pre BW", "RPBW"),
        "right-molar": ("rt molar bw", "R Molar BWX", "RMBW"),
        "left-premolar": ("lt premolar bw", "Lt Pre BW", "LPBW"),
        "left-molar": ("lt molar bw", "L Molar BWX", "LMBW"),
        "periapical": ("PA #{pick}", "periapical"),
        PANORAMIC: ("pan", "Pano"),
    }

    def cells(film: Film) -> list[str]:
        day, clock = film.day, film.clock
        hour = f"{(clock.hour - 1) % 12 + 1}:{clock:%M} {'AM' if clock.hour < 12 else 'PM'}"
        view = spelt(film, shown).replace("{pick}", str(3 + film.pick % 12))
        result = (
            ("Repeat", "REPEAT", "repeat - dr asked")[film.pick % 3] if film.level == 2 else "OK"
        )
        dose = f"{1000 + 13 * film.pick:,}.{film.pick % 10}"
        return [f"{day.month}/{day.day}/{day.year}", hour, film.person, view, result, dose, ""]

    def says(film: Film) -> Says:
        return told(film, decision=kept(film.level < 2))

    views = (*BITEWINGS, "periapical", PANORAMIC)
    lines = rows(films(2, 44, people, date(2025, 3, 3), date(2025, 5, 23), views), cells, says)
    good = [at for at, line in enumerate(lines) if line.says]
    spoil(lines, good[6], 0, "13/45/2025", "there is no 13th month and no 45th day")
    spoil(lines, good[13], 4, "maybe", "maybe is neither OK nor repeat")
    spoil(lines, good[20], 2, "", "nobody is named who took the film")
    remark(lines, good[27], 0, "sensor out for repair, used plates the rest of the week")
    head = plain(["Date", "Time", "Who", "X-ray", "Result", "DAP (mGy*cm2)", "Initials of dr."])
    return Sheet(
        name="02-month-first.csv",
        says="English, commas, UTF-8: months first, a time beside, OK or repeat and no grade, "
        "periapicals and panoramic films among the bitewings, thousands with a comma.",
        tabs=[Tab(lines=head + lines)],
        answers={
            "Is 3/7/2025 a day of March or of July?": "the month comes first",
            "What do OK and Repeat mean for the record?": "OK is accepted, Repeat is rejected",
        },
        also_right=[
            "the panoramic films counted among the bad rows, if the reason says so",
            "the comment passed over as no data, if it is told",
        ],
    )


def german_points() -> Sheet:
    """Sheet 3."""
    people = ("Fr. Tessmark", "Fr. Ollenrode", "Azubi Jule")
    shown = {
        "right-premolar": ("BWX re.", "BW re", "Bissflügel rechts"),
        "left-premolar": ("BWX li.", "BW li", "Bissflügel links"),
    }
    faults = {
        "overlap": ("Überlappung {pair}", "überlappt"),
        "cone-cut": ("cone cut", "Tubus angeschnitten"),
        "receptor-placement": ("Film zu weit vorne", "Film zu weit hinten"),
        "tilted": ("schräg", "verkippt"),
        "under-exposed": ("zu hell", "unterbelichtet"),
        "movement": ("verwackelt", "Pat. hat sich bewegt"),
    }

    def cells(film: Film) -> list[str]:
        day = f"{film.day.day}.{film.day.month}.{film.day:%y}"
        again = "ja" if film.again else "nein"
        number = f"{int(film.chart) // 1000}.{film.chart[1:]}"
        why = phrase(film, faults, " / ")
        grade, time_s = str(film.level + 1), ("0,16", "0,20", "0,125")[film.pick % 3]
        return [number, day, film.person, spelt(film, shown), time_s, grade, again, why]

    def says(film: Film) -> Says:
        return told(
            film,
            "faults",
            "case",
            rating=f"uk-2001:{film.level + 1}",
            decision=kept(not film.again),
            exposure_time_s=("0.16", "0.20", "0.125")[film.pick % 3],
        )

    lines = rows(films(3, 38, people, date(2025, 11, 3), date(2026, 1, 30), SIDES), cells, says)
    spoil(lines, 5, 1, "O7.11.25", "the letter O stands for a nought in the date")
    spoil(lines, 12, 5, "1-2", "1-2 is no grade of 1, 2 and 3")
    spoil(lines, 19, 1, "29.2.25", "2025 had no 29 February")
    spoil(lines, 26, 5, "", "no grade")
    head = plain(
        [
            "Akte",
            "Datum",
            "Wer",
            "Aufnahme",
            "Zeit (s)",
            "Note (1 sehr gut, 2 brauchbar, 3 unbrauchbar)",
            "wiederholt?",
            "Fehler / Bemerkung",
        ]
    )
    return Sheet(
        name="03-german-points.csv",
        says="German, semicolons, Windows-1252: dates such as 3.12.25 over a turn of the year, "
        "grades 1 to 3, decimal commas, points in the patients' numbers, faults in free text.",
        encoding="cp1252",
        separator=";",
        tabs=[Tab(lines=head + lines)],
        answers={
            "Which scheme are 1, 2 and 3?": "UK 2001",
            "Does wiederholt mean this film was repeated, or this film is the repeat?": (
                "this film was repeated: ja is rejected, nein is accepted"
            ),
            "Which view is BWX re., BWX li.?": ONE_A_SIDE,
            "What is Film zu weit vorne, Film zu weit hinten?": "a misplaced receptor",
        },
        also_right=[
            MOLAR_TOO,
            "rejected for a film graded 3 that was not repeated",
            ZERO_READ.format(2 + 5),
            UNGRADED,
            "a scheme of the practice's own with grades 1, 2 and 3 in place of UK 2001",
        ],
    )


def french_comma() -> Sheet:
    """Sheet 4."""
    people = ("Mme Brévanne", "Solène", "Dr Cassoual")
    shown = {
        "right-premolar": ("bitewing droite prémolaires", "BW PM droit", "rétrocoronaire D PM"),
        "right-molar": ("bitewing droite molaires", "BW M droit", "rétrocoronaire D M"),
        "left-premolar": ("bitewing gauche prémolaires", "BW PM gauche", "rétrocoronaire G PM"),
        "left-molar": ("bitewing gauche molaires", "BW M gauche", "rétrocoronaire G M"),
    }
    grades = (("bon", "Bon", "bonne"), ("moyen", "moyenne"), ("mauvais", "mauvaise"))
    narrow = "\u202f"

    def cells(film: Film) -> list[str]:
        number = f"{film.chart[0]}{narrow}{film.chart[1:]}"
        words = grades[film.level]
        grade = words[film.pick % len(words)]
        seconds = ("0,16 s", "0,2 s")[film.pick % 2]
        return [film.person, number, f"{film.day:%d/%m/%y}", spelt(film, shown), seconds, grade]

    def says(film: Film) -> Says:
        return told(
            film,
            "case",
            rating="own:" + ("good", "fair", "poor")[film.level],
            decision=kept(film.level < 2),
            exposure_time_s=("0.16", "0.2")[film.pick % 2],
        )

    lines = rows(films(4, 42, people, date(2025, 2, 3), date(2025, 4, 30)), cells, says)
    spoil(lines, 4, 5, "??", "?? is no grade")
    spoil(lines, 14, 2, "30/02/25", "30 February is no date")
    double(lines, 21)
    remark(lines, 33, 3, "vacances du 12 au 16, pas de clichés")

    def foot(month: int, part: list[Line]) -> list[list[str]]:
        name = ("février", "mars", "avril")[month - 2]
        return [["", "", "", f"Total {name}", "", str(len(part))], []]

    head = plain(
        ["Contrôle qualité des clichés - 2025"],
        [],
        ["Opérateur", "N° dossier", "Date", "Incidence", "Temps", "Qualité"],
    )
    return Sheet(
        name="04-french-totals.csv",
        says="French, semicolons, UTF-8 with a byte order mark: a grade alone, a total and a blank "
        "line after each month, narrow spaces in the patients' numbers.",
        encoding="utf-8-sig",
        separator=";",
        tabs=[Tab(lines=head + flat(months(lines, foot)))],
        answers={
            "Which scheme are bon, moyen, mauvais?": (
                "a scheme of our own (called own in the expected rows): good, fair, poor"
            ),
            "Which grades were not kept?": "mauvais is rejected, the others are accepted",
            "Is 07/03/25 a day of March or of July?": "the day comes first",
        },
        also_right=[
            "no decision at all where the person says that a grade decides nothing",
            "the comment passed over as no data, if it is told",
            "the doubled row taken as a second film, and told",
        ],
    )


def spanish_tab() -> Sheet:
    """Sheet 5."""
    people = ("Aux. Nerea Q.", "Aux. Iker", "Dra. Olvarrén")
    shown = {
        "right-premolar": ("aleta dcha. premolares", "AM der. PM"),
        "right-molar": ("aleta dcha. molares", "AM der. M"),
        "left-premolar": ("aleta izda. premolares", "AM izq. PM"),
        "left-molar": ("aleta izda. molares", "AM izq. M"),
    }
    names = ("ene", "feb", "mar", "abr", "may", "jun")

    def cells(film: Film) -> list[str]:
        day = f"{film.day:%d}-{names[film.day.month - 1]}-{film.day:%y}"
        good = film.level < 2
        voltage = ("60,0", "65,0")[film.pick % 2]
        mark = ("✓" if film.pick % 4 else "√") if good else ("✗" if film.pick % 4 else "x")
        repeat = "sí" if film.retake else ""
        return [day, f"{film.clock:%H:%M}", film.person, spelt(film, shown), voltage, mark, repeat]

    def says(film: Film) -> Says:
        voltage = ("60.0", "65.0")[film.pick % 2]
        return told(film, "kind", decision=kept(film.level < 2), tube_voltage_kv=voltage)

    lines = rows(films(5, 46, people, date(2025, 1, 13), date(2025, 6, 20)), cells, says)
    spoil(lines, 3, 0, "31-abr-25", "April has 30 days")
    spoil(lines, 17, 5, "", "no tick and no cross")
    spoil(lines, 28, 5, "✓✗", "a tick and a cross in one cell")
    spoil(lines, 36, 0, "l4-may-25", "the letter l stands for a 1 in the date")
    head = plain(["Fecha", "Hora", "Operador/a", "Proyección", "kV", "¿Válida?", "¿Es repetición?"])
    return Sheet(
        name="05-spanish-tab.txt",
        says="Spanish, tabs, UTF-16 with a byte order mark, as a spreadsheet saves Unicode text: "
        "12-mar-25, ticks and crosses, and whether the film is itself a repeat.",
        encoding="utf-16",
        separator="\t",
        tabs=[Tab(lines=head + lines)],
        answers={
            "What do tick and cross under ¿Válida? mean?": "accepted and rejected",
            "What does x mean there?": "the same as a cross: rejected",
            "Does ¿Es repetición? mean this film is the repeat?": "yes: sí is a retake",
        },
        also_right=[
            "the x counted as bad until somebody says what it means",
            f"row {2 + 36}: the date read with a 1 for the letter l, and told",
        ],
    )
