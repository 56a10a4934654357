"""Where a user's own equipment and mouths lie: the platform's data folder."""

from pathlib import Path

from platformdirs import user_data_path

from bitewright.files.disk import FileUnreadableError
from bitewright.keeping.whole_files import (
    FileUnwritableError,
    make_folder,
    why_not,
    write_file,
)


def own_equipment_file() -> Path:
    """The file of the user's own equipment; neither it nor its folder need be there."""
    return _folder() / "equipment.toml"


def own_checklists_file() -> Path:
    """The file of the user's own checklists; neither it nor its folder need be there."""
    return _folder() / "checklists.toml"


def own_exercises_folder() -> Path:
    """The folder of the user's exercises with own films; it need not be there."""
    return _folder() / "exercises"


def remove_own_checklists() -> bool:
    """Remove that file; whether there was one.

    Raises
    ------
    FileUnwritableError
        If it may not be removed.
    """
    file = own_checklists_file()
    try:
        file.unlink()
    except FileNotFoundError:
        return False
    except OSError as error:
        raise FileUnwritableError(file, why_not(error)) from error
    return True


def _own_mouth_file(name: str) -> Path:
    """The file of one of the user's own mouths; neither it nor its folder need be there."""
    return _folder() / "mouths" / f"{name}.toml"


def keep_own_mouth(name: str, content: bytes) -> None:
    """Write one of the user's own mouths, whole or not at all.

    Raises
    ------
    FileUnwritableError
    """
    file = _own_mouth_file(name)
    make_folder(file.parent)
    write_file(file, content)


def own_mouth_files() -> dict[str, Path]:
    """The user's own mouths by name.

    Raises
    ------
    FileUnreadableError
        If their folder is there and may not be read.
    """
    folder = _folder() / "mouths"
    try:
        files = sorted(file for file in folder.iterdir() if file.suffix == ".toml")
    except FileNotFoundError:
        return {}
    except OSError as error:
        raise FileUnreadableError(folder, why_not(error)) from error
    return {file.stem: file for file in files}


def remove_own_mouth(name: str) -> None:
    """Remove the file of one of the user's own mouths.

    Raises
    ------
    FileUnwritableError
        If it may not be removed.
    """
    file = _own_mouth_file(name)
    try:
        file.unlink(missing_ok=True)
    except OSError as error:
        raise FileUnwritableError(file, why_not(error)) from error


def _folder() -> Path:
    return user_data_path("bitewright", appauthor=False)


__all__ = [
    "keep_own_mouth",
    "own_checklists_file",
    "own_equipment_file",
    "own_exercises_folder",
    "own_mouth_files",
    "remove_own_checklists",
    "remove_own_mouth",
]
