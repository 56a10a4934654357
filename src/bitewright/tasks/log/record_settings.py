"""What a practice settles for one record: calendar, targets by year, measured outputs, levels.

They lie in a file beside the store, which any editor can change; a page and commands change it too.
"""

import os
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from bitewright.audit.audit_calendar import AuditCalendar, AuditDone, YearTargets
from bitewright.audit.dose_side import MeasuredOutput, ReferenceLevel
from bitewright.audit.targets import target_standings
from bitewright.errors import BitewrightError, quoted
from bitewright.files.disk import FileUnreadableError, read_file, write_file
from bitewright.files.json_documents import check_document
from bitewright.files.toml_files import read_toml, toml_bytes, toml_from_bytes
from bitewright.keeping.turns import alone_with
from bitewright.log.days import day_number
from bitewright.quality.rating_schemes import rating_schemes
from bitewright.store.location import StoreLocation
from bitewright.store.opening import opened_store
from bitewright.tasks.log.store_place import store_place
from bitewright.words import file_notes

SETTINGS_FORMAT = "bitewright.record-settings/1"
SCHEMAS = {SETTINGS_FORMAT: "record-settings-1.json"}
PARTS = ("targets", "audits", "outputs", "levels")
OPTIONAL: Mapping[str, dict[str, Any]] = {
    "targets": {"film": False},
    "audits": {"again": "", "note": ""},
    "outputs": {"room": ""},
}
MOST_BYTES = 1 << 20


class NoSuchDayError(BitewrightError):
    """A day in the settings is none of the calendar."""

    def __init__(self, given: str) -> None:
        self.field = "day"
        super().__init__(
            f"There is no day {quoted(given)}: give one of the calendar as YYYY-MM-DD."
        )


class AgainBeforeError(BitewrightError):
    """An audit is to be done again before it was done."""

    def __init__(self, day: str, again: str) -> None:
        self.field = "again"
        super().__init__(
            f"The next audit is set for {quoted(again)}, which is not after {quoted(day)}, the day "
            "of this one: give a later day."
        )


class NoSuchSettingError(BitewrightError):
    """A part of the settings, or an item of it, is named that there is not."""

    status_code = 404

    def __init__(self, part: str, number: int) -> None:
        super().__init__(
            f"There is no item {number} of {quoted(part)} in the record's settings: its parts are "
            f"{', '.join(PARTS)}, and their items are counted from 0."
        )


def settings_file(location: StoreLocation) -> Path:
    """Where the settings of a record lie, whether or not there are any."""
    if location.file is not None:
        return location.file.with_name(f"{location.file.name}.settings.toml")
    return location.folder.with_name(f"{location.folder.name}.settings.toml")


def check_there_is_a_record(store: str | None) -> None:
    """Refuse to tell of a record of which neither settings nor a store are there.

    Raises
    ------
    NoStoreError
        And what else `opened_store` raises where nothing is settled yet.
    """
    location = store_place(store)
    if not os.path.isfile(settings_file(location)):  # noqa: PTH113 - no error
        with opened_store(location):
            pass


def record_settings(store: str | None) -> dict[str, Any]:
    """The settings of a record as they stand; only their format where nobody set any.

    Raises
    ------
    TomlFileError, DocumentFormatError, SchemaViolationError, NoSuchDayError, NoSuchGradeError
    """
    file = settings_file(store_place(store))
    try:
        document = read_toml(file)
    except FileUnreadableError as error:
        if isinstance(error.__cause__, FileNotFoundError):
            return {"format": SETTINGS_FORMAT}
        raise
    _check(document, f"The file {file}")
    return document


def shown_settings(store: str | None = None) -> dict[str, Any]:
    """The same with every part and field, empty where nothing is given, as a page shows it."""
    document = record_settings(store)
    shown = {
        part: [OPTIONAL.get(part, {}) | row for row in document.get(part, [])] for part in PARTS
    }
    return {"every_months": document.get("every_months", ""), **shown}


def settings_text(store: str | None) -> bytes:
    """The same as a file to change."""
    return _text(record_settings(store))


def write_settings(path: Path, store: str | None) -> None:
    """Write the same; raises as `record_settings`, and `FileUnwritableError`."""
    write_file(path, settings_text(store))


