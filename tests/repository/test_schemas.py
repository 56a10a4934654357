"""The JSON schemas shipped in the package are schemas."""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

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


@pytest.mark.parametrize("path", SCHEMAS, ids=named)
def test_every_rule_has_the_sentence_its_refusal_needs(path: Path) -> None:
    silent = [
        place for place, rule in rules(json.loads(path.read_text("utf-8"))) if is_silent(rule)
    ]
    assert not silent, f"rules of {named(path)} without a description: {silent}"


def test_a_rule_below_another_is_found() -> None:
    schema = {"description": "x", "items": {"anyOf": [{"type": "null"}]}}
    assert [place for place, rule in rules(schema) if is_silent(rule)] == [
        "the top / items",
        "the top / items / anyOf / 0",
    ]


NAMED_RULES = {"properties", "$defs", "patternProperties", "dependentSchemas"}
ONE_RULE = {"items", "additionalProperties", "propertyNames", "not", "contains", "if", "then"} | {
    "else",
    "unevaluatedProperties",
    "unevaluatedItems",
}
LISTED_RULES = {"anyOf", "oneOf", "allOf", "prefixItems"}


def rules(schema: object, place: str = "the top") -> Iterator[tuple[str, dict[str, Any]]]:
    """Every rule of a schema with its place; of another that is referred to, the reference."""
    if not isinstance(schema, dict):
        return
    yield place, schema
    for name, part in schema.items():
        if name in ONE_RULE:
            yield from rules(part, f"{place} / {name}")
        elif name in NAMED_RULES:
            for inner, rule in part.items():
                yield from rules(rule, f"{place} / {name} / {inner}")
        elif name in LISTED_RULES:
            for index, rule in enumerate(part):
                yield from rules(rule, f"{place} / {name} / {index}")


def is_silent(rule: dict[str, Any]) -> bool:
    """Whether a rule could not say what it allows; one that refers to another says what it says."""
    return not rule.get("description", "").strip() and "$ref" not in rule
