"""Tooth codes against the published correspondence of ISO, Universal and Palmer names."""

import csv
from pathlib import Path

import pytest

from bitewright.mouth.numbering import ALL_TEETH, Arch, Notation, ToothName
from tests.published.against import check, read_source

SOURCE = read_source("iso3950_tooth_codes")
PERMANENT = (11, 18, 26, 36, 38, 46, 48)
PRIMARY = {55: "A", 65: "J", 75: "K", 85: "T"}
ARCHES = {"maxilla": Arch.UPPER, "mandible": Arch.LOWER}


def computed() -> dict[str, float]:
    return {
        f"Universal number of {code}": float(ToothName(code).shown(Notation.UNIVERSAL))
        for code in PERMANENT
    }


def test_agrees_with_the_source() -> None:
    check(SOURCE, computed())


@pytest.mark.parametrize(("code", "letter"), PRIMARY.items())
def test_primary_letters(code: int, letter: str) -> None:
    assert ToothName(code).shown(Notation.UNIVERSAL) == letter


@pytest.mark.realdata
def test_every_row_of_the_code_table(shared_data: Path) -> None:
    table = (shared_data / "facts" / "tooth_codes.csv").read_text(encoding="utf-8")
    rows = {int(row["iso3950_fdi"]): row for row in csv.DictReader(table.splitlines())}
    assert set(rows) == {tooth.code for tooth in ALL_TEETH}
    for tooth in ALL_TEETH:
        row = rows[tooth.code]
        assert tooth.shown(Notation.UNIVERSAL) == row["universal"]
        assert tooth.shown(Notation.PALMER) == row["palmer"]
        assert tooth.arch is ARCHES[row["arch"]]
        assert tooth.side.value == row["side"]
        assert tooth.is_primary is (row["dentition"] == "primary")
        assert tooth.kind.value.replace(" ", "") == row["tooth"].lower()
