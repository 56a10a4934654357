"""Decide on many exposures at once: all undecided ones that a filter takes."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any
from uuid import uuid4

from bitewright.errors import BitewrightError
from bitewright.log.entry import Act, Entry
from bitewright.log.exposure_state import State, after_change, changed_fields, completed
from bitewright.store.appending import append
from bitewright.store.columns import log_columns
from bitewright.store.entries import standing_exposures
from bitewright.store.imports import NoSuchImportError, imports
from bitewright.store.opening import Store, opened_store
from bitewright.tasks.log.read_log import ListRequest, chosen_rows
from bitewright.tasks.log.store_place import now_utc, store_place, today_number

DECIDED_FORMAT = "bitewright.decided/1"
CHUNK = 500


class NothingUndecidedError(BitewrightError):
    """No exposure that a filter takes is still to be decided."""

    def __init__(self) -> None:
        super().__init__(
            "No exposure that this takes is still undecided: widen what is asked for; `bitewright "
            "log list --decision undecided` shows those there are."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class DecideRequest:
    """What to decide on and how.

    Parameters
    ----------
    chosen : ListRequest
        Which exposures; of them the undecided ones, all of them.
    decision, by : str
    why : str or None
    rating : str or None
        Only exposures of this scheme:grade.
    of_import : str or None
        Only exposures of this import.
    dry_run : bool
        Count, and write nothing.
    """

    chosen: ListRequest
    decision: str
    by: str
    why: str | None = None
    rating: str | None = None
    of_import: str | None = None
    dry_run: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Decided:
    """How many were decided, or would be."""

    count: int
    decision: str
    written: bool

    def document(self) -> dict[str, Any]:
        """As data for machines."""
        return {
            "format": DECIDED_FORMAT,
            "count": self.count,
            "decision": self.decision,
            "written": self.written,
        }


def decide_many(request: DecideRequest) -> Decided:
    """Append a decision to each; all of them or none.

    Raises
    ------
    NothingUndecidedError, NoSuchImportError, FieldValueError, UnknownLabelError
    """
    changes = changed_fields({"decision": request.decision, "decided_by": request.by})
    with opened_store(store_place(request.chosen.store)) as store:
        numbers = _numbers(store, request)
        with store.writing() as connection:
            found: dict[str, State] = {}
            for start in range(0, len(numbers), CHUNK):
                some, _ = standing_exposures(connection, numbers[start : start + CHUNK])
                found.update(some.values())
            entries = list(_entries(found, request, changes))
            if not entries:
                raise NothingUndecidedError
            if not request.dry_run:
                result = append(connection, entries)
                if result.refused:
                    raise result.refused[0].error
    return Decided(
        count=len(entries), decision=str(changes["decision"]), written=not request.dry_run
    )


def _numbers(store: Store, request: DecideRequest) -> list[int]:
    columns = log_columns(store)
    chosen = chosen_rows(request.chosen, columns) & (columns.decision < 0)
    numbers = columns.number[chosen]
    if request.of_import is not None:
        with store.reading() as connection:
            found = [each for each in imports(connection) if each.id == request.of_import]
        if not found:
            raise NoSuchImportError(request.of_import)
        numbers = numbers[(numbers >= found[0].first) & (numbers <= found[0].last)]
    return [int(number) for number in numbers]


def _entries(
    found: Mapping[str, State], request: DecideRequest, changes: Mapping[str, Any]
) -> Iterator[Entry]:
    """A decision for each of them that is still open and has the grade asked for."""
    now, today = now_utc(), today_number()
    for key, state in found.items():
        if "decision" in state or request.rating not in {None, state.get("rating")}:
            continue
        completed(after_change(state, changes), today=today)
        yield Entry(
            key=f"entry-{uuid4().hex}",
            act=Act.DECISION,
            about=key,
            written_at=now,
            written_by=request.by,
            why=request.why,
            body=changes,
        )


__all__ = ["DECIDED_FORMAT", "DecideRequest", "Decided", "NothingUndecidedError", "decide_many"]
