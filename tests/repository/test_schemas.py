"""The JSON schemas shipped in the package are schemas."""

import json
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from tests.repository.sources import PACKAGE, named, project_files

SCHEMAS = [
    path for path in project_files() if path.is_relative_to(PACKAGE) and path.suffix == ".json"
]


def test_there_are_schemas() -> None:
    assert SCHEMAS, "every file format has its schema in the package; none was found"


@pytest.mark.parametrize("path", SCHEMAS, ids=named)
def test_schema_is_valid_and_says_what_it_describes(path: Path) -> None:
    schema = json.loads(path.read_text(encoding="utf-8"))
    Draft202012Validator.check_schema(schema)
    assert schema["$schema"] == Draft202012Validator.META_SCHEMA["$id"]
    assert schema.get("title"), f"{named(path)} has no title"
    assert "format" in schema.get("properties", {}), f"{named(path)} does not name its format"
