"""Messy sheets 25 to 27: a notebook typed up, a department's export, a list as it was printed."""

from datetime import date, timedelta

from builders.messy_rows import (
    BITEWINGS,
    PANORAMIC,
    Film,
    Line,
    Says,
    Sheet,
    Tab,
    double,
    film_of,
    films,
    heading,
    kept,
    phrase,
    plain,
    remark,
    rows,
    spelt,
    spoil,
    told,
)
from builders.messy_sheets_abroad import DOUBLED, NO_SIDE, PASSED_OVER, paged

HARD_SPACE = "\u00a0"
BOTH_SIDES = ("right-bitewing", "left-bitewing")
"""What a practice takes that makes one bitewing a side, in the log's own words for it."""

PREMOLAR_TOO = "right-premolar and left-premolar, where the person asked says so"


def sheets() -> list[Sheet]:
    """The three of them."""
    return [notebook(), export(), printed_list()]


def notebook() -> Sheet:
    """Sheet 25."""
    people = ("Fr. Adelmuth",)
    shown = {
        "right-bitewing": ("BF re", "BF rechts", "rechts"),
        "left-bitewing": ("BF li", "BF links", "links"),
    }
    faults = {
        "overlap": ("„überlappt“", "Kontakte zu"),
        "cone-cut": ("Ecke fehlt, Tubus daneben",),
        "receptor-placement": ("Sensor verrutscht",),
        "tilted": ("schief",),
        "under-exposed": ("zu hell",),
        "movement": ("„verwackelt“", "Pat. hat sich bewegt"),
    }
    weekdays = ("Mo", "Di", "Mi", "Do", "Fr", "Sa", "So")

    def cells(film: Film) -> list[str]:
        day = f"{weekdays[film.day.weekday()]}{HARD_SPACE}{film.day:%d.%m.}"
        mark = ("+", "+ ")[film.pick % 2] if film.level < 2 else "\u2013"
        note = phrase(film, faults, "; ")
        if film.retake:
            note = "(zweiter Versuch)"
        return [day, film.chart, spelt(film, shown), mark, note]

    def says(film: Film) -> Says:
        kind = {"kind": "retake"} if film.retake else {}
        return told(film, "faults", "case", decision=kept(film.level < 2), **kind)

    made = films(25, 34, people, date(2025, 9, 1), date(2025, 12, 12), BOTH_SIDES)
    lines = rows(made, cells, says)
    day = film_of(lines[9]).day
    wrong = f"{weekdays[(day + timedelta(days=2)).weekday()]} {day:%d.%m.}"
    spoil(lines, 3, 0, "Di 31.09.", "September has 30 days")
    spoil(lines, 9, 0, wrong, f"{day:%d.%m.} was no {wrong[:2]}")
    spoil(lines, 17, 3, "+ \u2013", "plus and minus in one cell")
    remark(lines, 26, 4, "(ab hier neuer Sensor)")
    head = plain(
        ["Mein Heft \u2013 Prophylaxe Fr. Adelmuth, September bis Dezember 2025"],
        ["(alle Bilder von mir)"],
        [],
        ["Tag", "Kartei", "Bild", "ok?", "Notiz (warum nicht?)"],
    )
    return Sheet(
        name="25-notebook.txt",
        says="German, tabs, UTF-16 with its high bytes first: a hygienist's notebook typed up, Mo "
        "03.11. with the year in the title, no column for who took it, plus and minus, "
        "hard spaces, curled quotes, brackets.",
        encoding="utf-16-be",
        separator="\t",
        tabs=[Tab(lines=marked_as_unicode(head) + lines)],
        answers={
            "Of which year are these dates?": "2025, as the title says",
            "Who took the films?": "Fr. Adelmuth took all of them",
            "What do + and \u2013 under ok? mean?": "+ is accepted, \u2013 is rejected",
            "Which view is BF re, BF li?": (
                "one bitewing a side, premolars and molars on one film: right-bitewing, "
                "left-bitewing"
            ),
            "What does zweiter Versuch mean?": "this film is a retake",
        },
        also_right=[
            PREMOLAR_TOO,
            "no kind for the second goes where remarks are only kept as notes",
            "the row with the wrong weekday taken by its date, and told",
            PASSED_OVER,
        ],
    )


def marked_as_unicode(lines: list[Line]) -> list[Line]:
    """The lines with a byte order mark before the first cell."""
    lines[0].cells[0] = f"\ufeff{lines[0].cells[0]}"
    return lines