def keep_settings(path: Path, store: str | None) -> None:
    """Let a file's settings hold from now on, all of them or none.

    Raises
    ------
    FileUnreadableError, FileUnwritableError; errors as `record_settings`
    """
    text = read_file(path, most_bytes=MOST_BYTES)
    keep_settings_text(text, settings_file(store_place(store)), name=str(path))


def keep_settings_text(text: bytes, file: Path, *, name: str) -> None:
    """As `keep_settings`, of a file's content."""
    document = toml_from_bytes(text, name=name)
    _check(document, f"The file {name}")
    with alone_with(file):
        write_file(file, _text(document))


def add_setting(part: str, item: Mapping[str, Any], store: str | None = None) -> None:
    """Add an item to a part of the settings.

    Raises
    ------
    NoSuchSettingError; errors as `record_settings`
    """
    if part not in PARTS:
        raise NoSuchSettingError(part, 0)
    with alone_with(settings_file(store_place(store))):
        document = record_settings(store)
        _kept(document | {part: [*document.get(part, []), dict(item)]}, store)


def remove_setting(part: str, number: int, store: str | None = None) -> None:
    """Remove an item of a part by its place; errors as `add_setting`."""
    with alone_with(settings_file(store_place(store))):
        document = record_settings(store)
        items = list(document.get(part, [])) if part in PARTS else []
        if not 0 <= number < len(items):
            raise NoSuchSettingError(part, number)
        del items[number]
        _kept(document | {part: items}, store)


def set_every_months(months: int | None, store: str | None = None) -> None:
    """How often to audit; None takes it away. Errors as `record_settings`."""
    with alone_with(settings_file(store_place(store))):
        document = {k: v for k, v in record_settings(store).items() if k != "every_months"}
        _kept(document | ({} if months is None else {"every_months": months}), store)


def calendar_of(document: Mapping[str, Any]) -> AuditCalendar:
    """Calendar and targets of settings."""
    return AuditCalendar(
        every_months=document.get("every_months"),
        targets=tuple(
            YearTargets(
                year=row["year"],
                scheme=row["scheme"],
                film=row.get("film", False),
                shares=row["shares"],
                source=row["source"],
            )
            for row in document.get("targets", [])
        ),
        done=tuple(
            AuditDone(
                day=day_number(row["day"]),
                again_day=day_number(row["again"]) if "again" in row else None,
                note=row.get("note", ""),
            )
            for row in document.get("audits", [])
        ),
    )


def outputs_of(document: Mapping[str, Any]) -> tuple[MeasuredOutput, ...]:
    """Measured outputs of settings."""
    return tuple(
        MeasuredOutput(**{"room": "", **row, "day": day_number(row["day"])})
        for row in document.get("outputs", [])
    )


def levels_of(document: Mapping[str, Any]) -> tuple[ReferenceLevel, ...]:
    """Reference levels of settings."""
    return tuple(ReferenceLevel(**row) for row in document.get("levels", []))


def _kept(document: dict[str, Any], store: str | None) -> None:
    _check(document, file_notes.THE_SETTINGS)
    write_file(settings_file(store_place(store)), _text(document))


def _check(document: Mapping[str, Any], where: str) -> None:
    """Refuse what no record can have: its form, its days and its grades."""
    check_document(document, where, schemas=SCHEMAS)
    for part in ("audits", "outputs"):
        for row in document.get(part, []):
            _check_days(row)
    for row in document.get("targets", []):
        scheme = rating_schemes().get(row["scheme"])
        if scheme is not None:
            target_standings({}, scheme, own=row["shares"])


def _check_days(row: Mapping[str, Any]) -> None:
    for name in ("day", "again"):
        if name in row:
            try:
                day_number(row[name])
            except ValueError as error:
                raise NoSuchDayError(row[name]) from error
    if "again" in row and day_number(row["again"]) <= day_number(row["day"]):
        raise AgainBeforeError(row["day"], row["again"])


def _text(document: Mapping[str, Any]) -> bytes:
    return toml_bytes(document, name="settings.toml", comment=file_notes.RECORD_SETTINGS)


__all__ = [
    "PARTS",
    "SETTINGS_FORMAT",
    "AgainBeforeError",
    "NoSuchDayError",
    "NoSuchSettingError",
    "add_setting",
    "calendar_of",
    "check_there_is_a_record",
    "keep_settings",
    "keep_settings_text",
    "levels_of",
    "outputs_of",
    "record_settings",
    "remove_setting",
    "set_every_months",
    "settings_file",
    "settings_text",
    "shown_settings",
    "write_settings",
]
