"""Colours in which rows of an XLSX workbook are filled, or that they are crossed out."""

import colorsys
import io
import re
import zipfile
from collections import Counter
from collections.abc import Mapping

FILLS = re.compile(r"<(?:\w+:)?fills\b.*?</(?:\w+:)?fills>", re.DOTALL)
FILL = re.compile(r"<(?:\w+:)?fill>(.*?)</(?:\w+:)?fill>", re.DOTALL)
SHADE = re.compile(
    r'patternType="solid".*?<(?:\w+:)?fgColor[^>]*?\brgb="(?:[0-9A-Fa-f]{2})?([0-9A-Fa-f]{6})"',
    re.DOTALL,
)
FORMATS = re.compile(r"<(?:\w+:)?cellXfs\b.*?</(?:\w+:)?cellXfs>", re.DOTALL)
FORMAT = re.compile(r'<(?:\w+:)?xf\b[^>]*?\bfillId="(\d+)"')
PLACE = re.compile(r'<(?:\w+:)?c [^>]*?\br="[A-Z]{1,3}(\d{1,7})"([^>]*)>')
STYLE = re.compile(r'\bs="(\d+)"')
SHEET = re.compile(r'<(?:\w+:)?sheet [^>]*?\bname="([^"]*)"[^>]*?\br:id="([^"]+)"')
RELATION = re.compile(r"<Relationship [^>]*?>")
LONGEST_SHEET = 30 << 20
"""Bytes of a sheet up to which its colours are looked at. Our choice."""
FONTS = re.compile(r"<fonts\b.*?</fonts>", re.DOTALL)
FONT_OF = re.compile(r'\bfontId="(\d+)"')
CROSSED_OUT = "crossed out"
"""What is said in place of a colour of cells that are struck through."""
PALE, DARK = 0.12, 0.25
"""Saturation and brightness below which a fill is no colour. Our choice."""
HUES = (
    (15.0, "red"),
    (42.0, "orange"),
    (70.0, "yellow"),
    (170.0, "green"),
    (265.0, "blue"),
    (335.0, "purple"),
    (361.0, "red"),
)
"""Where each colour ends on the circle of hues [deg]. Our choice."""


def row_colours(content: bytes) -> dict[str, dict[int, str]]:
    """By sheet: the colour of each filled row, by its line; empty where there are none, or no XLSX.

    A row has the colour that most of its filled cells have.
    """
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        names = set(archive.namelist())
        if not {"xl/styles.xml", "xl/workbook.xml"} <= names:
            return {}
        colours = _colours_of_formats(archive.read("xl/styles.xml").decode("utf-8", "replace"))
        if not colours:
            return {}
        found = {}
        for sheet, part in _parts(archive).items():
            if part in names and archive.getinfo(part).file_size <= LONGEST_SHEET:
                text = archive.read(part).decode("utf-8", "replace")
                found[sheet] = _of_rows(text, colours)
    return {sheet: rows for sheet, rows in found.items() if rows}


def _colours_of_formats(styles: str) -> dict[int, str]:
    fills, formats = FILLS.search(styles), FORMATS.search(styles)
    if fills is None or formats is None:
        return {}
    struck = _struck_fonts(styles)
    fonts = [FONT_OF.search(each) for each in re.findall(r"<xf\b[^>]*>", formats[0])]
    shades = [SHADE.search(each) for each in FILL.findall(fills[0])]
    names = [None if shade is None else colour_name(shade[1]) for shade in shades]
    of_formats = [int(each) for each in FORMAT.findall(formats[0])]
    found = {
        at: name
        for at, fill in enumerate(of_formats)
        if fill < len(names) and (name := names[fill]) is not None
    }
    crossed = {at for at, font in enumerate(fonts) if font and int(font[1]) in struck}
    return {**found, **dict.fromkeys(crossed, CROSSED_OUT)}


def _struck_fonts(styles: str) -> set[int]:
    """Numbers of the fonts that are struck through."""
    fonts = FONTS.search(styles)
    each = (
        re.findall(r"<font>.*?</font>|<font\s[^>]*>.*?</font>|<font/>", fonts[0], re.DOTALL)
        if fonts
        else []
    )
    return {
        at
        for at, font in enumerate(each)
        if (found := re.search(r"<strike\b([^>]*)/?>", font))
        and 'val="0"' not in found[1]
        and 'val="false"' not in found[1]
    }


def colour_name(rgb: str) -> str | None:
    """The name of a colour of six hexadecimal figures; None of white, grey and black."""
    red, green, blue = (int(rgb[at : at + 2], 16) / 255 for at in (0, 2, 4))
    hue, saturation, value = colorsys.rgb_to_hsv(red, green, blue)
    if saturation < PALE or value < DARK:
        return None
    return next(name for end, name in HUES if hue * 360 < end)


def _parts(archive: zipfile.ZipFile) -> dict[str, str]:
    """The part of each sheet, by its tab."""
    book = archive.read("xl/workbook.xml").decode("utf-8", "replace")
    relations = archive.read("xl/_rels/workbook.xml.rels").decode("utf-8", "replace")
    targets = {}
    for relation in RELATION.findall(relations):
        name, target = (
            re.search(r'\bId="([^"]+)"', relation),
            re.search(r'\bTarget="([^"]+)"', relation),
        )
        if name and target:
            path = target[1].lstrip("/")
            targets[name[1]] = path if path.startswith("xl/") else f"xl/{path}"
    return {
        _unescaped(tab): targets[identifier]
        for tab, identifier in SHEET.findall(book)
        if identifier in targets
    }


def _unescaped(text: str) -> str:
    for name, sign in (
        ("&lt;", "<"),
        ("&gt;", ">"),
        ("&quot;", '"'),
        ("&apos;", "'"),
        ("&amp;", "&"),
    ):
        text = text.replace(name, sign)
    return text


def _of_rows(sheet: str, colours: Mapping[int, str]) -> dict[int, str]:
    cells: dict[int, list[str | None]] = {}
    for line, rest in PLACE.findall(sheet):
        style = STYLE.search(rest)
        cells.setdefault(int(line), []).append(colours.get(int(style[1])) if style else None)
    found = {}
    for line, held in cells.items():
        named = Counter(name for name in held if name is not None)
        if named:
            found[line] = named.most_common(1)[0][0]
    return found


__all__ = ["colour_name", "row_colours"]
