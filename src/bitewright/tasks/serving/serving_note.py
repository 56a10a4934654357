"""The note of a running server: where it answers, who has been let in; for its user alone."""

import json
import os
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from bitewright.errors import BitewrightError
from bitewright.keeping.whole_files import FileUnwritableError, why_not, write_file
from bitewright.store.light_box import light_box_file

NOTE_FORMAT = "bitewright.serving/1"


class NoServerError(BitewrightError):
    """No server has left a note, or none on the port that was given."""

    def __init__(self, port: int | None) -> None:
        where = f"on port {port} of this computer" if port else "on this computer"
        super().__init__(
            f"No server of yours runs {where}: start one with `bitewright serve`, then ask for a "
            "link again."
        )


def serving_folder() -> Path:
    """Where notes and certificates lie, made for this user alone."""
    folder = light_box_file().parent / "serving"
    try:
        folder.mkdir(parents=True, exist_ok=True)
        folder.chmod(0o700)
    except OSError as error:
        raise FileUnwritableError(folder, why_not(error)) from error
    return folder


def write_note(port: int, note: Mapping[str, Any]) -> None:
    """Keep a server's note, whole or not at all."""
    path = _file(port)
    write_file(path, json.dumps({"format": NOTE_FORMAT, **note}, indent=1).encode())
    os.chmod(path, 0o600)  # noqa: PTH101  as the folder


def read_note(port: int) -> dict[str, Any]:
    """What the last server on a port noted; empty if there was none."""
    try:
        note = json.loads(_file(port).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return note if isinstance(note, dict) and note.get("format") == NOTE_FORMAT else {}


def newest_note(port: int | None) -> dict[str, Any]:
    """The note of the server on a port, or of the one that was started last.

    Raises
    ------
    NoServerError
    """
    if port is not None:
        note = read_note(port)
    else:
        files = sorted(serving_folder().glob("*.json"), key=lambda path: path.stat().st_mtime)
        notes = [read_note(int(path.stem)) for path in files if path.stem.isdigit()]
        note = next((each for each in reversed(notes) if each.get("door")), {})
    if not note.get("door"):
        raise NoServerError(port)
    return note


def close_note(port: int) -> None:
    """A server ends: nobody can ask it for a link any more; who was let in stays noted."""
    note = read_note(port)
    if note:
        write_note(port, note | {"door": None})


def _file(port: int) -> Path:
    return serving_folder() / f"{port}.json"


__all__ = [
    "NoServerError",
    "close_note",
    "newest_note",
    "read_note",
    "serving_folder",
    "write_note",
]
