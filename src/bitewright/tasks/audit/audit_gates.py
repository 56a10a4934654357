"""Decisions at the gate before another exposure: odds stated, and what came of them."""

from collections.abc import Iterable
from dataclasses import dataclass
from math import isnan
from typing import Any

from bitewright import __version__
from bitewright.audit.gate_outcomes import DecidedAtGate, StatedAndWon, stated_and_won
from bitewright.log.entry import RecordedEntry, standing
from bitewright.log.place_chances import chances_from_text
from bitewright.report.figure import Figure
from bitewright.store.entries import exposure_key, exposures_with_keys, history
from bitewright.store.opening import NoStoreError, opened_store
from bitewright.tasks.audit.audit_request import AuditRequest
from bitewright.tasks.log.logged_exposures import StoreRecord
from bitewright.tasks.log.store_place import store_place
from bitewright.visit.ledger import SURE
from bitewright.words.caution import CAUTION
from bitewright.words.gate_outcomes import (
    GATES_HEADINGS,
    GATES_TITLE,
    OF_WHOLE_LOG,
    gates_cells,
    gates_words,
)
from bitewright.words.gates import EXPOSE

GATES_FORMAT = "bitewright.audit-gates/1"
GATE_KEYS = "gate-"


@dataclass(frozen=True, slots=True, kw_only=True)
class GatesAnswer:
    """All decisions at the gate, and how often places were won beside how often that was said."""

    decisions: tuple[DecidedAtGate, ...]
    rows: tuple[StatedAndWon, ...]

    @property
    def sentences(self) -> tuple[str, ...]:
        """What was decided, and what came of it."""
        return gates_words(self.decisions, self.rows[0])

    @property
    def cells(self) -> tuple[tuple[str, ...], ...]:
        """The table in words; empty where there is no outcome yet."""
        return tuple(map(gates_cells, self.rows)) if self.rows[0].places else ()

    def figure(self) -> Figure | None:
        """The sentences and the table for a report; None where nobody has decided at the gate."""
        if not self.decisions:
            return None
        return Figure(
            name="gates",
            title=GATES_TITLE,
            says=" ".join((*self.sentences, OF_WHOLE_LOG)),
            drawing=None,
            header=GATES_HEADINGS,
            rows=self.cells,
            shown=bool(self.cells),
        )

    def document(self) -> dict[str, Any]:
        """As data for machines."""
        return {
            "format": GATES_FORMAT,
            "version": __version__,
            "sentences": list(self.sentences),
            "decisions": [
                {
                    "exposure": each.exposure,
                    "exposing": each.is_exposing,
                    "stated": dict(each.stated),
                    "read": None if each.read is None else dict(each.read),
                }
                for each in self.decisions
            ],
            "rows": [
                {
                    "stated_from": each.label,
                    "exposures": each.exposures,
                    "places": each.places,
                    "stated": _rounded(each.stated),
                    "won": each.won,
                    "doubtful": each.doubtful,
                    "low": _rounded(each.low),
                    "high": _rounded(each.high),
                }
                for each in self.rows
            ],
            "caution": CAUTION,
        }


def _rounded(value: float) -> float | None:
    return None if isnan(value) else round(value, 3)


def audit_gates(store: str | None = None) -> GatesAnswer:
    """Every decision at the gate in a log.

    Raises
    ------
    NoStoreError
    DamagedEntryError
        If an entry about one of them is not as it was written.
    """
    with opened_store(store_place(store)) as opened, opened.reading() as connection:
        numbers = exposures_with_keys(connection, GATE_KEYS)
        entries = [history(connection, exposure_key(connection, str(each))) for each in numbers]
    return _answer(_decision(each) for each in entries)


def gates_if_any(store: str | None = None) -> GatesAnswer:
    """As `audit_gates`; no decision where there is no log yet."""
    try:
        return audit_gates(store)
    except NoStoreError:
        return _answer(())


def _answer(decided: Iterable[DecidedAtGate]) -> GatesAnswer:
    decisions = tuple(decided)
    return GatesAnswer(decisions=decisions, rows=stated_and_won(decisions, sure=SURE))


def _decision(entries: list[RecordedEntry]) -> DecidedAtGate:
    """The last decision at the gate on one exposure, and its outcome."""
    last = [each.entry for each in entries if each.entry.key.startswith(GATE_KEYS)][-1]
    state = standing(each.entry for each in entries)
    stated, read = state.get("stated_odds"), state.get("read_after")
    return DecidedAtGate(
        exposure=entries[0].number,
        is_exposing=(last.why or "").startswith(EXPOSE),
        stated={} if stated is None else chances_from_text(str(stated)),
        read=None if read is None else chances_from_text(str(read)),
    )


def gates_of(request: AuditRequest) -> GatesAnswer | None:
    """The decisions in the log that an audit reads, whatever its filter; None of a table.

    Raises
    ------
    DamagedEntryError
    """
    source = request.source
    return audit_gates(source.store) if isinstance(source, StoreRecord) else None


__all__ = ["GATES_FORMAT", "GatesAnswer", "audit_gates", "gates_if_any", "gates_of"]
