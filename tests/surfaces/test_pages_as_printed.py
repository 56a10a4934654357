"""Every command printed in a page of the docs runs, in order, as printed.

A page's lines run one after another in a folder of their own, in which lies what the page takes for
granted. `bitewright` is our command in this process. The few lines that are not run are checked in
another way, for the reason given.
"""

import json
import re
import shlex
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
import typer.main
from typer.testing import CliRunner

from bitewright.cli.main import app
from bitewright.files.exercise_files import read_set_page
from bitewright.files.film_cache import keep_film_mouth, read_film_mouth
from bitewright.film.film_parts import FilmMouth
from bitewright.tasks.film import make_sheet
from builders.commands_page import commands
from tests.made_once_a_run import FILM_CACHE

TOP = Path(__file__).resolve().parents[2]
BLOCK = re.compile(r"^ *```(?P<kind>\w*)\n(?P<text>.*?)^ *```$", re.MULTILINE | re.DOTALL)
SPAN = re.compile(r"`(bitewright(?: [^`]+)?)`")
PAGES = [TOP / "README.md", TOP / "CONTRIBUTING.md", *sorted((TOP / "docs").rglob("*.md"))]
QUICK = ["README.md", "CONTRIBUTING.md"]
"""Pages whose lines are quickly checked; the others' take a minute or more."""
WITH_DATA = ["docs/open-bitewing.md"]


def named(page: Path) -> str:
    return page.relative_to(TOP).as_posix()


def lines_of(page: Path) -> list[str]:
    """The lines of a page that are to be typed."""
    blocks = BLOCK.finditer(page.read_text(encoding="utf-8"))
    text = "\n".join(each["text"] for each in blocks if each["kind"] == "console")
    return [line.strip().removeprefix("$ ") for line in text.splitlines() if "$ " in line]


def block_of(page: str, beginning: str) -> str:
    """The block of a page that begins so: a file it tells the reader to have."""
    texts = [each["text"] for each in BLOCK.finditer((TOP / page).read_text(encoding="utf-8"))]
    plain = [re.sub(r"^  ", "", text, flags=re.MULTILINE) for text in texts]
    (found,) = {text for text in (*texts, *plain) if text.startswith(beginning)}
    return found


PRINTED = {named(page): lines for page in PAGES if (lines := lines_of(page))}
SLOW = [name for name in PRINTED if name not in {*QUICK, *WITH_DATA}]


