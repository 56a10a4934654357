"""Spreadsheets from disk: what stands in them, and what is refused before it takes all memory."""

import zipfile
from pathlib import Path

import pytest

from bitewright.files import workbooks
from bitewright.files.workbooks import WorkbookUnreadableError, read_workbook
from bitewright.sheets.cells import CellDay, cell_text
from trials.messy_sheets import outcomes

SHEETS = Path(__file__).resolve().parents[1] / "messy_sheets"
BOOK = (
    '<workbook xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" '
    'xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships">'
    '<sheets><sheet name="S" sheetId="1" r:id="rId1"/></sheets></workbook>'
)
RELATIONS = (
    '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">'
    '<Relationship Id="rId1" Target="worksheets/sheet1.xml" '
    'Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet"/>'
    "</Relationships>"
)
CELLS = (
    '<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>'
    '<row r="1"><c r="A1" t="inlineStr"><is><t>Date</t></is></c></row>{}</sheetData></worksheet>'
)


TYPES = (
    '<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">'
    '<Override PartName="/xl/workbook.xml" ContentType="application/vnd.openxmlformats-'
    'officedocument.spreadsheetml.sheet.main+xml"/></Types>'
)


def workbook(path: Path, more: str = "") -> Path:
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("[Content_Types].xml", TYPES)
        archive.writestr(
            "_rels/.rels",
            RELATIONS.replace("worksheets/sheet1.xml", "xl/workbook.xml").replace(
                '/worksheet"', '/officeDocument"'
            ),
        )
        archive.writestr("xl/workbook.xml", BOOK)
        archive.writestr("xl/_rels/workbook.xml.rels", RELATIONS)
        archive.writestr("xl/worksheets/sheet1.xml", CELLS.format(more))
    return path


def test_a_small_workbook_is_read(tmp_path: Path) -> None:
    book = read_workbook(workbook(tmp_path / "a.xlsx", '<row r="2"><c r="B2"><v>0.5</v></c></row>'))
    assert [list(row) for row in book.sheets[0].rows] == [["Date", None], [None, 0.5]]
    assert (book.name, book.sheets[0].name) == ("a", "S")


@pytest.mark.parametrize("name", ["14-french-others.xlsx", "18-german-quarter.ods"])
def test_days_merged_cells_and_lines_of_both_formats(name: str) -> None:
    sheet = read_workbook(SHEETS / name).sheets[0]
    assert any(isinstance(cell, CellDay) for row in sheet.rows for cell in row)
    assert sheet.lines[0] == 1


def test_a_bomb_and_cells_far_apart_are_refused_before_they_are_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    far = workbook(tmp_path / "far.xlsx", '<row r="900000"><c r="XFD900000"><v>1</v></c></row>')
    with pytest.raises(WorkbookUnreadableError, match="16384 columns and 900000 rows"):
        read_workbook(far)
    monkeypatch.setattr(workbooks, "MOST_UNPACKED", 1 << 20)
    with pytest.raises(WorkbookUnreadableError, match="unpacks to more than 1 MiB"):
        read_workbook(workbook(tmp_path / "bomb.xlsx", " " * (2 << 20)))


@pytest.mark.parametrize(
    ("content", "word"),
    [
        (b"PK\x03\x04nothing", "damaged"),
        (b"\xd0\xcf\x11\xe0nothing", "no spreadsheet"),
        (b"\x89PNG\r\n\x00\x00", "neither a spreadsheet"),
    ],
)
def test_what_is_no_spreadsheet_is_refused(tmp_path: Path, content: bytes, word: str) -> None:
    path = tmp_path / "x.xlsx"
    path.write_bytes(content)
    with pytest.raises(WorkbookUnreadableError, match=word):
        read_workbook(path)


@pytest.mark.parametrize(
    ("encoding", "separator"),
    [("cp1252", ";"), ("utf-16", "\t"), ("utf-8-sig", ","), ("mac-roman", "|")],
)
def test_text_in_any_encoding_and_with_any_separator(
    tmp_path: Path, encoding: str, separator: str
) -> None:
    path = tmp_path / "t.csv"
    lines = ["Qualität", "Tag;Müller;x", "", "1;2;3"]
    path.write_text("\n".join(lines).replace(";", separator), encoding=encoding)
    sheet = read_workbook(path).sheets[0]
    assert [cell_text(cell) for cell in sheet.rows[1]] == ["Tag", "Müller", "x"]
    assert list(sheet.lines) == [1, 2, 3, 4]


@pytest.mark.slow
def test_the_messy_sheets_come_in_right_with_five_answers_at_most() -> None:
    told = list(outcomes())  # all of them it was mended with
    assert len(told) == 30
    assert [each.name for each in told if not each.is_right] == []
    assert max(each.answers for each in told) <= 5
