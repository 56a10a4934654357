"""Read entries in order, each against its seal: what is damaged is named, and hides nothing else.

An entry's digest seals the digest before it and its own content. So an entry is sound if its digest
follows from its content and the digest before; and where its own digest alone is damaged, the next
entry's seal still proves its content.
"""

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from sqlalchemy import Connection, Row, Select, func, select
from sqlalchemy.exc import DBAPIError

from bitewright.log.entry import FIRST_DIGEST, Act, Entry, sealed
from bitewright.store.tables import ENTRY

PAGE = 10_000
BROKEN = (DBAPIError, UnicodeDecodeError)
"""What reading a damaged database may end in; the second, where its own words are damaged."""

MOST_TRIES = 20_000
"""Ranges of a damaged table that are looked into before the rest is given up. Our choice."""


class Soundness(StrEnum):
    """How far entries can be believed."""

    SOUND = "sound"
    SEAL_DAMAGED = "seal-damaged"
    NOT_AS_WRITTEN = "not-as-written"
    UNPROVEN = "unproven"
    UNREADABLE = "unreadable"
    MISSING = "missing"


ACTS = {act.value: act for act in Act}
COLUMNS = len(ENTRY.columns) + 1
"""How many values a row has, with the key that the entry is about."""

CONTENT_PROVEN = frozenset({Soundness.SOUND, Soundness.SEAL_DAMAGED})


@dataclass(frozen=True, slots=True)
class SealedRow:
    """One entry, or several beside one another that are not there or cannot be read.

    Parameters
    ----------
    first, last : int
        Their numbers.
    soundness : Soundness
    entry : Entry or None
        None where it could not be read.
    about : int or None
        Number of the exposure that a later entry speaks of.
    digest : str
        As it stands there.
    """

    first: int
    last: int
    soundness: Soundness
    entry: Entry | None
    about: int | None
    digest: str


def sealed_rows(
    connection: Connection,
    *,
    after: int = 0,
    digest: str = FIRST_DIGEST,
    up_to: int | None = None,
) -> Iterator[SealedRow]:
    """Entries in order after a number, whose digest is given, each with how sound it is."""
    chain = _Chain(after, digest)
    held: SealedRow | None = None
    for row in _rows(connection, after, up_to):
        sound = chain.next_if_sound(row)
        if sound is not None:
            if held is not None:
                yield held
                held = None
            yield sound
            continue
        for made in chain.judged(row):
            if held is not None:
                yield _amended(held, chain.proves_content_before) if made.entry else held
            held = made
    if held is not None:
        yield held
    if up_to is not None:
        yield from chain.missing_up_to(up_to)


def with_about_key() -> Select[Any]:
    """Asks for entries with the key that each is about."""
    other = ENTRY.alias()
    return select(ENTRY, other.c.key.label("about_key")).outerjoin(
        other, ENTRY.c.about == other.c.number
    )


def entry_of_row(row: Mapping[Any, Any]) -> Entry:
    """An entry from its row.

    Raises
    ------
    ValueError, TypeError, RecursionError
        If the row is damaged.
    """
    return Entry(
        key=row["key"],
        act=Act(row["act"]),
        about=row["about_key"],
        written_at=row["written_at"],
        written_by=row["written_by"],
        why=row["why"],
        body=_body(row["body"]),
    )


def is_as_written(digest_before: str, row: Mapping[Any, Any], entry: Entry) -> bool:
    """Whether a row's digest follows from the digest before it and what it says."""
    try:
        return bool(sealed(digest_before, entry, row["body"]) == row["digest"])
    except (ValueError, TypeError):
        return False


def _body(text: Any) -> dict[str, Any]:  # noqa: ANN401 - what a damaged row holds may be anything
    body = json.loads(text)
    if not isinstance(text, str) or not isinstance(body, dict):
        raise TypeError(type(text))
    return body


