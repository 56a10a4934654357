"""Which names with a unit the code has, and which of them docs/glossary.md explains.

Run ``python -m builders.glossary`` in the top folder of the project for the rows still missing,
ready to be completed and pasted.
"""

import ast
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

TOP = Path(__file__).resolve().parents[1]
SOURCE = TOP / "src" / "bitewright"
PAGE = TOP / "docs" / "glossary.md"

# What a name may end in, and how the unit is written in the glossary.
UNITS = {
    "mm": "mm",
    "mm2": "mm²",
    "mm3": "mm³",
    "mm_al": "mm Al",
    "cm": "cm",
    "cm2": "cm²",
    "um": "µm",
    "deg": "degrees",
    "px": "pixels",
    "kv": "kV",
    "kev": "keV",
    "ma": "mA",
    "mas": "mAs",
    "s": "s",
    "ms": "ms",
    "gy": "Gy",
    "mgy": "mGy",
    "ugy": "µGy",
    "msv": "mSv",
    "usv": "µSv",
    "mgycm2": "mGy·cm²",
    "g_cm3": "g/cm³",
    "g_per_cm3": "g/cm³",
    "cm2_g": "cm²/g",
    "cm2_per_g": "cm²/g",
    "per_cm": "1/cm",
    "per_mm": "1/mm",
    "per_mm2": "1/mm²",
    "per_cm2_mas": "1/(cm²·mAs)",
    "lp_mm": "line pairs/mm",
    "lp_per_mm": "line pairs/mm",
    "percent": "%",
}
SUFFIX = re.compile(rf"_({'|'.join(sorted(UNITS, key=len, reverse=True))})$")
ROW = re.compile(r"^\|\s*`(?P<word>\w+)`\s*\|(?P<cells>.*)\|\s*$", re.MULTILINE)


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitField:
    """A public field of a public dataclass whose name ends in a unit."""

    word: str
    unit: str
    where: str
    said_there: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """A row of the glossary: a code word, its meaning, unit and sign."""

    word: str
    meaning: str
    unit: str
    sign: str


def main() -> None:
    """Print a row for each word that is missing."""
    known = {entry.word for entry in entries()}
    missing = {field.word: field for field in unit_fields() if field.word not in known}
    for word, field in sorted(missing.items()):
        print(f"| `{word}` | {field.said_there or '?'} | {field.unit} | ? | <!-- {field.where} -->")


def entries(page: Path = PAGE) -> list[Entry]:
    """Every row of the glossary whose first cell is a word of the code."""
    found = []
    for row in ROW.finditer(page.read_text(encoding="utf-8")):
        cells = [cell.strip() for cell in row["cells"].split("|")]
        meaning, unit, sign = (*cells, "", "", "")[:3]
        found.append(Entry(word=row["word"], meaning=meaning, unit=unit, sign=sign))
    return found


def unit_fields(source: Path = SOURCE) -> list[UnitField]:
    """Every public dataclass field of the package that carries a unit."""
    return [
        field
        for path in sorted(source.rglob("*.py"))
        for field in fields_in(path, where=path.relative_to(source.parent).as_posix())
    ]


def fields_in(path: Path, *, where: str) -> Iterator[UnitField]:
    """The unit fields of one module."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ClassDef) and is_public_dataclass(node):
            docstring = ast.get_docstring(node) or ""
            for word in annotated_names(node):
                if not word.startswith("_") and (suffix := SUFFIX.search(word)):
                    yield UnitField(
                        word=word,
                        unit=UNITS[suffix[1]],
                        where=f"{where}: {node.name}",
                        said_there=described(word, docstring),
                    )


def is_public_dataclass(node: ast.ClassDef) -> bool:
    """Whether a class is open to others and decorated as a dataclass."""
    decorators = [getattr(d, "func", d) for d in node.decorator_list]
    names = {getattr(d, "id", getattr(d, "attr", "")) for d in decorators}
    return "dataclass" in names and not node.name.startswith("_")


def annotated_names(node: ast.ClassDef) -> list[str]:
    """The names of a dataclass' fields."""
    return [
        item.target.id
        for item in node.body
        if isinstance(item, ast.AnnAssign) and isinstance(item.target, ast.Name)
    ]


def described(word: str, docstring: str) -> str:
    """What a class says of a field: in its parameter list, or after ``word`` in its text."""
    listed = rf"^[\w, ]*\b{word}\b[\w, ]*:.*\n((?:[ \t]+.*\n?)+)"
    in_text = rf"``{word}``:?((?:.|\n(?!\n|``))+)"
    match = re.search(listed, docstring, re.MULTILINE) or re.search(in_text, docstring)
    return " ".join(match[1].split()).replace("|", "/") if match else ""


if __name__ == "__main__":
    main()
