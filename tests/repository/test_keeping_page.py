"""The page on what is kept tells of runs of the formats there are now."""

import re

import pytest

from builders.keeping_tables import PAGE, kept_formats

TABLES = ("kills", "damage", "awkward", "memory")
WORSE = ("another answer without a word", "traceback")


@pytest.mark.parametrize("name", TABLES)
def test_a_table_is_of_the_formats_there_are(name: str) -> None:
    text = PAGE.read_text(encoding="utf-8")
    marks = re.findall(rf"<!-- {name}: written by \S+, of (.*) -->\n\n\|", text)
    assert marks == [kept_formats()], "run the benchmarks again: see builders/keeping_tables.py"


def test_nothing_was_lost_and_nothing_answered_wrongly() -> None:
    text = PAGE.read_text(encoding="utf-8")
    kills = rows(text, "kills")
    assert kills
    assert {row[-1] for row in kills} == {"0"}
    damage = rows(text, "damage")
    assert damage
    assert {cell for row in damage for cell in row[-len(WORSE) :]} == {"0"}


def rows(text: str, name: str) -> list[list[str]]:
    """Cells of a table's rows, its head left out."""
    _, _, table = text.partition(f"<!-- {name}: ")
    lines = [line for line in table.partition("<!-- end -->")[0].splitlines() if line[:1] == "|"]
    return [[cell.strip() for cell in line.strip("|").split("|")] for line in lines[2:]]
