"""Commands wait for their own libraries alone."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
import typer
import typer.main
from typer.testing import CliRunner

from bitewright.cli.main import app
from bitewright.cli.on_demand import COMMANDS, CommandsOnDemand
from builders.commands_page import Command, commands

LOADED = """
import json, sys
from typer.testing import CliRunner
from bitewright.cli.main import app
answer = CliRunner().invoke(app, sys.argv[1:])
assert answer.exit_code == 0, answer.output
print(json.dumps(sorted(sys.modules)))
"""


SLOW = {"PIL", "alembic", "jsonschema", "numba", "numpy", "pydicom", "scipy", "skimage"}
FILMS = {"bitewright.film", "bitewright.solids", "bitewright.physics"}


def loaded_by(*arguments: str) -> set[str]:
    """Modules in a process of its own, after a command has run."""
    answer = subprocess.run(
        [sys.executable, "-c", LOADED, *arguments], check=True, capture_output=True, text=True
    )
    return set(json.loads(answer.stdout.splitlines()[-1]))


@pytest.mark.parametrize("asked", ["--version", "--help"])
def test_version_and_help_are_said_without_any_command(asked: str) -> None:
    modules = loaded_by(asked)
    assert not {f"bitewright.cli.{module}" for module, _ in COMMANDS.values()} & modules
    assert not (SLOW | {"sqlalchemy"}) & modules


HELPED = """
import json, sys
from typer.testing import CliRunner
from bitewright.cli.main import app
from bitewright.cli.on_demand import COMMANDS
for name in COMMANDS:
    assert CliRunner().invoke(app, [name, "--help"]).exit_code == 0
print(json.dumps(sorted(sys.modules)))
"""


def test_no_commands_help_waits_for_a_slow_library() -> None:
    answer = subprocess.run(
        [sys.executable, "-c", HELPED], check=True, capture_output=True, text=True
    )
    modules = set(json.loads(answer.stdout))
    assert not (SLOW | FILMS | {"sqlalchemy"}) & modules


def test_recording_an_exposure_waits_for_the_store_alone(tmp_path: Path) -> None:
    store = f"--store={tmp_path / 'log.sqlite'}"
    given = (
        "log",
        "add",
        "--operator=S1",
        "--view=right-molar",
        "--decided-by=T1",
        "--decision=accepted",
        store,
    )
    first, second = loaded_by(*given), loaded_by(*given)
    assert not (SLOW - {"alembic"} | FILMS) & first
    assert not (SLOW | FILMS) & second
    rates = loaded_by("audit", "rates", store)
    assert not (SLOW - {"numpy"} | FILMS) & rates


def test_help_says_of_each_command_what_it_says_of_itself() -> None:
    group = typer.main.get_group(app)
    for name, (_, line) in COMMANDS.items():
        found = group.get_command(typer.Context(group), name)
        assert found is not None
        assert found.get_short_help_str(limit=200) == line


ONE_THREAD = """
import os, sys
from bitewright.cli.main import run
assert "numpy" not in sys.modules, "too late to say it"
try:
    run()
finally:
    print(os.environ["OPENBLAS_NUM_THREADS"])
"""


@pytest.mark.parametrize("given", [None, "3"])
def test_the_linear_algebra_library_gets_one_thread_unless_told(given: str | None) -> None:
    own = {name: value for name, value in os.environ.items() if name != "OPENBLAS_NUM_THREADS"}
    own |= {} if given is None else {"OPENBLAS_NUM_THREADS": given}
    answer = subprocess.run(
        [sys.executable, "-c", ONE_THREAD, "--version"],
        env=own,
        check=True,
        capture_output=True,
        text=True,
    )
    assert answer.stdout.splitlines()[-1] == (given or "1")


def test_a_command_loads_no_other() -> None:
    modules = loaded_by("cache")
    assert "bitewright.cli.cache" in modules
    assert not {"bitewright.cli.predict", "bitewright.cli.audit", "sqlalchemy"} & modules


def test_every_command_is_found_under_its_name() -> None:
    group = typer.main.get_group(app)
    assert isinstance(group, CommandsOnDemand)
    context = typer.Context(group)
    assert group.list_commands(context) == list(COMMANDS)
    for name in COMMANDS:
        found = group.get_command(context, name)
        assert found is not None
        assert found.name == name


@pytest.mark.parametrize("name", COMMANDS)
def test_help_of_every_command_begins_with_its_use(name: str) -> None:
    answer = CliRunner().invoke(app, [name, "--help"])
    assert answer.exit_code == 0, answer.output
    assert f"bitewright {name}" in " ".join(answer.output.split())


def test_asking_for_a_command_again_builds_nothing_again() -> None:
    first, second = (typer.main.get_group(app).get_command(None, "log") for _ in range(2))
    assert first is second


@pytest.mark.parametrize("command", commands(), ids=lambda each: each.words)
def test_help_prints_every_word_of_an_option_its_unit_too(
    command: Command, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("typer.rich_utils.MAX_WIDTH", 1000)
    answer = CliRunner().invoke(app, [*command.words.split()[1:], "--help"])
    printed = " ".join(answer.output.split())
    for parameter in command.entry.params:
        said = getattr(parameter, "help", None)
        if said and not getattr(parameter, "hidden", False):
            assert " ".join(said.replace("`", "").split()) in printed
