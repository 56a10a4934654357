"""Write a messy sheet as a text file, an XLSX or an ODS, the same bytes each time."""

import csv
import io
import re
import zipfile
from datetime import date, datetime, time
from pathlib import Path
from typing import Any

from odf.opendocument import OpenDocumentSpreadsheet
from odf.style import Style, TableColumnProperties
from odf.table import CoveredTableCell, Table, TableCell, TableColumn, TableRow
from odf.text import P
from openpyxl import Workbook
from openpyxl.styles import Font, PatternFill
from openpyxl.utils import get_column_letter, range_boundaries

from builders.messy_rows import Sheet, Tab

WRITTEN = (2025, 7, 1, 8, 0, 0)
NOW = re.compile(rb"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ")
ROWS_OF_A_SHEET = 1_048_576
COLUMNS_OF_A_SHEET = 1024


def write_sheet(sheet: Sheet, folder: Path) -> None:
    """The file itself."""
    place = folder / sheet.name
    if place.suffix == ".xlsx":
        place.write_bytes(same_each_time(xlsx_of(sheet)))
    elif place.suffix == ".ods":
        place.write_bytes(same_each_time(ods_of(sheet)))
    else:
        place.write_bytes(text_of(sheet).encode(sheet.encoding))


def text_of(sheet: Sheet) -> str:
    """A text file as a spreadsheet saves it; rows as long as the longest."""
    (tab,) = sheet.tabs
    width = max(len(line.cells) for line in tab.lines)
    out = io.StringIO()
    writer = csv.writer(out, delimiter=sheet.separator, lineterminator="\r\n")
    for line in tab.lines:
        writer.writerow([*line.cells, *[""] * (width - len(line.cells))])
    return out.getvalue()


def xlsx_of(sheet: Sheet) -> bytes:
    """A workbook; dates and numbers in cells stay dates and numbers."""
    book = Workbook()
    book.remove(book.active)
    for tab in sheet.tabs:
        page = book.create_sheet(tab.title or "Sheet1")
        for row, line in enumerate(tab.lines, start=1):
            for column, value in enumerate(line.cells, start=1):
                if value == "":
                    continue
                cell = page.cell(row, column, value)
                if isinstance(value, datetime):
                    cell.number_format = "dd/mm/yyyy hh:mm"
                elif isinstance(value, date):
                    cell.number_format = "dd/mm/yyyy"
                elif isinstance(value, time):
                    cell.number_format = "hh:mm"
        page["A1"].font = Font(bold=True, size=14)
        page["B3"].fill = PatternFill("solid", fgColor="FFDDEEFF")
        for area in tab.merged:
            page.merge_cells(area)
        for letter in tab.hidden:
            page.column_dimensions[letter].hidden = True
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def ods_of(sheet: Sheet) -> bytes:
    """A workbook of the open format, filled up to the sheet's end as office programs do."""
    book = OpenDocumentSpreadsheet()
    narrow = Style(name="co1", family="table-column")
    narrow.addElement(TableColumnProperties(columnwidth="2.2cm"))
    book.automaticstyles.addElement(narrow)
    for tab in sheet.tabs:
        book.spreadsheet.addElement(ods_table(tab, narrow))
    out = io.BytesIO()
    book.write(out)
    return out.getvalue()


def ods_table(tab: Tab, narrow: Style) -> Table:
    """One tab."""
    table = Table(name=tab.title or "Sheet1")
    width = max(len(line.cells) for line in tab.lines)
    for column in range(1, width + 1):
        hidden = {"visibility": "collapse"} if get_column_letter(column) in tab.hidden else {}
        table.addElement(TableColumn(stylename=narrow, **hidden))
    spans, covered = spans_of(tab)
    for at, line in enumerate(tab.lines, start=1):
        row = TableRow()
        for column in range(1, width + 1):
            value = line.cells[column - 1] if column <= len(line.cells) else ""
            if (at, column) in covered:
                row.addElement(CoveredTableCell())
            else:
                row.addElement(ods_cell(value, spans.get((at, column), {})))
        row.addElement(TableCell(numbercolumnsrepeated=COLUMNS_OF_A_SHEET - width))
        table.addElement(row)
    rest = TableRow(numberrowsrepeated=ROWS_OF_A_SHEET - len(tab.lines))
    rest.addElement(TableCell(numbercolumnsrepeated=COLUMNS_OF_A_SHEET))
    table.addElement(rest)
    return table


def ods_cell(value: object, span: dict[str, int]) -> TableCell:
    """A cell with its value and the text that is shown for it."""
    kinds: dict[str, Any] = {}
    shown = str(value)
    if isinstance(value, date):
        kinds = {"valuetype": "date", "datevalue": value.isoformat()}
        shown = f"{value:%d.%m.%y}"
    elif isinstance(value, int | float):
        kinds = {"valuetype": "float", "value": str(value)}
    elif value != "":
        kinds = {"valuetype": "string"}
    cell = TableCell(**kinds, **span)
    for part in shown.split("\n") if shown else ():
        cell.addElement(P(text=part))
    return cell


def spans_of(tab: Tab) -> tuple[dict[tuple[int, int], dict[str, int]], set[tuple[int, int]]]:
    """Where merged cells begin with how far they reach, and which cells they cover."""
    spans, covered = {}, set()
    for area in tab.merged:
        left, top, right, bottom = range_boundaries(area)
        spans[top, left] = {
            "numbercolumnsspanned": right - left + 1,
            "numberrowsspanned": bottom - top + 1,
        }
        covered |= {
            (row, column)
            for row in range(top, bottom + 1)
            for column in range(left, right + 1)
            if (row, column) != (top, left)
        }
    return spans, covered


def same_each_time(packed: bytes) -> bytes:
    """The same archive with a fixed time of writing."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(packed)) as old, zipfile.ZipFile(out, "w") as new:
        for name in old.namelist():
            content = old.read(name)
            if name in {"docProps/core.xml", "meta.xml"}:
                content = NOW.sub(b"2025-07-01T08:00:00Z", content)
            entry = zipfile.ZipInfo(name, WRITTEN)
            stored = name == "mimetype"
            entry.compress_type = zipfile.ZIP_STORED if stored else zipfile.ZIP_DEFLATED
            new.writestr(entry, content)
    return out.getvalue()
