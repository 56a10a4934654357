"""The command line with options, words and files nobody would give, run in this process."""

import os
from enum import EnumType
from pathlib import Path
from random import Random
from typing import Any

import typer.main
from typer.testing import CliRunner

from benchmarks.fuzzing.formats import FuzzFaultError, Trial, sentence_faults
from benchmarks.fuzzing.mutations import (
    document_text,
    mutated_bytes,
    mutated_document,
    mutated_text,
    odd_text,
    odd_value,
)
from benchmarks.fuzzing.sound import Sound
from bitewright.cli.main import app
from bitewright.cli.on_demand import COMMANDS
from bitewright.errors import BitewrightError

LEFT_OUT = {("serve",), ("demo",), ("sheet",)}
"""These run on, or make films for minutes; what they take is taken by others too."""

SELDOM = {("plan",): 0.03, ("assess",): 0.2, ("audit", "school"): 0.1, ("audit", "report"): 0.05}
"""What takes seconds is tried less often."""

SLOW_OPTIONS = {"film", "overlay", "drawing", "save_belief"}
WORDS = (
    *("right-premolar", "left-molar", "right-molar-vertical", "sensor-2", "plate-2", "film-2"),
    *("ring-holder", "tab", "rectangular-300", "standard", "drawn-7", "restored", "uk-2020"),
    *("S1", "1", "2", "room=R1", "view=right-molar", "2026-01-31", "accepted", "rejected"),
    *("overlap:0.4", "14 15", "retake", "month", "reject", "operator", "views", "receptors"),
)
FILE_WORDS = ("film.png", "marks.json", "belief.json", "scatter.json", "mouth.toml", "plan.toml")
MORE_FILES = ("equipment.toml", "scheme.toml", "mapping.toml", "table.csv", "ratings.csv")
BESIDE = (".lock", ".sqlite-wal", ".sqlite-shm")
"""Locks stay for the next and are empty; the other two are SQLite's own beside a damaged store."""

PLACES = ("missing.json", ".", "/dev/null", "no/such/folder/x.png", "", "log.sqlite", "sound.zip")


def command_trial(sound: Sound) -> Trial:
    """A trial of one command line; its files lie in the trial's folder."""
    leaves = dict(_leaves())
    runner = CliRunner()

    def trial(random: Random, folder: Path) -> str:
        path = random.choice(list(leaves))
        while random.random() > SELDOM.get(path, 1.0):
            path = random.choice(list(leaves))
        here = Path.cwd()
        os.chdir(folder)
        try:
            _lay_out(random, sound, folder)
            arguments = [*path, *_arguments(random, leaves[path])]
            before = _files(folder)
            answer = runner.invoke(app, arguments)
            return _judged(answer, arguments, before, folder)
        finally:
            os.chdir(here)

    return trial


def _judged(answer: Any, arguments: list[str], before: set[str], folder: Path) -> str:  # noqa: ANN401  click's
    error = answer.exception
    if error is None or isinstance(error, SystemExit):
        return "taken" if answer.exit_code == 0 else "refused"
    if not isinstance(error, BitewrightError):
        raise FuzzFaultError(f"{arguments!r:.600}") from error
    fault = sentence_faults(error)
    left = {each for each in _files(folder) - before if not each.startswith("data")}
    left = {each for each in left if not each.endswith(BESIDE)}
    if fault or left:
        raise FuzzFaultError(
            f"{fault or f'left behind {sorted(left)}'} by {arguments!r:.600}"
        ) from error
    return "refused"


def _files(folder: Path) -> set[str]:
    return {str(each.relative_to(folder)) for each in folder.rglob("*") if each.is_file()}


def _leaves() -> Any:  # noqa: ANN401  click's commands
    """Every command that runs by itself, with the words that call it."""
    group = typer.main.get_command(app)
    for name in COMMANDS:
        yield from _below((name,), group.commands[name])  # type: ignore[attr-defined]


def _below(path: tuple[str, ...], command: Any) -> Any:  # noqa: ANN401  as above
    if path in LEFT_OUT:
        return
    inner = getattr(command, "commands", {})
    if not inner or getattr(command, "invoke_without_command", False):
        yield path, command
    for name, each in inner.items():
        yield from _below((*path, name), each)


