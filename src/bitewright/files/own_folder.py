"""Where a user's own equipment and mouths lie: the platform's data folder."""

from pathlib import Path

from platformdirs import user_data_path


def own_equipment_file() -> Path:
    """The file of the user's own equipment; it need not be there, its folder is."""
    folder = _folder()
    folder.mkdir(parents=True, exist_ok=True)
    return folder / "equipment.toml"


def own_mouth_file(name: str) -> Path:
    """The file of one of the user's own mouths."""
    folder = _folder() / "mouths"
    folder.mkdir(parents=True, exist_ok=True)
    return folder / f"{name}.toml"


def own_mouth_files() -> dict[str, Path]:
    """The user's own mouths by name."""
    return {file.stem: file for file in sorted((_folder() / "mouths").glob("*.toml"))}


def remove_own_mouth(name: str) -> None:
    """Remove the file of one of the user's own mouths."""
    own_mouth_file(name).unlink(missing_ok=True)


def _folder() -> Path:
    return user_data_path("bitewright", appauthor=False)


__all__ = ["own_equipment_file", "own_mouth_file", "own_mouth_files", "remove_own_mouth"]
