"""An entry as one flat row of text, and back: the form tables carry."""

from collections.abc import Mapping
from typing import Any

from bitewright.errors import BitewrightError, plainly
from bitewright.log.entry import Act, Entry, RecordedEntry, body_text, checked_key, sealed
from bitewright.log.exposure_state import checked_plain
from bitewright.log.field_forms import CODE
from bitewright.log.fields import FIELDS, as_text, from_text

ABOUT_ENTRY = ("number", "digest", "key", "act", "about", "written_at", "written_by", "why")
TAKEN_AWAY = "taken_away"
"""Names of the fields that a correction takes away."""
ROW_NAMES = (*ABOUT_ENTRY, TAKEN_AWAY, *FIELDS)
LONGEST_WHY = 500


class EntryRowError(BitewrightError):
    """A row is not an entry as it was written out."""

    def __init__(self, place: str, problem: str) -> None:
        self.place = place
        super().__init__(f"{place} {problem}: give the file as it was exported.")


def row_of(recorded: RecordedEntry) -> dict[str, str]:
    """The row, empty text for what is not given."""
    entry = recorded.entry
    row = dict.fromkeys(ROW_NAMES, "")
    row |= {
        "number": str(recorded.number),
        "digest": recorded.digest,
        "key": entry.key,
        "act": entry.act.value,
        "about": entry.about or "",
        "written_at": entry.written_at,
        "written_by": entry.written_by or "",
        "why": entry.why or "",
        TAKEN_AWAY: " ".join(name for name, value in entry.body.items() if value is None),
    }
    row |= {name: as_text(name, value) for name, value in entry.body.items() if value is not None}
    return row


def entry_of(row: Mapping[str, str], place: str) -> RecordedEntry:
    """The entry that `row_of` made a row of; `place` is what an error calls the row.

    Raises
    ------
    EntryRowError
    """
    body: dict[str, Any] = {}
    try:
        for name in FIELDS:
            if row.get(name):
                body[name] = from_text(name, row[name])
    except BitewrightError as error:
        raise EntryRowError(place, f"cannot be read, {error}") from error
    body |= dict.fromkeys(row.get(TAKEN_AWAY, "").split())
    return entry_of_parts({**row, "body": body}, place)


def entry_of_parts(parts: Mapping[str, Any], place: str) -> RecordedEntry:
    """An entry from its parts with the body as plain data, all checked.

    Raises
    ------
    EntryRowError
    """
    try:
        entry = Entry(
            key=checked_key(str(parts["key"])),
            act=Act(parts["act"]),
            about=parts["about"] or None,
            written_at=_line(parts["written_at"]),
            written_by=_code(parts["written_by"]),
            why=_line(parts["why"]) or None,
            body=checked_plain(parts["body"]),
        )
        recorded = RecordedEntry(
            number=int(parts["number"]), digest=str(parts["digest"]), entry=entry
        )
    except BitewrightError as error:
        raise EntryRowError(place, f"cannot be read, {error}") from error
    except (KeyError, ValueError, TypeError, AttributeError) as error:
        raise EntryRowError(place, f"lacks or garbles {plainly(str(error))}") from error
    if (entry.act is Act.EXPOSURE) != (entry.about is None):
        raise EntryRowError(place, "does not say rightly which exposure it is about")
    return recorded


def check_seal(previous: str, recorded: RecordedEntry, place: str) -> None:
    """Refuse an entry that is not what its digest was made from.

    Raises
    ------
    EntryRowError
    """
    if sealed(previous, recorded.entry, body_text(recorded.entry.body)) != recorded.digest:
        raise EntryRowError(place, "is not as it was written, or one before it is missing")


def _code(text: str | None) -> str | None:
    if text and CODE.fullmatch(text) is None:
        raise ValueError(text)
    return text or None


def _line(text: str | None) -> str:
    if text and (len(text) > LONGEST_WHY or not text.isprintable()):
        raise ValueError(text[:LONGEST_WHY])
    return text or ""


__all__ = [
    "LONGEST_WHY",
    "ROW_NAMES",
    "EntryRowError",
    "check_seal",
    "entry_of",
    "entry_of_parts",
    "row_of",
]
