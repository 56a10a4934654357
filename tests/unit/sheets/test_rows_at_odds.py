"""Bad rows, blocks of rows and the order of columns asked."""

from bitewright.sheets.pseudonyms import Pseudonyms
from bitewright.sheets.questions import Ask, questions_of
from bitewright.sheets.row_reading import rows_read
from tests.unit.sheets.test_marks_and_lines import also_bad
from tests.unit.sheets.test_understanding import made_of, sheet


def test_a_row_that_contradicts_itself_is_never_taken() -> None:
    for columns, rows in (
        ("OK/redo", ("OK", "redo", "OK redo")),
        ("B/M", ("B", "M", "B/M")),
        ("accept|reject", ("x|", "|x", "x|x")),
    ):
        lines = [f"{day}/07/2026|{day}|R bw|Mel|{rows[day % 2]}" for day in range(13, 25)]
        text = "\n".join((f"Date|Pt|Film|By|{columns}", *lines, f"25/07/2026|9|R bw|Mel|{rows[2]}"))
        read_all = list(rows_read(made_of(sheet(text)), Pseudonyms({})))
        assert [bool(row.faults) for row in read_all] == [False] * 12 + [True]


def test_labels_with_their_values_between_rows_hold_for_the_block_below() -> None:
    text = """
Datum:|1-9-2026|Door:|Ilse
Nr|BW|Besluit|Fout
641|re M|bewaard|
642|li M|bewaard|
Datum:|3-9-2026|Door:|Anouk
643|re M|afgekeurd|gekanteld
644|li M|bewaard|
"""
    found = also_bad(made_of(sheet(text)))
    assert [row["day"] for row in found] == ["2026-09-01"] * 2 + ["2026-09-03"] * 2
    assert len({row["operator"] for row in found}) == 2


def test_a_column_question_names_the_likeliest_column_first() -> None:
    rows = [
        f"{day}/07/2026|{day}|R bw|{'pq'[day % 2]}{day}|{'rs'[day % 3 % 2]}"
        for day in range(13, 29)
    ]
    found = made_of(sheet("\n".join(("Date|Pt|Film|XX|YY", *rows))))
    asked = next(each for each in questions_of(found) if each.ask is Ask.OUTCOME_COLUMN)
    assert asked.answers[0] == "YY"
