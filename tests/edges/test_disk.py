"""Files are written whole or not at all."""

import os
import stat
from pathlib import Path

import pytest

from bitewright.files.csv_rows import rows_of_csv
from bitewright.files.disk import FileUnreadableError, FileUnwritableError, read_file, write_file
from bitewright.files.entry_files import read_entries


def test_what_is_written_is_read(tmp_path: Path) -> None:
    write_file(tmp_path / "a", b"one")
    write_file(tmp_path / "a", b"two")
    assert read_file(tmp_path / "a") == b"two"
    assert [path.name for path in tmp_path.iterdir()] == ["a"]


def test_a_failing_disk_leaves_the_old_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write_file(tmp_path / "a", b"old")

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", full)
    with pytest.raises(FileUnwritableError, match="No space left"):
        write_file(tmp_path / "a", b"new")
    assert read_file(tmp_path / "a") == b"old"
    assert [path.name for path in tmp_path.iterdir()] == ["a"]


def test_a_link_stays_a_link(tmp_path: Path) -> None:
    write_file(tmp_path / "a", b"old")
    (tmp_path / "link").symlink_to(tmp_path / "a")
    write_file(tmp_path / "link", b"new")
    assert (tmp_path / "link").is_symlink()
    assert read_file(tmp_path / "a") == b"new"


@pytest.mark.parametrize("name", ["none/a", "file/a"])
def test_a_folder_that_is_none_is_named(tmp_path: Path, name: str) -> None:
    (tmp_path / "file").write_bytes(b"")
    with pytest.raises(FileUnwritableError, match="choose a folder that exists"):
        write_file(tmp_path / name, b"x")
    assert [path.name for path in tmp_path.iterdir()] == ["file"]


def test_a_folder_cannot_be_written_over(tmp_path: Path) -> None:
    (tmp_path / "a").mkdir()
    with pytest.raises(FileUnwritableError):
        write_file(tmp_path / "a", b"x")
    assert [path.name for path in tmp_path.iterdir()] == ["a"]


def test_what_cannot_be_read_is_refused(tmp_path: Path) -> None:
    with pytest.raises(FileUnreadableError, match="nothing at that path"):
        read_file(tmp_path / "none")
    with pytest.raises(FileUnreadableError, match=r"folder|permission"):
        read_file(tmp_path)
    (tmp_path / "large").write_bytes(b"x" * 11)
    assert len(read_file(tmp_path / "large", most_bytes=11)) == 11
    with pytest.raises(FileUnreadableError, match="more than"):
        read_file(tmp_path / "large", most_bytes=10)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="platform: no named pipes here")
def test_a_pipe_nobody_writes_to_is_refused_at_once(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    for read in (
        read_file,
        lambda path: list(rows_of_csv(path, separator=None, encoding=None)),
        lambda path: list(read_entries(path)),
    ):
        path = tmp_path / "pipe.jsonl"
        path.unlink(missing_ok=True)
        path.symlink_to(tmp_path / "pipe")
        with pytest.raises(FileUnreadableError, match="a pipe or a device"):
            read(path)


@pytest.mark.skipif(not Path("/dev/zero").exists(), reason="platform: no /dev/zero here")
def test_a_device_without_end_is_not_read() -> None:
    with pytest.raises(FileUnreadableError, match="a pipe or a device"):
        read_file(Path("/dev/zero"))


def test_a_device_or_a_pipe_is_never_replaced(tmp_path: Path) -> None:
    """Written as other files are, by a part that takes the place, /dev/null would be gone."""
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    (tmp_path / "link").symlink_to(pipe)
    for path in (pipe, tmp_path / "link"):
        with pytest.raises(FileUnwritableError, match="a device or a pipe is there"):
            write_file(path, b"film")
    assert stat.S_ISFIFO(pipe.stat().st_mode)
    assert sorted(each.name for each in tmp_path.iterdir()) == ["link", "pipe"]
