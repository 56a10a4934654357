"""The page on the log says what the log takes, and its example can be followed."""

import re
from pathlib import Path

import pytest
from typer.testing import CliRunner

from bitewright.cli.main import app
from bitewright.log.entry_row import ABOUT_ENTRY
from bitewright.log.faults import fault_kinds
from bitewright.log.fields import FIELDS
from builders.log_fields import written
from tests.repository.sources import TOP

PAGE = (TOP / "docs" / "log-format.md").read_text(encoding="utf-8")


@pytest.mark.parametrize(("path", "text"), [*written()], ids=lambda part: getattr(part, "name", ""))
def test_every_field_is_told_on_the_page_and_in_the_schemas(path: Path, text: str) -> None:
    assert path.read_text(encoding="utf-8") == text, "run `python -m builders.log_fields`"
    assert all(name in text for name in FIELDS)


def test_the_page_on_audits_tells_every_column() -> None:
    page = (TOP / "docs" / "audit-methods.md").read_text(encoding="utf-8")
    untold = [name for name, field in FIELDS.items() if field.column and f"`{name}`" not in page]
    assert not untold


@pytest.mark.parametrize("name", fault_kinds())
def test_every_fault_is_told(name: str) -> None:
    kind = fault_kinds()[name]
    start = f"| `{name}` | {kind.title} | {kind.says} | {kind.unit or 'none'} |"
    assert any(
        line.startswith(start) and line.endswith(f" {kind.reject_code} |")
        for line in PAGE.splitlines()
    )


@pytest.mark.parametrize("name", ABOUT_ENTRY)
def test_every_column_of_an_export_is_told(name: str) -> None:
    assert f"`{name}`" in PAGE


def test_the_example_can_be_followed(own_folders: Path) -> None:
    for kind in ("csv", "toml"):
        (block,) = re.findall(rf"^```{kind}\n(.*?)^```", PAGE, re.MULTILINE | re.DOTALL)
        (own_folders / f"clinic.{kind}").write_text(block, encoding="utf-8")
    files = [str(own_folders / f"clinic.{kind}") for kind in ("csv", "toml")]
    answer = CliRunner().invoke(app, ["log", "import", files[0], "--mapping", files[1]])
    assert answer.output.startswith("3 exposures added, 0 already there, 0 bad rows left out")