def _arguments(random: Random, command: Any) -> list[str]:  # noqa: ANN401  click's
    made: list[str] = []
    for parameter in command.params:
        is_option = parameter.param_type_name == "option"
        if is_option and parameter.name in SLOW_OPTIONS and random.random() < 0.97:
            continue
        if is_option and not parameter.required and random.random() < 0.75:
            continue
        if is_option:
            made.append(random.choice(parameter.opts))
            if getattr(parameter, "is_flag", False):
                continue
        made.append(_value(random, parameter))
    if command.name == "assess" and random.random() < 0.95:
        made.append("--no-explain")
    if command.name == "set":
        made += ["--count", random.choice(("1", "0", "-1"))]  # a dozen exercises take a minute
    return made


def _value(random: Random, parameter: Any) -> str:  # noqa: ANN401  click's
    fitting = _fitting(random, parameter)
    if fitting and random.random() < 0.8:
        return fitting
    if random.random() < 0.4:
        return random.choice((*WORDS, *FILE_WORDS, *MORE_FILES, *PLACES))
    if random.random() < 0.5:
        return odd_text(random)
    try:
        return str(odd_value(random))
    except ValueError:
        return "9" * 5000


def _fitting(random: Random, parameter: Any) -> str | None:  # noqa: ANN401  click's
    """A value of the right kind, which need not be one that there is."""
    kind = parameter.type_descriptor.annotation
    if isinstance(kind, EnumType):
        return str(random.choice([each.value for each in kind]))
    if kind in {int, float}:
        return str(random.choice((0, 1, 2, -3, 12, 70, 100)))
    if parameter.name in FITTING:
        return random.choice(FITTING[parameter.name])
    if kind is Path:
        return random.choice((*FILE_WORDS, *MORE_FILES, *PLACES))
    return None


FITTING = {
    "image": ("film.png",),
    "marks": ("marks.json",),
    "belief": ("belief.json",),
    "scatter": ("scatter.json",),
    "equipment": ("equipment.toml",),
    "mouth": ("mouth.toml", "standard", "restored", "drawn-7"),
    "view": ("right-premolar", "left-molar", "right-molar-vertical"),
    "receptor": ("sensor-2", "plate-2", "film-2"),
    "holder": ("ring-holder", "tab"),
    "tube": ("rectangular-300",),
    "scheme": ("uk-2020", "uk-2001", "scheme.toml"),
    "store": ("log.sqlite", "sound.sqlite"),
    "operator": ("S1", "S2"),
    "by": ("S1", "room", "operator"),
    "exposure": ("1", "2", "3"),
    "exposures": ("school.csv",),
    "table": ("table.csv",),
    "mapping": ("mapping.toml",),
    "plan": ("plan.toml",),
    "grades": ("ratings.csv",),
    "assessment": ("assessment.json",),
    "change": ("room=R1", "view=right-molar"),
    "why": ("typo",),
    "since": ("2025-01-01",),
    "until": ("2025-06-30",),
}


def _lay_out(random: Random, sound: Sound, folder: Path) -> None:
    """The files that commands are given: sound ones, and one that is not."""
    films = list(sound.films.values())
    contents = {
        "film.png": sound.films["png8"],
        "sound.zip": sound.files[".zip"],
        "sound.sqlite": sound.files[".sqlite"],
        **{
            f"{name}.json": document_text(random, sound.documents[name])
            for name in ("marks", "belief", "scatter", "assessment")
        },
        **{
            f"{name}.toml": sound.texts[name].encode()
            for name in ("mouth", "plan", "equipment", "scheme", "mapping")
        },
        **{f"{name}.csv": sound.texts[name].encode() for name in ("table", "ratings", "school")},
    }
    spoilt = random.choice(list(contents))
    name = spoilt.partition(".")[0]
    if random.random() < 0.5:
        if spoilt.endswith(".json"):
            contents[spoilt] = document_text(
                random, mutated_document(random, sound.documents[name])
            )
        elif spoilt == "film.png":
            contents[spoilt] = mutated_bytes(random, random.choice(films))
        elif spoilt.startswith("sound"):
            contents[spoilt] = mutated_bytes(random, contents[spoilt])
        else:
            contents[spoilt] = mutated_text(random, sound.texts[name])
    for each, content in contents.items():
        (folder / each).write_bytes(content)


__all__ = ["command_trial"]
