"""Exposures of an import, held in a file until the last is checked, then written as entries."""

import json
from collections.abc import Iterator, Mapping
from typing import IO, Any

from bitewright.log.entry import Act, Entry
from bitewright.log.imports import ImportName
from bitewright.tasks.log.store_place import now_utc


def spool_exposure(spool: IO[str], key: str, body: str) -> None:
    """Hold one exposure; ``body``: its fields as `body_text` writes them, on one line."""
    spool.write(f"{key}\t{body}\n")


def spooled_entries(spool: IO[str], by: str | None, name: ImportName) -> Iterator[Entry]:
    """All exposures held, as entries of one import; each operator writes where ``by`` is None."""
    now, why = now_utc(), name.reason()
    spool.seek(0)
    for line in spool:
        key, _, text = line.partition("\t")
        body: Mapping[str, Any] = json.loads(text)
        yield Entry(
            key=key,
            act=Act.EXPOSURE,
            about=None,
            written_at=now,
            written_by=by or body["operator"],
            why=why,
            body=body,
        )


__all__ = ["spool_exposure", "spooled_entries"]
