"""Messy sheets 28 to 30: workbooks of a study group, of a practice with forms, of a clinic."""

from datetime import date, datetime
from typing import Any

from builders.messy_rows import (
    Film,
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
from builders.messy_sheets_abroad import DOUBLED, PASSED_OVER
from builders.messy_sheets_by_hand import BOTH_SIDES, PREMOLAR_TOO
from builders.messy_sheets_in_text import ENGLISH_FAULTS, KEPT_N, UNGRADED
from builders.messy_sheets_in_xlsx import LETTERS

OUTCOMES = ("accepted", "accepted-with-a-remark", "rejected")


def sheets() -> list[Sheet]:
    """The three of them."""
    return [study_group(), form_of_words(), ones_in_columns()]


def study_group() -> Sheet:
    """Sheet 28."""
    people = ("Ruan", "Thandeka", "Pip")
    verdicts = (("keep", "Keep"), ("keep, but", "keep but"), ("bin", "bin it"))

    def cells(film: Film) -> list[Any]:
        verdict = verdicts[film.level][film.pick % 2]
        day = f"{film.day.day} {film.day:%B %Y}"
        fault = phrase(film, ENGLISH_FAULTS, "; ")
        return [film.chart, day, film.person, "", spelt(film, LETTERS), verdict, fault]

    def says(film: Film) -> Says:
        return told(film, "faults", "case", decision=OUTCOMES[film.level])

    lines = rows(films(28, 42, people, date(2025, 3, 3), date(2025, 6, 6)), cells, says)
    top, tops = 4, []
    for at, line in enumerate(lines):
        if at and film_of(lines[at - 1]).chart == film_of(line).chart:
            line.cells[:3] = ["", "", ""]
        else:
            tops.append(at)
        line.cells[3] = f"Image {at - tops[-1] + 1}"
    ends = [*tops[1:], len(lines)]
    blocks = [(at, end) for at, end in zip(tops, ends, strict=True) if end - at > 1]
    merged = [
        f"{letter}{top + at}:{letter}{top + end - 1}" for at, end in blocks for letter in "ABC"
    ]
    alone = [at for at, end in zip(tops, ends, strict=True) if end - at == 1]
    later = [at + 1 for at, _ in blocks]
    spoil(lines, alone[0], 1, "29 February 2025", "2025 had no 29 February")
    spoil(lines, later[2], 5, "keep / bin", "two verdicts in one cell")
    spoil(lines, later[5], 4, "", "the view is not told")
    spoil(lines, later[8], 5, "", "no verdict")
    head = plain(
        ["Study group \u2013 films we looked at together"],
        [],
        ["Case", "Taken on", "Taken by", "", "Which", "Verdict", "What we saw"],
    )
    legend = plain(
        [],
        ["keep", "nothing to mend"],
        ["keep, but", "good enough, mend what we saw next time"],
        ["bin", "of no use"],
    )
    return Sheet(
        name="28-study-group.xlsx",
        says="English workbook of a study group: Image 1, 2, ... under each case, whose number, "
        "day and person stand once in merged cells; verdicts in the group's words, legend below.",
        tabs=[Tab(title="films", lines=head + lines + legend, merged=tuple(merged))],
        answers={
            "Do the merged cells count for every image beside them?": "yes",
            "What do keep, keep but and bin mean?": (
                "keep is accepted, keep but is accepted with a remark, bin is rejected"
            ),
            "Which view is RPM, RM, LPM, LM?": "right and left premolar and molar bitewings",
        },
        also_right=["keep, keep but and bin taken as grades of an own scheme as well"],
    )


def form_of_words() -> Sheet:
    """Sheet 29."""
    people = ("JO", "PQ", "TVH", "LM")
    shown = {
        "right-premolar": ("Right premolar bitewing",),
        "right-molar": ("Right molar bitewing",),
        "left-premolar": ("Left premolar bitewing",),
        "left-molar": ("Left molar bitewing",),
        "periapical": ("Periapical",),
    }
    words = ("Diagnostically acceptable", "Diagnostically acceptable", "Not acceptable")

    def cells(film: Film) -> list[Any]:
        when = datetime.combine(film.day, film.clock)
        again = "Y" if film.again else "N"
        number = int(film.chart)
        return [when, number, spelt(film, shown), film.person, words[film.level], again]

    def says(film: Film) -> Says:
        grade = "N" if film.level == 2 else "A"
        return told(film, "case", rating=f"uk-2020:{grade}", decision=kept(not film.again))

    views = ("right-premolar", "right-molar", "left-premolar", "left-molar", "periapical")
    lines = rows(films(29, 44, people, date(2025, 4, 1), date(2025, 6, 27), views), cells, says)
    spoil(lines, 5, 0, "yesterday", "yesterday is no date")
    spoil(lines, 17, 4, "Please choose", "no grade was chosen")
    spoil(lines, 26, 5, "Y/N", "yes and no in one cell")
    spoil(lines, 33, 3, "??", "nobody is named who took the film")
    good = sum(line.cells[4] == words[0] for line in lines)
    beside = [["Films", len(lines)], ["Acceptable", good], ["%", round(100 * good / len(lines), 1)]]
    for line, more in zip(lines, beside, strict=False):
        line.cells += ["", *more]
    head = plain(
        ["Larkmead Dental Rooms"],
        ["Image quality record", "", "", "", "", "Form 7b"],
        [],
        ["Period", "April to June 2025"],
        ["Kept by", "practice manager"],
        ["Target", "95 % diagnostically acceptable"],
        ["Choose the grade from the list. Initials are on the tab Key."],
        [],
        ["Date", "Patient no.", "View", "Initials", "Grade", "Repeat?"],
    )
    key = heading("Initials|Name|Role") + plain(
        ["JO", "J. Ollerton-Finch", "dentist"],
        ["PQ", "P. Quaverly", "nurse"],
        ["TVH", "T. Vane-Holroyd", "hygienist"],
        ["LM", "L. Mossgrave", "dentist"],
    )
    return Sheet(
        name="29-form-of-words.xlsx",
        says="English workbook: the head in row 9 below a form's lines, date and time in one cell, "
        "grades as words from a list, Y or N under Repeat?, totals at the side, a tab with the "
        "names behind the initials.",
        tabs=[Tab(title="Record", lines=head + lines), Tab(title="Key", lines=key)],
        answers={
            "Which scheme is Grade?": "UK 2020: acceptable is A, not acceptable is N",
            "Does Repeat? mean this film was repeated, or is the repeat?": (
                "this film was repeated: Y is rejected, N is accepted"
            ),
        },
        also_right=[KEPT_N, UNGRADED],
    )


def ones_in_columns() -> Sheet:
    """Sheet 30."""
    people = ("M. Braidwood", "Cal", "E. Strathmiglo")
    shown = {
        "right-bitewing": ("bitewing R", "R side"),
        "left-bitewing": ("bitewing L", "L side"),
    }

    def cells(film: Film) -> list[Any]:
        ones = [1 if film.level == level else "" for level in range(3)]
        why = phrase(film, ENGLISH_FAULTS, " and ")
        return [film.day, film.person, film.chart, spelt(film, shown), *ones, why]

    def says(film: Film) -> Says:
        return told(film, "faults", "case", decision=OUTCOMES[film.level])

    made = films(30, 32, people, date(2025, 8, 4), date(2025, 10, 17), BOTH_SIDES)
    lines = rows(made, cells, says)
    spoil(lines, 6, 0, "31.09.25", "September has 30 days")
    spoil(lines, 14, 4, 1, "all three outcomes are marked")
    lines[14].cells[5] = lines[14].cells[6] = 1
    spoil(lines, 21, 4, "", "no outcome is marked")
    lines[21].cells[5] = lines[21].cells[6] = ""
    double(lines, 25)
    sums = [sum(line.cells[column] == 1 for line in lines) for column in (4, 5, 6)]
    remark(lines, 29, 7, "(holders reordered)")
    shares = [f"{100 * each / sum(sums):.0f} %" for each in sums]
    head = plain(
        ["Community clinic, bitewings"],
        [],
        ["", "", "", "", "How was it?", "", "", ""],
        ["Date", "Taken by", "Chart", "Film", "OK", "OK-ish", "Redo", "Because"],
    )
    foot = plain(["", "", "", "sum", *sums, ""], ["", "", "", "share", *shares, ""])
    return Sheet(
        name="30-ones-in-columns.ods",
        says="English workbook of the open format: real dates, a 1 in one of three columns for the "
        "outcome, one bitewing a side, sums and percentages below.",
        tabs=[Tab(title="Aug-Oct", lines=head + lines + foot, merged=("E3:G3",))],
        answers={
            "What does a 1 under OK, OK-ish and Redo mean?": (
                "OK is accepted, OK-ish is accepted with a remark, Redo is rejected"
            ),
            "Which view is bitewing R, bitewing L?": (
                "one bitewing a side, premolars and molars on one film: right-bitewing, "
                "left-bitewing"
            ),
            "Which fault is sensor too far back, distal of last molar missed?": (
                "a misplaced receptor"
            ),
        },
        also_right=[
            PREMOLAR_TOO,
            "a good, a fair and a poor grade of an own scheme as well",
            PASSED_OVER,
            DOUBLED,
        ],
    )