def export() -> Sheet:
    """Sheet 26."""
    people = ("U4471", "U4502", "U4519")
    codes = {
        "right-premolar": "BW-R-PM",
        "right-molar": "BW-R-M",
        "left-premolar": "BW-L-PM",
        "left-molar": "BW-L-M",
        PANORAMIC: "OPG",
    }
    reasons = {
        "overlap": "Q01",
        "cone-cut": "Q02",
        "receptor-placement": "Q03",
        "tilted": "Q04",
        "under-exposed": "Q05",
        "movement": "Q06",
    }

    def cells(film: Film) -> list[str]:
        return [
            f"A{film.chart}{film.clock:%H%M}",
            film.chart,
            f"{film.day.isoformat()}T{film.clock:%H:%M}:{film.pick:02d}",
            codes[film.view],
            film.person,
            ("60", "65", "70")[film.pick % 3],
            ("160", "200", "250")[film.pick % 3],
            "1" if film.level == 2 else "0",
            ",".join(reasons[fault] for fault in film.faults),
        ]

    def says(film: Film) -> Says:
        return told(
            film,
            "faults",
            "case",
            decision=kept(film.level < 2),
            tube_voltage_kv=("60", "65", "70")[film.pick % 3],
            exposure_time_s=("0.16", "0.2", "0.25")[film.pick % 3],
        )

    views = (*BITEWINGS, PANORAMIC)
    lines = rows(films(26, 44, people, date(2025, 1, 8), date(2025, 3, 28), views), cells, says)
    good = [at for at, line in enumerate(lines) if line.says]
    spoil(lines, good[4], 2, "2025-02-29T10:14:07", "2025 had no 29 February")
    spoil(lines, good[14], 7, "9", "9 is neither 0 nor 1")
    spoil(lines, good[23], 4, "", "nobody is named who took the film")
    spoil(lines, good[31], 3, "XX", "XX is no code of a view")
    head = plain(["#EXPORT DENTAL RADIOLOGY 2025-03-31T06:00:00 ROWS=" + str(len(lines))])
    columns = "ACC_NO|PAT_ID|ACQ_DT|PROC_CODE|OPER_ID|KVP|EXP_TIME_MS|REJ_FLAG|REJ_CODES"
    legend = plain(
        ["#Q01=overlapping contacts"],
        ["#Q02=cone cut"],
        ["#Q03=receptor misplaced"],
        ["#Q04=tilted occlusal plane"],
        ["#Q05=underexposed"],
        ["#Q06=motion"],
        ["#END"],
    )
    return Sheet(
        name="26-department-export.csv",
        says="English, bars, UTF-8: a hospital department's export with ISO date-times, codes for "
        "view, person and fault, the meaning of fault codes below, times in milliseconds, "
        "panoramic films among the bitewings.",
        separator="|",
        tabs=[Tab(lines=head + heading(columns) + lines + legend)],
        answers={
            "What do 0 and 1 under REJ_FLAG mean?": "0 is accepted, 1 is rejected",
            "Which view is BW-R-PM and so on?": "right and left, premolar and molar bitewings",
            "What do Q01 to Q06 mean?": (
                "as written below: overlap, cone cut, misplaced receptor, tilted, underexposed, "
                "movement"
            ),
            "Is EXP_TIME_MS the time of exposure?": "yes, in milliseconds",
        },
        also_right=[
            "the panoramic films counted among the bad rows, if the reason says so",
            "no tube voltage and no time, where the person was not asked for them",
        ],
    )


def printed_list() -> Sheet:
    """Sheet 27."""
    people = ("AK", "DMcG", "SB")
    shown = {
        "right-premolar": ("R pre-molar BW", "R. premolar b/w"),
        "right-molar": ("R molar BW", "R. molar b/w"),
        "left-premolar": ("L pre-molar BW", "L. premolar b/w"),
        "left-molar": ("L molar BW", "L. molar b/w"),
    }
    asides = ("", "", "", " (wriggly)", " (gagged)", "")

    def cells(film: Film) -> list[str]:
        yes = ("Y", "y", "Y ", f"Y{HARD_SPACE}", "Yes")[film.pick % 5]
        no = ("N", "n ", "No")[film.pick % 3]
        words = {
            "overlap": ("“closed” contacts", "overlap {pair}"),
            "cone-cut": ("cone-cut",),
            "receptor-placement": ("sensor too far forward",),
            "tilted": ("tilted",),
            "under-exposed": ("too pale",),
            "movement": ("child wouldn\u2019t stay still \u2013 moved",),
        }
        return [
            f"{film.day:%a %d-%m-%Y}",
            "",
            f"{spelt(film, shown)}{asides[film.pick % 6]}",
            f" {film.person} ",
            "",
            film.chart,
            yes if film.level < 2 else no,
            phrase(film, words, "; "),
        ]

    def says(film: Film) -> Says:
        return told(film, "faults", "case", decision=kept(film.level < 2))

    lines = rows(films(27, 44, people, date(2025, 3, 3), date(2025, 5, 23)), cells, says)
    spoil(lines, 7, 0, "Mon 31-04-2025", "April has 30 days")
    spoil(lines, 18, 6, "Y?", "the answer is in doubt")
    spoil(lines, 27, 2, "BW (forgot which)", "neither side nor region is told")
    double(lines, 37)
    head = ["Date", "", "Film", "By ", "", "Chart", "Diagnostic?", "Comment"]
    between = [["\u2013 continued overleaf \u2013"], [], ["Bitewing list (cont\u2019d)"], head]
    key = plain(
        [],
        ["Who\u2019s who"],
        ["AK", "", "Ailbhe Kinnertree"],
        ["DMcG", "", "Dervla McGorrick"],
        ["SB", "", "Sorcha Bannagher"],
    )
    start = plain(["Bitewing list \u2013 “every film, please”"], [], head)
    return Sheet(
        name="27-printed-list.csv",
        says="English, commas, UTF-8: days with their weekday, Y or N under Diagnostic?, the head "
        "again on each printed page, initials with a table of names below, remarks in brackets "
        "within the view, curled quotes, trailing and hard spaces, empty columns.",
        tabs=[Tab(lines=start + paged(lines, 16, between) + key)],
        answers={
            "What do Y and N under Diagnostic? mean?": "Y is accepted, N is rejected",
            "Is 04-03-2025 a day of March or of April?": "the day comes first",
            "Which view is R pre-molar BW and so on?": (
                "right and left, premolar and molar bitewings; what stands in brackets is a remark"
            ),
            "Which fault is sensor too far forward?": "a misplaced receptor",
        },
        also_right=[
            "Y and N taken as UK 2020 grades A and N as well",
            "Y? taken as Y, and told",
            NO_SIDE,
            DOUBLED,
        ],
    )
