"""Write the log's fields into what repeats them: four JSON schemas and the page on the log.

Run ``python -m builders.log_fields`` (or ``make docs``) in the top folder of the project, after a
change of src/bitewright/log/tables/fields.toml.
"""

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from bitewright.log.field_forms import Sort
from bitewright.log.fields import FIELDS, LogField

TOP = Path(__file__).resolve().parents[1]
SCHEMAS = TOP / "src" / "bitewright" / "files" / "schemas"
PAGE = TOP / "docs" / "log-format.md"
HEAD = "| field | meaning | allowed |\n| --- | --- | --- |\n"

PLACES = {
    "entries-1.json": [("$defs", "entry", "properties", "body")],
    "log-added-1.json": [("properties", "exposure")],
    "log-history-1.json": [
        ("properties", "exposure"),
        ("properties", "history", "items", "properties", "body"),
    ],
    "log-list-1.json": [("properties", "exposures", "items")],
}
"""Where in each schema an exposure's fields stand."""
BESIDE = ("number", "key")
"""What may stand beside the fields."""
FAULT = {
    "description": "a fault seen",
    "type": "object",
    "additionalProperties": False,
    "required": ["fault"],
    "properties": {
        "fault": {"description": "name of the fault", "type": "string"},
        "size": {"description": "its size in the fault's own unit", "type": "number"},
    },
}
TYPES: dict[Sort, dict[str, Any]] = {
    Sort.TEXT: {"type": "string"},
    Sort.NUMBER: {"type": "number"},
    Sort.FLAG: {"type": "boolean"},
    Sort.TEETH: {
        "type": "array",
        "items": {"description": "ISO 3950 code", "type": "integer"},
    },
    Sort.FAULTS: {"type": "array", "items": FAULT},
}


def main() -> None:
    """Write all of them and say where."""
    for path, text in written():
        path.write_text(text, encoding="utf-8")
        print(f"wrote {path}")


def written() -> Iterator[tuple[Path, str]]:
    """Every file and what it should hold."""
    for name, places in PLACES.items():
        yield SCHEMAS / name, with_fields(SCHEMAS / name, places)
    page = PAGE.read_text(encoding="utf-8")
    rows = re.escape(HEAD) + r"(\|.*\n)*"
    yield PAGE, re.sub(rows, lambda _: HEAD + "".join(table_rows()), page, count=1)


def with_fields(path: Path, places: list[tuple[str, ...]]) -> str:
    """A schema with the fields as they are now; what else stands beside them is kept.

    Of an entry that takes fields away any may be null.
    """
    document = json.loads(path.read_text(encoding="utf-8"))
    for place in places:
        of = document
        for part in place:
            of = of[part]
        others = {name: of["properties"][name] for name in BESIDE if name in of["properties"]}
        of["properties"] = others | {
            name: schema_of(field, may_be_null=place[-1] == "body")
            for name, field in FIELDS.items()
        }
    return json.dumps(document, indent=2, ensure_ascii=False) + "\n"


def schema_of(field: LogField, *, may_be_null: bool) -> dict[str, Any]:
    """What a schema says of one field."""
    said = {"description": field.says, **TYPES[field.form.sort]}
    return said | ({"type": [said["type"], "null"]} if may_be_null else {})


def table_rows() -> Iterator[str]:
    """The page's table."""
    for name, field in FIELDS.items():
        allowed = field.form.allowed.replace("|", "\\|")
        yield f"| `{name}` | {field.says} | {allowed} |\n"


if __name__ == "__main__":
    main()
