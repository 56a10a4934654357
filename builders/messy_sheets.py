"""Write tests/messy_sheets: thirty invented sheets as practices keep them, with answer keys.

Run in the top folder of the project. It needs openpyxl and odfpy, which nothing else here does:

    pip install --target FOLDER openpyxl odfpy
    PYTHONPATH=FOLDER python -m builders.messy_sheets

Films, persons and patients are invented, from fixed random numbers; the films come first, and a
sheet and its key are both written from them. So the key cannot say what a reader of sheets says.
"""

import csv
import io
from pathlib import Path

import tomli_w

from builders import (
    messy_sheets_abroad,
    messy_sheets_by_hand,
    messy_sheets_in_ods,
    messy_sheets_in_text,
    messy_sheets_in_xlsx,
    messy_sheets_of_groups,
    messy_sheets_with_habits,
)
from builders.messy_files import write_sheet
from builders.messy_rows import Sheet, expected_of, key_of

FOLDER = Path(__file__).resolve().parents[1] / "tests" / "messy_sheets"


def main() -> None:
    """Write every sheet with its key and its exposures."""
    FOLDER.mkdir(exist_ok=True)
    for sheet in sheets():
        write_sheet(sheet, FOLDER)
        key = key_of(sheet)
        stem = sheet.name.rpartition(".")[0]
        (FOLDER / f"{stem}.key.toml").write_text(tomli_w.dumps(key), encoding="utf-8")
        out = io.StringIO()
        csv.writer(out, lineterminator="\n").writerows(expected_of(sheet))
        (FOLDER / f"{stem}.expected.csv").write_text(out.getvalue(), encoding="utf-8")
        print(sheet.name, key["exposures"], "exposures,", key["bad_rows"], "bad rows")


def sheets() -> list[Sheet]:
    """All thirty, in the order of their numbers."""
    return [
        *messy_sheets_in_text.sheets(),
        *messy_sheets_with_habits.sheets(),
        *messy_sheets_in_xlsx.sheets(),
        *messy_sheets_in_ods.sheets(),
        *messy_sheets_abroad.sheets(),
        *messy_sheets_by_hand.sheets(),
        *messy_sheets_of_groups.sheets(),
    ]


if __name__ == "__main__":
    main()