@pytest.fixture
def here(own_folders: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty folder to type in."""
    folder = own_folders / "project"
    folder.mkdir()
    monkeypatch.chdir(folder)
    return folder


@pytest.mark.parametrize("page", QUICK)
def test_lines_run_as_printed(page: str, here: Path) -> None:
    for line in PRINTED[page]:
        run(line, here)


@pytest.mark.slow
@pytest.mark.parametrize("page", SLOW)
def test_longer_lines_run_as_printed(
    page: str, here: Path, demonstration: tuple[Path, str]
) -> None:
    if page in PREPARED:
        PREPARED[page](here, demonstration[0])
    for line in PRINTED[page]:
        run(line, here)


@pytest.mark.realdata
@pytest.mark.parametrize("page", WITH_DATA)
def test_lines_on_the_real_film_run_as_printed(page: str, here: Path, shared_data: Path) -> None:
    (here.parent / "shared").symlink_to(shared_data)
    (here / "tests").symlink_to(TOP / "tests")
    for line in PRINTED[page]:
        run(line, here)


def run(line: str, here: Path) -> None:
    """Type one line."""
    for beginning, checked in CHECKED_OTHERWISE.items():
        if line.startswith(beginning):
            checked(line)
            return
    program, *words = shlex.split(line, comments=True)
    assert program == "bitewright", f"nothing here stands for {program!r} in: {line}"
    answer = CliRunner().invoke(app, words)
    assert answer.exit_code == 0, f"{line}\n{answer.output}{answer.exception!r}"
    for option in ("--film", "--out", "--overlay", "--write", "--scatter", "--save-belief"):
        if option in words:
            assert (here / words[words.index(option) + 1]).exists(), f"{line} wrote nothing"


def is_a_target(line: str) -> None:
    """Steps of `make` set up, test or time everything: here they only have to be there."""
    rules = (TOP / "Makefile").read_text(encoding="utf-8")
    targets = [word for word in shlex.split(line, comments=True)[1:] if "=" not in word]
    assert all(re.search(rf"^{target}:.*## ", rules, re.MULTILINE) for target in targets), line


def served(line: str) -> None:
    """A server does not end by itself: start it at a free port, without a browser, and stop it."""
    words = shlex.split(line)[1:]
    known = {"serve", "--port", "9000", "--no-browser", "--listen", "0.0.0.0"}  # noqa: S104
    assert set(words) <= known, line
    with serving(beyond_this_computer="--listen" in words):
        pass


def another_link(line: str) -> None:
    """A link is of a server that runs."""
    with serving():
        answer = CliRunner().invoke(app, shlex.split(line)[1:])
    assert answer.exit_code == 0, answer.output + repr(answer.exception)
    assert answer.output.startswith("http://127.0.0.1:"), line


@contextmanager
def serving(*, beyond_this_computer: bool = False) -> Iterator[None]:
    """While a server of this computer runs; over TLS if others may reach it."""
    asked = [sys.executable, "-m", "bitewright", "serve", "--port", "0", "--no-browser"]
    asked += ["--listen", "127.0.0.1"] if beyond_this_computer else []
    begins = "https://" if beyond_this_computer else "http://127.0.0.1:"
    with subprocess.Popen(asked, stdout=subprocess.PIPE, text=True) as server:
        try:
            assert server.stdout is not None
            assert any(begins in said for said in server.stdout)
            yield
        finally:
            server.terminate()
            server.communicate(timeout=60)


def demonstrated(line: str) -> None:
    """The fixture `demonstration` has run this very line, into a folder for all tests."""
    _, *words = shlex.split(line)
    assert words[:-1] == ["demo", "--out"], line


def a_small_sheet(line: str) -> None:
    """Dozens of mouths are built for the whole sheet, several minutes: one of each kind here."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(make_sheet, "MOUTHS", 1)
        for several in ("KINDS", "CARIES_DEPTHS", "FILLING_SURFACES"):
            patch.setattr(make_sheet, several, getattr(make_sheet, several)[:1])
        _, *words = shlex.split(line)
        typed(shlex.join(words))
    assert Path(words[words.index("--out") + 1]).exists()


def would_be_taken(line: str) -> None:
    """Runs of many minutes, and what writes into the project: only the options are looked up."""
    _, _, module, *words = shlex.split(line)
    asked = [sys.executable, "-m", module, "--help"]
    told = subprocess.run(asked, cwd=TOP, check=True, capture_output=True, text=True).stdout
    unknown = [word for word in words if word.startswith("--") and f"{word} " not in told]
    assert not unknown, f"{module} does not take {unknown}"


def an_import_taken_back(line: str) -> None:
    """The page names an import of its own: one of a copy of the log is taken back instead."""
    _, *words, _ = shlex.split(line)
    copy = ["--store", "copied.sqlite"]
    typed(f"store import entries.jsonl {' '.join(copy)}")
    told = CliRunner().invoke(app, ["log", "imports", "--json", *copy])
    newest = json.loads(told.output)["imports"][0]["import"]
    answer = CliRunner().invoke(app, [*words, newest, *copy])
    assert answer.exit_code == 0, f"{line}\n{answer.output}{answer.exception!r}"


def a_cache_cleared(line: str) -> None:
    """Not the cache that other tests of the run build in: one of its own, in which something is."""
    with TemporaryDirectory() as own, pytest.MonkeyPatch.context() as patch:
        patch.setenv(FILM_CACHE, own)
        keep_film_mouth("key", FilmMouth(parts=(), hinge_mm=(1.0, 2.0)))
        _, *words = shlex.split(line)
        typed(shlex.join(words))
        assert read_film_mouth("key") is None


def answered(line: str) -> None:
    """A student saves the answers on the set's page: here every first choice is taken."""
    _, *words = shlex.split(line)
    given = read_set_page(Path(words[2]))
    answers = {
        "format": "bitewright.exercise-answers/1",
        "set": given["set"],
        "student": "S12",
        "answers": [{"id": item["id"], "chosen": 0} for item in given["items"]],
    }
    Path(words[3]).write_text(json.dumps(answers), encoding="utf-8")
    typed(shlex.join(words))


CHECKED_OTHERWISE: dict[str, Callable[[str], None]] = {
    "bitewright cache --clear": a_cache_cleared,
    "bitewright demo": demonstrated,
    "bitewright log undo-import": an_import_taken_back,
    "bitewright teach mark": answered,
    "make ": is_a_target,
    "bitewright serve": served,
    "bitewright link": another_link,
    "bitewright sheet": a_small_sheet,
    ".venv/bin/python -m ": would_be_taken,
}


def a_marked_film(here: Path, demonstration: Path) -> None:
    """The demonstration's film and marks under the names that pages give them."""
    shutil.copy(demonstration / "exposed.png", here / "film.png")
    shutil.copy(demonstration / "exposed.marks.json", here / "film.marks.json")


def a_folder_of_films(here: Path, demonstration: Path) -> None:
    """The demonstration's film in a folder, as the page names it."""
    (here / "films").mkdir()
    shutil.copy(demonstration / "exposed.png", here / "films" / "film.png")


def films_of_one_visit(here: Path, demonstration: Path) -> None:
    """Two marked films of one side, and a description of the manikin."""
    a_marked_film(here, demonstration)
    typed(
        "predict --view right-molar --receptor sensor-2 --planned --film second.png "
        "--marks second.marks.json"
    )
    typed("mouth --write manikin.toml")


def what_the_tutorial_shows(here: Path, demonstration: Path) -> None:
    """A marked film, and the mouth that the page describes."""
    a_marked_film(here, demonstration)
    loss = block_of("docs/tutorial.md", 'format = "bitewright.mouth/1"')
    (here / "loss.toml").write_text(loss, encoding="utf-8")


def two_cycles(here: Path, _: Path) -> None:
    """The audit that the page describes."""
    plan = block_of("docs/audit-methods.md", 'format = "bitewright.audit-plan/1"')
    (here / "audit.toml").write_text(plan, encoding="utf-8")


def a_record(here: Path, _: Path) -> None:
    """A log of a year."""
    assert here
    typed("audit school --out school.csv")
    typed("log import school.csv --mapping school.mapping.toml")


def a_year_of_films(here: Path, demonstration: Path) -> None:
    """A log of a year, the tables and files that examples take in, marked films of both sides."""
    a_marked_film(here, demonstration)
    a_folder_of_films(here, demonstration)
    some_attempts(here)
    for side in ("right", "left"):
        typed(f"predict --view {side}-premolar --film {side}.png --marks {side}.marks.json")
    for year, swung_deg in ((2025, 0), (2026, 4)):
        typed(
            f"predict --view right-molar --swing-forward {swung_deg} "
            f"--film {year}.png --marks {year}.marks.json"
        )
    a_record(here, demonstration)
    typed("log add --operator S1 --view right-molar --supervisor T1 --rating uk-2020:A")
    shutil.copy(TOP / "tests" / "messy_sheets" / "13-was-and-is.xlsx", here / "sheet.xlsx")
    typed("checklists write ours.toml")
    typed("store export entries.jsonl")
    typed("store import entries.jsonl --store damaged.sqlite")
    two_cycles(here, demonstration)
    (here / "audit.toml").rename(here / "audit-2025.toml")
    table = block_of("docs/log-format.md", "No;Date;Student")
    (here / "clinic.csv").write_text(table, encoding="utf-8")
    mapping = block_of("docs/log-format.md", 'format = "bitewright.csv-mapping/1"')
    (here / "clinic.toml").write_text(mapping, encoding="utf-8")
    rows = [
        f"{image},T{rater},{'AN'[image % (2 + rater) == 0]}"
        for image in range(9)
        for rater in (1, 2)
    ]
    (here / "grades.csv").write_text("\n".join(["image,rater,grade", *rows]), encoding="utf-8")


def some_attempts(here: Path) -> None:
    """A student's answers to five exercises of one skill, as other programs may hand them over."""
    lines = [
        {
            "student": "S12",
            "item": f"{number:012x}",
            "skill": "name",
            "topic": "tube-too-far-forward",
            "score": float(number % 2),
            "sure": 0.5,
            "answered_at": f"2026-03-0{number + 1}T09:00:00+00:00",
        }
        for number in range(5)
    ]
    text = "\n".join(map(json.dumps, lines))
    (here / "attempts.jsonl").write_text(text, encoding="utf-8")


def typed(words: str) -> None:
    answer = CliRunner().invoke(app, shlex.split(words))
    assert answer.exit_code == 0, answer.output


PREPARED: dict[str, Callable[[Path, Path], None]] = {
    "docs/audit-calendar.md": a_record,
    "docs/audit-methods.md": two_cycles,
    "docs/commands.md": a_year_of_films,
    "docs/explain.md": films_of_one_visit,
    "docs/proposed-marks.md": a_folder_of_films,
    "docs/tutorial.md": what_the_tutorial_shows,
}


def test_every_example_of_the_help_stands_in_a_page() -> None:
    examples = {example for command in commands() for example in command.examples}
    assert examples <= set(PRINTED["docs/commands.md"])


def test_nothing_is_prepared_or_excepted_for_lines_that_are_not_there() -> None:
    every = [line for lines in PRINTED.values() for line in lines]
    idle = [word for word in CHECKED_OTHERWISE if not any(line.startswith(word) for line in every)]
    assert not idle
    assert set(PREPARED) <= set(PRINTED)


@pytest.mark.parametrize("page", PAGES, ids=named)
def test_commands_in_running_text_are_there(page: Path) -> None:
    text = BLOCK.sub("", page.read_text(encoding="utf-8"))
    wrong = [span for span in SPAN.findall(text) if not is_known(span.split()[1:])]
    assert not wrong, f"{named(page)} names commands or options that are not there: {wrong}"


def is_known(words: list[str]) -> bool:
    """Whether the words lead to a command and every option is its own."""
    entry, options = typer.main.get_command(app), {"--help"}
    while words and hasattr(entry, "commands") and words[0] in entry.commands:
        entry, words = entry.commands[words[0]], words[1:]
    for parameter in entry.params:
        options |= {*parameter.opts, *parameter.secondary_opts}
    group = hasattr(entry, "commands") and not entry.invoke_without_command
    if group and words and not words[0].startswith("-"):
        return words[0] in {"COMMAND", "<command>"}
    return all(word in options for word in words if word.startswith("--"))
