"""TOML files, and equipment read from one."""

import re
import tomllib
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from bitewright.equipment import catalogue_to_mapping, packaged_catalogue
from bitewright.equipment.catalogue import SECTIONS
from bitewright.files.disk import FileUnreadableError, FileUnwritableError
from bitewright.files.json_documents import schema
from bitewright.files.toml_files import TomlFileError, read_toml, write_toml

EQUIPMENT = catalogue_to_mapping(packaged_catalogue())


def test_equipment_comes_back_equal(tmp_path: Path) -> None:
    write_toml(tmp_path / "a.toml", EQUIPMENT, comment="Ours.\nMeasured here.")
    assert read_toml(tmp_path / "a.toml") == EQUIPMENT
    text = (tmp_path / "a.toml").read_text(encoding="utf-8")
    assert text.startswith("# Ours.\n# Measured here.\nformat =")
    assert [path.name for path in tmp_path.iterdir()] == ["a.toml"]


def test_a_byte_order_mark_does_no_harm(tmp_path: Path) -> None:
    (tmp_path / "a.toml").write_text("a = 1", encoding="utf-8-sig")
    assert read_toml(tmp_path / "a.toml") == {"a": 1}


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        (b"a = \nb = 1\n", "line 1"),
        (b"a = 1\na = 2\nb = 3\n", "line 2"),
        (b"\xff = 1", "not UTF-8"),
        (b"a = " + b"9" * 5000, "too many digits"),
        (b"a = " + b"[" * 200_000, "nested too deeply"),
        (b"a = " + b"[" * 60 + b"1" + b"]" * 60, "nested more than"),
        (b"[a]\nb = " + b"9" * 400, "at a / b a whole number has too many digits"),
        (b'a = "x\\u0000y"', "control character"),
        (b'"\\u001b" = 1', "control character"),
        (b"a = inf", "no number"),
        (b"a" + b".a" * 300 + b" = 1", "more than 200 dots"),
    ],
)
def test_what_is_not_toml_is_refused(tmp_path: Path, text: bytes, reason: str) -> None:
    (tmp_path / "a.toml").write_bytes(text)
    with pytest.raises(TomlFileError, match=re.escape(reason)):
        read_toml(tmp_path / "a.toml")
    with pytest.raises(FileUnreadableError):
        read_toml(tmp_path / "none.toml")


@pytest.mark.parametrize("value", [None, object(), {1: 2}, "\ud800"])
def test_what_has_no_form_in_toml_is_not_written(tmp_path: Path, value: Any) -> None:
    with pytest.raises(TomlFileError, match="no form"):
        write_toml(tmp_path / "a.toml", {"a": value})
    with pytest.raises(FileUnwritableError):
        write_toml(tmp_path / "none" / "a.toml", {"a": 1})
    assert not list(tmp_path.iterdir())


def test_the_example_in_the_docs_is_valid(repository: Path) -> None:
    page = (repository / "docs" / "equipment-format.md").read_text(encoding="utf-8")
    example = re.search(r"```toml\n(.*?)```", page, re.DOTALL)
    assert example
    catalogue = packaged_catalogue().with_entries(tomllib.loads(example[1]))
    assert {"our-sensor"} < set(catalogue.receptors)
    named = [name for kind in SECTIONS for name in getattr(packaged_catalogue(), kind)]
    assert [name for name in named if not is_named(name, page)] == []


def is_named(name: str, page: str) -> bool:
    """By itself, or within a span of sizes such as `film-0` to `film-3`."""
    return f"`{name}`" in page or f"`{name[:-1]}0` to `{name[:-1]}" in page


def test_the_equipment_schema_says_what_the_catalogue_checks() -> None:
    """Ranges live on the fields of the dataclasses; the schema for editors must not drift."""
    validator = Draft202012Validator(schema("equipment-1.json"))
    validator.validate(EQUIPMENT)
    for section, kind in SECTIONS.items():
        described = schema("equipment-1.json")["$defs"][section]
        fields = kind.__dataclass_fields__
        assert list(described["properties"]) == list(fields)
        for name, field in fields.items():
            rule = described["properties"][name]
            given = (rule.get("minimum"), rule.get("maximum"))
            assert given == field.metadata.get("range", (None, None)), f"{section} {name}"
            assert rule["description"]
        for name in described["required"]:
            entry = {k: v for k, v in EQUIPMENT[section][0].items() if k != name}  # type: ignore[index]
            assert not validator.is_valid(EQUIPMENT | {section: [entry]})
