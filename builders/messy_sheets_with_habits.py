"""Messy sheets 6 to 9: text files with habits of date, head and tick."""

from datetime import date, timedelta

from builders.messy_rows import (
    BITEWINGS,
    FAULTS,
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
from builders.messy_sheets_in_text import (
    ENGLISH_FAULTS,
    ENGLISH_SIDES,
    KEPT_N,
    MOLAR_TOO,
    ONE_A_SIDE,
    UNGRADED,
)

NOUGHT = date(1899, 12, 30)
"""The day of serial number nought, as spreadsheets count from March 1900 on."""

MONTHS = ("January", "February", "March", "April", "May", "June", "July")
MONTHS += ("August", "September", "October", "November", "December")


def sheets() -> list[Sheet]:
    """The four of them."""
    return [serial_dates(), no_year(), fault_ticks(), mixed_dates()]


def serial_dates() -> Sheet:
    """Sheet 6."""
    people = ("SB", "KT", "MW")
    shown = {
        "right-premolar": ("Right PM", "R premolar"),
        "right-molar": ("Right M", "R molar"),
        "left-premolar": ("Left PM", "L premolar"),
        "left-molar": ("Left M", "L molar"),
    }

    def cells(film: Film) -> list[str]:
        serial = str((film.day - NOUGHT).days)
        grade = ("Good", "Fair", "Poor")[film.level]
        again = "x" if film.again else ""
        return [serial, film.chart, spelt(film, shown), film.person, grade, again]

    def says(film: Film) -> Says:
        rating = "own:" + ("good", "fair", "poor")[film.level]
        return told(film, "case", rating=rating, decision=kept(not film.again))

    lines = rows(films(6, 36, people, date(2025, 4, 1), date(2025, 6, 30)), cells, says)
    spoil(lines, 7, 0, "4578O", "the letter O stands for a nought in the date")
    spoil(lines, 16, 4, "Godd?", "Godd? is none of good, fair and poor")
    spoil(lines, 24, 0, "457", "day 457 lies in the year 1901")
    head = plain(
        ["Film", "", "", "Person", "Result", ""],
        ["Date", "Chart", "View", "Taken by", "Quality", "Taken again"],
    )
    legend = plain([], ["Good = nothing to improve", "", "", "", "Fair = usable", "Poor = repeat"])
    return Sheet(
        name="06-serial-dates.csv",
        says="English, commas, UTF-8: dates as a spreadsheet's serial numbers, a head of two "
        "lines, initials, good, fair and poor, an x where the film was taken again, "
        "a legend below.",
        tabs=[Tab(lines=head + lines + legend)],
        answers={
            "Is 45764 in the column Date a serial number?": "yes, 17 April 2025",
            "Which scheme are Good, Fair, Poor?": "a scheme of our own: good, fair, poor",
            "Does Taken again mean this film was repeated?": (
                "yes: x is rejected, an empty cell is accepted"
            ),
        },
        also_right=[
            "rejected for a poor film that was not taken again",
            UNGRADED,
            "row 19 taken as good, if Godd? is told as a slip of the pen",
        ],
    )


def no_year() -> Sheet:
    """Sheet 7."""
    people = ("Orla", "Wendeline", "Tam")
    spellings = {
        "Orla": ("Orla", "orla", "Orla "),
        "Tam": ("Tam", "TAM"),
        "Wendeline": ("Wendeline",),
    }
    endings = {1: "st", 2: "nd", 3: "rd", 21: "st", 22: "nd", 23: "rd", 31: "st"}

    def cells(film: Film) -> list[str]:
        day = f"{MONTHS[film.day.month - 1]} {film.day.day}{endings.get(film.day.day, 'th')}"
        person = spellings[film.person][film.pick % len(spellings[film.person])]
        remark_text = "2nd go" if film.retake else phrase(film, ENGLISH_FAULTS, "; ")
        outcome = "repeat" if film.level == 2 else ("ok", "OK", "ok!")[film.pick % 3]
        return [day, person, spelt(film, ENGLISH_SIDES), outcome, remark_text]

    def says(film: Film) -> Says:
        kind = {"kind": "retake"} if film.retake else {}
        return told(film, "faults", decision=kept(film.level < 2), **kind)

    lines = rows(films(7, 34, people, date(2024, 2, 5), date(2024, 12, 13), SIDES), cells, says)
    spoil(lines, 2, 0, "February 30th", "February has no 30th")
    spoil(lines, 11, 3, "", "neither ok nor repeat")
    double(lines, 18)
    remark(lines, 26, 4, "bought new holders today")
    head = plain(
        ["X-RAY LOG 2024", "", "", "", "(bitewings only)"],
        [],
        ["When", "Who", "Which", "Outcome", "Remarks"],
    )
    return Sheet(
        name="07-no-year.txt",
        says="English, tabs, UTF-8: March 12th with the year in the title alone, names in upper "
        "and lower case, second goes told in the remarks.",
        separator="\t",
        tabs=[Tab(lines=head + lines)],
        answers={
            "Of which year are these dates?": "2024, as the title says",
            "What do ok and repeat mean?": "ok is accepted, repeat is rejected",
            "What does 2nd go mean in Remarks?": "this film is a retake",
            "Which view is R BW, L BW?": ONE_A_SIDE,
            "Are Orla and orla, Tam and TAM the same person?": "yes",
        },
        also_right=[
            MOLAR_TOO,
            "no kind for the second goes where remarks are only kept as notes",
            "the comment passed over as no data, if it is told",
            "the doubled row taken as a second film, and told: no chart number tells them apart",
        ],
    )


def fault_ticks() -> Sheet:
    """Sheet 8."""
    people = ("Hr. Wendrich", "Fr. Salmering", "Fr. Ock")
    shown = {
        "right-premolar": ("PM rechts", "PM re"),
        "right-molar": ("M rechts", "Molaren re"),
        "left-premolar": ("PM links", "PM li"),
        "left-molar": ("M links", "Molaren li"),
    }

    def cells(film: Film) -> list[str]:
        ticks = [
            ("x", "X", "x ")[film.pick % 3] if fault in film.faults else "" for fault in FAULTS
        ]
        grade = "N" if film.level == 2 else "A"
        use = "n" if film.again else "j"
        return [
            film.day.isoformat(),
            film.chart,
            film.person,
            spelt(film, shown),
            *ticks,
            grade,
            use,
        ]

    def says(film: Film) -> Says:
        grade = "N" if film.level == 2 else "A"
        decision = kept(not film.again)
        return told(film, "faults", "case", rating=f"uk-2020:{grade}", decision=decision)

    lines = rows(films(8, 50, people, date(2025, 5, 5), date(2025, 7, 31)), cells, says)
    spoil(lines, 6, 0, "2025-06-31", "June has 30 days")
    spoil(lines, 18, 10, "O", "O is none of A and N")
    spoil(lines, 27, 11, "", "neither j nor n under the decision")
    spoil(lines, 35, 0, "", "no date")
    double(lines, 41)
    empty = [""] * 4
    head = plain(
        [*empty, "Fehler (ankreuzen)", "", "", "", "", "", "Urteil", ""],
        [
            *("Tag", "Akte", "Behandler", "Ansicht"),
            *("Überlappung", "Tubus angeschn.", "Sensor falsch", "verkippt", "zu hell", "bewegt"),
            *("A/N", "behalten j/n"),
        ],
    )
    return Sheet(
        name="08-fault-ticks.csv",
        says="German, semicolons, Windows-1252: year first, a column to tick for each fault under "
        "a head of two lines, grade A or N, and whether the film was kept.",
        encoding="cp1252",
        separator=";",
        tabs=[Tab(lines=head + lines)],
        answers={
            "Which column is the decision?": "behalten j/n: j is accepted, n is rejected",
            "Which scheme are A and N?": "UK 2020",
            "Which fault is Sensor falsch?": "a misplaced receptor",
            "Which fault is zu hell?": "underexposure",
        },
        also_right=[
            KEPT_N,
            UNGRADED,
            "the row without j or n taken without a decision, and told",
            "the doubled row taken as a second film, and told",
        ],
    )


def mixed_dates() -> Sheet:
    """Sheet 9."""
    people = ("Ms. Penhallick", "Dr Yarwood-Eyre", "Beck")
    handover = date(2025, 4, 7)
    shown = {
        "right-premolar": ("RPM bitewing", "BW RPM"),
        "right-molar": ("RM bitewing", "BW RM"),
        "left-premolar": ("LPM bitewing", "BW LPM"),
        "left-molar": ("LM bitewing", "BW LM"),
        "periapical": ("periapical UR4", "PA LL6", "periapical UL1"),
    }

    def cells(film: Film) -> list[str]:
        early = film.day < handover
        day = f"{film.day:%d/%m/%Y}" if early else film.day.isoformat()
        if film.pick % 9 == 0:
            day = f"{film.day:%d/%m/%Y}"  # a slip back into the old habit
        grade = ("acceptable", "Acceptable", "A")[film.pick % 3]
        if film.level == 2:
            grade = ("not acceptable", "N", "Not Acceptable")[film.pick % 3]
        notes = phrase(film, ENGLISH_FAULTS, "\n")
        return [
            day,
            f"{film.clock:%H.%M}",
            film.person,
            film.chart,
            spelt(film, shown),
            grade,
            notes,
        ]

    def says(film: Film) -> Says:
        grade = "N" if film.level == 2 else "A"
        decision = kept(film.level < 2)
        return told(film, "faults", "case", rating=f"uk-2020:{grade}", decision=decision)

    views = (*BITEWINGS, "periapical")
    lines = rows(films(9, 48, people, date(2025, 3, 3), date(2025, 5, 30), views), cells, says)
    spoil(lines, 4, 0, "2025-13-03", "there is no 13th month")
    spoil(lines, 14, 5, "acceptable?", "the grade is in doubt")
    spoil(lines, 23, 0, "0/04/2025", "there is no day nought")
    spoil(lines, 38, 5, "see below", "see below is no grade")

    def foot(month: int, part: list[Line]) -> list[list[str]]:
        last = date(2025, month + 1, 1) - timedelta(days=1)
        return [
            ["", "", "", "", f"{MONTHS[month - 1]} to {last:%d/%m}:", str(len(part)), ""],
            [],
            [],
        ]

    head = plain(["date", "time", "taken by", "ref", "view", "quality", "notes"])
    return Sheet(
        name="09-mixed-dates.csv",
        says="English, commas, UTF-8 with a byte order mark: two habits of date in one column, the "
        "UK 2020 wording and its letters mixed, notes of two lines in one cell, month totals.",
        encoding="utf-8-sig",
        tabs=[Tab(lines=head + flat(months(lines, foot)))],
        answers={
            "Is 04/03/2025 a day of March or of April?": "March: the day comes first",
            "Which scheme are acceptable and not acceptable?": "UK 2020: A and N",
            "Which grades were not kept?": "N is rejected, A is accepted",
        },
        also_right=[
            "no decision at all where the person says that a grade decides nothing",
            "acceptable? taken as A, and told",
        ],
    )
