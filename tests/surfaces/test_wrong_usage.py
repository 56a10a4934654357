"""Words that a command cannot take are told in one sentence, and its help in plain words."""

import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from typer.testing import CliRunner

from bitewright.cli.main import app
from bitewright.cli.on_demand import COMMANDS
from tests.surfaces.test_command_line import refusal

WRONG = {
    "no command": (["asess"], "`bitewright --help` lists them. Did you mean 'assess'?"),
    "no command of a group": (["log", "ad"], "`bitewright log` has no command 'ad'"),
    "no option": (["plan", "--vew", "x"], "no option --vew: `bitewright plan --help` lists them. "),
    "nothing near": (["log", "list", "--since", "x"], "has no option --since"),
    "too much": (["cache", "x"], "`bitewright cache` has no use for 'x': leave it out"),
    "a missing option": (["plan"], "needs --view (View: right or left, premolar or molar"),
    "a missing argument": (["assess"], "needs IMAGE (Film: PNG, TIFF, JPEG or DICOM"),
    "a missing word": (["list"], "needs WHAT (What to list): give one of views, criteria, "),
    "nothing behind an option": (["plan", "--view"], "--view is not given as it should be"),
    "no number": (["predict", "--view", "x", "--height", "a"], "--height is 'a', which is not al"),
    "no whole number": (["teach", "set", "--out", "x", "--count", "3.5"], "give a whole number."),
    "below": (["predict", "--view", "x", "--seed", "-1"], "give a whole number from 0 on."),
    "beyond": (["serve", "--port", "99999"], "give a whole number from 0 to 65535."),
    "no pixel": (["predict", "--view", "x", "--film-pixel", "0"], "give a number from 0.01 to 1.0"),
    "not a number": (["predict", "--view", "x", "--film-pixel", "nan"], "from 0.01 to 1.0."),
    "one of many": (["plan-visit", "--tooth", "16", "--tooth", "a"], "--tooth is 'a', which is "),
    "no such word": (
        ["plan", "--view", "x", "--question", "enamel"],
        "bone-level, caries-and-bone, restoration, surface. Did you mean 'enamel-caries'?",
    ),
}


@pytest.mark.parametrize("name", WRONG)
def test_what_a_command_cannot_take_is_one_sentence(name: str) -> None:
    given, told = WRONG[name]
    answer = CliRunner().invoke(app, given)
    assert answer.exit_code == 2
    assert answer.stdout == ""
    assert answer.stderr.startswith("bitewright: ")
    assert answer.stderr.count("\n") == 1
    assert told in answer.stderr
    assert ". Did you mean '--view'" not in answer.stderr or name == "no option"


def test_a_command_without_a_word_shows_its_help() -> None:
    answer = CliRunner().invoke(app, ["store"])
    assert answer.exit_code == 2
    assert "Usage:" in answer.output
    assert "bitewright: " not in answer.output


@pytest.mark.parametrize("name", COMMANDS)
def test_help_tells_what_options_take_in_plain_words(name: str) -> None:
    """At 80 columns, where words to choose from were once broken in the middle."""
    told = CliRunner().invoke(app, [name, "--help"], env={"COLUMNS": "80"}).output
    for word in ("<bool>", "<str>", "list[", "<path>", "<float>", "<int"):
        assert word not in told
    if "--question" in told:
        for word in ("enamel-caries,", "dentine-caries,", "bone-level,", "caries-and-bone,"):
            assert word in told
    assert max(len(line) for line in told.splitlines()) <= 80


def test_marks_with_no_place_leave_no_film_behind(tmp_path: Path) -> None:
    film, marks = tmp_path / "film.png", tmp_path / "marks.json"
    marks.mkdir()
    asked = ("predict", "--view", "right-molar", "--film", str(film), "--marks")
    assert "it is a folder" in refusal(*asked, str(marks))
    assert "its folder is not there" in refusal(*asked, str(tmp_path / "nowhere" / "marks.json"))
    assert not film.exists()


def test_a_file_where_a_folder_is_needed_is_said_so(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    for out in (tmp_path / "file", tmp_path / "file" / "within"):
        assert "a file stands where a folder is needed" in refusal("demo", "--out", str(out))


def test_an_empty_mouth_file_and_an_empty_table_say_what_they_lack(tmp_path: Path) -> None:
    for name in ("mouth.toml", "log.csv"):
        (tmp_path / name).write_text("", encoding="utf-8")
    told = refusal("mouth", "--mouth", str(tmp_path / "mouth.toml"))
    assert 'format is missing; begin it with format = "bitewright.mouth/1"' in told
    told = refusal("audit", "--exposures", str(tmp_path / "log.csv"))
    assert "There is no column 'day', the table has no headings: correct" in told


HEEDING = """
import signal
signal.signal(signal.SIGINT, signal.default_int_handler)
from bitewright.cli.main import run
run()
"""
"""The command line, heeding Ctrl-C also where the tests run behind a shell that does not."""


SWALLOWED = """
import ctypes, signal, time
signal.signal(signal.SIGINT, signal.default_int_handler)
from bitewright.cli.interrupts import heed_interrupts
heed_interrupts()
ctypes.CFUNCTYPE(None)(lambda: signal.raise_signal(signal.SIGINT))()
time.sleep(30)
"""
"""A Ctrl-C within a callback, where Python tells of it and goes on."""


def test_ctrl_c_is_heeded_also_where_a_callback_swallows_it() -> None:
    told = subprocess.run(
        [sys.executable, "-c", SWALLOWED], capture_output=True, check=False, timeout=25
    )
    assert b"KeyboardInterrupt" in told.stderr
    assert b"Exception ignored" not in told.stderr


def test_ctrl_c_ends_a_command_at_once_and_without_a_traceback(tmp_path: Path) -> None:
    command = [sys.executable, "-c", HEEDING, "demo", "--out", str(tmp_path / "demo")]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as process:
        while not (tmp_path / "demo").exists() and process.poll() is None:
            time.sleep(0.05)
        process.send_signal(signal.SIGINT)
        out, errors = process.communicate()
    assert process.returncode == 130
    assert b"Traceback" not in out + errors
