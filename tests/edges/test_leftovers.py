"""What a killed writer leaves is swept at the next start, and what is being written is not."""

import os
import signal
import sys
from collections.abc import Callable
from contextlib import ExitStack
from pathlib import Path

import pytest
from typer.testing import CliRunner

from bitewright.cli.main import app
from bitewright.keeping.leftovers import (
    noted,
    part_beside,
    parts_with_names,
    sweep_leftovers,
    work_folder,
)
from bitewright.keeping.whole_files import whole_file, whole_folder

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="platform: kills as POSIX does")


def killed(act: Callable[[], None]) -> None:
    """Run in a process of its own, which is killed when it has said it is ready."""
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            act()
            os.write(writing, b"r")
            signal.pause()
        finally:
            os._exit(1)
    os.close(writing)
    assert os.read(reading, 1) == b"r"
    os.close(reading)
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)


def half_a_file(target: Path) -> None:
    stack = ExitStack()
    file = stack.enter_context(whole_file(target))
    file.write(b"half")
    file.flush()
    HELD.append(stack)


def half_a_folder(target: Path) -> None:
    stack = ExitStack()
    (stack.enter_context(whole_folder(target)) / "a").write_bytes(b"half")
    HELD.append(stack)


HELD: list[ExitStack] = []
"""Keeps a child's files open until it is killed."""


@pytest.mark.parametrize("write", [half_a_file, half_a_folder])
def test_a_killed_writers_part_is_swept(own_folders: Path, write: Callable[[Path], None]) -> None:
    folder = own_folders / "any"
    folder.mkdir()
    (folder / ".not-ours.part").write_bytes(b"x")
    killed(lambda: write(folder / "target"))
    assert len(list(folder.iterdir())) == 2
    assert CliRunner().invoke(app, ["cache"]).exit_code == 0
    assert [path.name for path in folder.iterdir()] == [".not-ours.part"]
    assert sweep_leftovers() == 0


def test_what_is_being_written_is_left_alone(own_folders: Path) -> None:
    target = own_folders / "target"
    with whole_file(target, with_names=True) as file, whole_file(own_folders / "other") as other:
        file.write(b"whole")
        other.write(b"no names")
        assert sweep_leftovers() == 0
        assert [part.parent for part in parts_with_names()] == [own_folders]
    assert target.read_bytes() == b"whole"
    assert parts_with_names() == ()


def test_a_note_sweeps_nothing_but_parts(own_folders: Path) -> None:
    kept = own_folders / "kept.txt"
    kept.write_bytes(b"kept")
    killed(lambda: HELD.append(entered(kept)))
    assert sweep_leftovers() == 0
    assert kept.read_bytes() == b"kept"


def entered(part: Path) -> ExitStack:
    stack = ExitStack()
    stack.enter_context(noted(part))
    return stack


def test_a_part_on_a_medium_that_is_away_is_swept_when_it_is_back(own_folders: Path) -> None:
    stick = own_folders / "stick"
    stick.mkdir()
    killed(lambda: half_a_file(stick / "backup.zip"))
    stick.rename(own_folders / "away")
    assert sweep_leftovers() == 0
    (own_folders / "away").rename(stick)
    assert sweep_leftovers() == 1
    assert not list(stick.iterdir())


def test_a_folder_for_meanwhile_is_nobody_elses_and_goes(own_folders: Path) -> None:
    assert own_folders.is_dir()
    with work_folder() as folder:
        assert folder.stat().st_mode & 0o777 == 0o700
        (folder / "a").write_bytes(b"x")
    assert not folder.exists()


def test_a_folder_takes_anothers_place_whole_or_not_at_all(own_folders: Path) -> None:
    target = own_folders / "target"
    for content in (b"one", b"two"):
        with whole_folder(target) as folder:
            (folder / "a").write_bytes(content)
    with pytest.raises(RuntimeError), whole_folder(target) as folder:  # noqa: PT012
        (folder / "a").write_bytes(b"three")
        raise RuntimeError
    assert (target / "a").read_bytes() == b"two"
    assert not list(own_folders.glob(".*.part"))


def test_where_no_note_can_be_kept_files_are_written_all_the_same(
    own_folders: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (own_folders / "no-folder").write_bytes(b"")
    monkeypatch.setenv("XDG_DATA_HOME", str(own_folders / "no-folder"))
    with whole_file(own_folders / "target") as file:
        file.write(b"whole")
    assert (own_folders / "target").read_bytes() == b"whole"
    assert sweep_leftovers() == 0


def test_a_part_is_hidden_and_beside_its_target() -> None:
    part = part_beside(Path("/a/b.zip"))
    assert part.parent == Path("/a")
    assert part.name.startswith(".")
