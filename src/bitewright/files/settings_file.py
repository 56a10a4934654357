"""A user's settings: a TOML file in the platform's folder for them."""

from pathlib import Path
from typing import Any

from platformdirs import user_config_path

from bitewright.errors import BitewrightError, quoted
from bitewright.files.disk import FileUnreadableError
from bitewright.files.toml_files import read_toml

SETTINGS_FORMAT = "bitewright.settings/1"
KNOWN = ("format", "store")


class SettingsError(BitewrightError):
    """The settings file says something that is not known."""

    def __init__(self, path: Path, problem: str) -> None:
        self.path = path
        super().__init__(
            f"The settings file {path} {problem}: it may hold format = "
            f'"{SETTINGS_FORMAT}" and store = "PATH OR ADDRESS".'
        )


def settings_path() -> Path:
    """Where the file is looked for."""
    return user_config_path("bitewright", appauthor=False) / "settings.toml"


def read_settings() -> dict[str, Any]:
    """The settings there are; none where there is no file.

    Raises
    ------
    SettingsError, TomlFileError, FileUnreadableError
    """
    path = settings_path()
    try:
        settings = read_toml(path)
    except FileUnreadableError as error:
        if isinstance(error.__cause__, FileNotFoundError):
            return {}
        raise
    if settings.get("format") != SETTINGS_FORMAT:
        raise SettingsError(path, "does not name its format")
    unknown = [name for name in settings if name not in KNOWN]
    if unknown:
        raise SettingsError(path, f"holds {quoted(unknown[0])}, which is not known")
    if not isinstance(settings.get("store", ""), str):
        raise SettingsError(path, "gives a store that is no text")
    return settings


__all__ = ["read_settings", "settings_path"]