class _Chain:
    """The seals so far: from which digests the next entry's may follow."""

    def __init__(self, number: int, digest: str) -> None:
        self._last = number
        self._before: tuple[str, ...] = (digest,)
        self.proves_content_before = False

    def next_if_sound(self, row: "Row[Any] | tuple[int, int]") -> SealedRow | None:
        """The next entry, if nothing is wrong with it or with the one before: the usual case."""
        if len(row) != COLUMNS or len(self._before) != 1:
            return None
        values: tuple[Any, ...] = tuple(row)
        number, key, act, about, written_at, written_by, why, text, digest, about_key = values
        if number != self._last + 1 or type(text) is not str:
            return None
        try:
            entry = Entry(
                key=key,
                act=ACTS[act],
                about=about_key,
                written_at=written_at,
                written_by=written_by,
                why=why,
                body=json.loads(text),
            )
            if sealed(self._before[0], entry, text) != digest or type(entry.body) is not dict:
                return None
        except (ValueError, TypeError, KeyError, RecursionError):
            return None
        self._last, self._before = number, (digest,)
        return SealedRow(number, number, Soundness.SOUND, entry, about, digest)

    def judged(self, row: "Row[Any] | tuple[int, int]") -> Iterator[SealedRow]:
        """What a row, or a range that could not be read, tells."""
        self.proves_content_before = False
        if not isinstance(row, Row):
            yield from self._gap(row[0])
            self._last, self._before = row[1], ()
            yield _without_content(*row, Soundness.UNREADABLE)
            return
        try:
            entry = entry_of_row(row._mapping)  # noqa: SLF001  SQLAlchemy's public name for it
            follows = [sealed(before, entry, row.body) for before in self._before]
            digest = str(row.digest)
        except (ValueError, TypeError, RecursionError):
            yield from self._gap(row.number)
            self._last, self._before = row.number, (str(row.digest),)
            yield _without_content(row.number, row.number, Soundness.UNREADABLE)
            return
        if digest in follows:
            self.proves_content_before = follows.index(digest) > 0
            yield self._follows(row, entry, digest)
        elif row.number <= self._last:  # out of its place: nothing can be told from it
            yield _with(row, row.number, Soundness.NOT_AS_WRITTEN, entry)
        else:
            yield from self._gap(row.number)
            soundness = Soundness.NOT_AS_WRITTEN if self._before else Soundness.UNPROVEN
            self._last, self._before = row.number, (digest, *follows)
            yield _with(row, row.number, soundness, entry)

    def missing_up_to(self, number: int) -> Iterator[SealedRow]:
        """Entries that should have followed the last one."""
        yield from self._gap(number + 1)

    def _follows(self, row: Row[Any], entry: Entry, digest: str) -> SealedRow:
        """The next entry, as its seal says; its number too, if another stands there."""
        self._last, self._before = self._last + 1, (digest,)
        is_in_place = row.number == self._last
        soundness = Soundness.SOUND if is_in_place else Soundness.SEAL_DAMAGED
        return _with(row, self._last, soundness, entry)

    def _gap(self, number: int) -> Iterator[SealedRow]:
        """Entries that are not there before a number."""
        if number > self._last + 1:
            yield _without_content(self._last + 1, number - 1, Soundness.MISSING)
            self._before = ()


def _with(row: Row[Any], number: int, soundness: Soundness, entry: Entry) -> SealedRow:
    return SealedRow(number, number, soundness, entry, row.about, str(row.digest))


def _without_content(first: int, last: int, soundness: Soundness) -> SealedRow:
    return SealedRow(first, last, soundness, None, None, "")


def _amended(held: SealedRow, content_is_proven: bool) -> SealedRow:  # noqa: FBT001  of this file
    """A row whose digest alone is damaged, as the next entry's seal tells."""
    if not content_is_proven or held.soundness is not Soundness.NOT_AS_WRITTEN:
        return held
    return SealedRow(
        held.first, held.last, Soundness.SEAL_DAMAGED, held.entry, held.about, held.digest
    )


def _rows(
    connection: Connection, after: int, up_to: int | None
) -> "Iterator[Row[Any] | tuple[int, int]]":
    """Rows in order, read in pages; a range of numbers in place of those that cannot be read."""
    careful = _CarefulReading(connection)
    last = after
    while True:
        try:
            page = _page(connection, last, up_to)
        except BROKEN:
            connection.rollback()
            end = careful.end(last, up_to)
            if end <= last:
                raise
            yield from careful.between(last, min(last + PAGE, end))
            last += PAGE
            if last >= end:
                return
            continue
        yield from page
        if len(page) < PAGE:
            return
        last = page[-1].number


def _page(connection: Connection, after: int, up_to: int | None) -> list[Row[Any]]:
    asked = with_about_key().where(ENTRY.c.number > after)
    if up_to is not None:
        asked = asked.where(ENTRY.c.number <= up_to)
    return list(connection.execute(asked.order_by(ENTRY.c.number).limit(PAGE)).all())


class _CarefulReading:
    """Reads what is left of a damaged table: halves a range until what fails is single rows."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection
        self._tries = 0

    def between(self, after: int, up_to: int) -> "Iterator[Row[Any] | tuple[int, int]]":
        """Rows after one number and up to another."""
        self._tries += 1
        if self._tries > MOST_TRIES:
            yield after + 1, up_to
            return
        try:
            page = _page(self._connection, after, up_to)
        except BROKEN:
            self._connection.rollback()
            if up_to - after <= 1:
                yield up_to, up_to
                return
            middle = (after + up_to) // 2
            yield from self.between(after, middle)
            yield from self.between(middle, up_to)
            return
        yield from page

    def end(self, after: int, up_to: int | None) -> int:
        """The last number there seems to be, by the table or by the index of its keys."""
        if up_to is not None:
            return up_to
        counted = 0
        for asked in (
            select(func.max(ENTRY.c.number)),
            select(func.max(ENTRY.c.number + 0)).where(ENTRY.c.key >= ""),
            select(func.count()).select_from(ENTRY),
        ):
            try:
                counted = max(counted, int(self._connection.execute(asked).scalar() or 0))
            except (*BROKEN, ValueError, TypeError):
                self._connection.rollback()
        return max(after, counted)


__all__ = [
    "BROKEN",
    "CONTENT_PROVEN",
    "SealedRow",
    "Soundness",
    "entry_of_row",
    "is_as_written",
    "sealed_rows",
    "with_about_key",
]
