"""Entries: what is appended to a log, never changed, each sealed by a digest over all before it."""

import hashlib
import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from bitewright.errors import BitewrightError, quoted
from bitewright.log.exposure_state import State, after_change
from bitewright.log.field_forms import KEY

ENTRY_FORMAT = "bitewright.entries/1"
FIRST_DIGEST = "0" * 64
_encoded = json.JSONEncoder(ensure_ascii=False, separators=(",", ":"), sort_keys=True).encode


class KeyNotAllowedError(BitewrightError):
    """A key could not be told from a number, or holds what a key may not."""

    def __init__(self, given: str) -> None:
        self.given = given
        super().__init__(
            f"{quoted(given)} cannot be a key: give up to 64 letters, digits and . : / + - _, with "
            "at least one that is no digit (a mapping's key_prefix can add it)."
        )


class Act(StrEnum):
    """What an entry does."""

    EXPOSURE = "exposure"
    CORRECTION = "correction"
    DECISION = "decision"
    LINK = "link"


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One entry of a log.

    Parameters
    ----------
    key : str
        Unlike every other entry's; a retry with the same key adds nothing.
    act : Act
    about : str or None
        Key of the exposure that a later entry speaks of; None for the exposure itself.
    written_at : str
        When it was written, UTC, such as 2026-01-31T09:30:00Z.
    written_by : str or None
        Code of who wrote it.
    why : str or None
        Reason for a correction or decision; of an exposure, the import it came with.
    body : mapping
        An exposure's fields; of a later entry those it changes, None where it takes one away.
    """

    key: str
    act: Act
    about: str | None
    written_at: str
    written_by: str | None
    why: str | None
    body: Mapping[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordedEntry:
    """An entry with its number in the log and the digest over it and all before it."""

    number: int
    entry: Entry
    digest: str


def checked_key(key: str) -> str:
    """The key itself.

    Raises
    ------
    KeyNotAllowedError
    """
    if KEY.fullmatch(key) is None:
        raise KeyNotAllowedError(key)
    return key


def body_text(body: Mapping[str, Any]) -> str:
    """The body as JSON, one text for one content."""
    return _encoded(body)


def sealed(previous: str, entry: Entry, body: str) -> str:
    """SHA-256 over the digest before and everything an entry says; `body` is its text."""
    head = (entry.key, entry.act, entry.about, entry.written_at, entry.written_by, entry.why)
    text = f"{previous}\n{_encoded(head)}\n{body}"
    return hashlib.sha256(text.encode("utf-8")).hexdigest()


def says_the_same(one: Entry, other: Entry) -> bool:
    """Whether two entries of one key say the same, whenever they were written.

    With which import an exposure came is no part of what it says.
    """
    why = [None if each.act is Act.EXPOSURE else each.why for each in (one, other)]
    return (one.act, one.about, why[0], body_text(one.body)) == (
        other.act,
        other.about,
        why[1],
        body_text(other.body),
    )


def standing(entries: Iterable[Entry]) -> State:
    """An exposure as it stands after all entries about it, oldest first."""
    state: State = {}
    for entry in entries:
        state = after_change(state, entry.body)
    return state


__all__ = [
    "ENTRY_FORMAT",
    "FIRST_DIGEST",
    "Act",
    "Entry",
    "KeyNotAllowedError",
    "RecordedEntry",
    "body_text",
    "checked_key",
    "says_the_same",
    "sealed",
    "standing",
]
