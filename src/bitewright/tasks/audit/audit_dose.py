"""The dose side of a record: settings by view, retakes, and mGy where an output was measured."""

from dataclasses import dataclass
from typing import Any

from bitewright import __version__
from bitewright.audit.dose_side import (
    MeasuredOutput,
    ReferenceLevel,
    Spread,
    ViewDose,
    dose_by_view,
)
from bitewright.audit.logged_exposures import LoggedExposures
from bitewright.report.figure import Figure
from bitewright.tasks.audit.audit_request import (
    AuditRequest,
    check_any,
    filter_of,
    undecided_in,
)
from bitewright.tasks.audit.rate_documents import rounded, share_document
from bitewright.tasks.log.logged_exposures import StoreRecord
from bitewright.tasks.log.record_settings import levels_of, outputs_of, record_settings
from bitewright.words.caution import CAUTION
from bitewright.words.dose import (
    HEADINGS,
    HOW_READ,
    NO_LEVELS,
    NO_LIMIT,
    NO_OUTPUT,
    NO_SETTINGS,
    TITLE,
    dose_cells,
    left_out_words,
    level_words,
)

DOSE_FORMAT = "bitewright.dose/1"


@dataclass(frozen=True, slots=True, kw_only=True)
class DoseAnswer:
    """What the exposures of a record were set to, and what that came to."""

    rows: tuple[ViewDose, ...]
    overall: ViewDose
    outputs: tuple[MeasuredOutput, ...]
    levels: tuple[ReferenceLevel, ...]

    @property
    def has_settings(self) -> bool:
        """Whether any exposure has a setting logged."""
        all_of_them = self.overall
        return any(
            (all_of_them.tube_voltage_kv, all_of_them.tube_current_ma, all_of_them.exposure_time_s)
        )

    def cells(self) -> tuple[tuple[str, ...], ...]:
        """The table, the last row of all exposures."""
        return tuple(dose_cells(row) for row in (*self.rows, self.overall))

    def sentences(self) -> tuple[str, ...]:
        """What is said beside the table."""
        if not self.has_settings:
            return (NO_SETTINGS, *self.level_sentences())
        left_out = left_out_words(self.overall) if self.outputs else NO_OUTPUT
        return (HOW_READ, *((left_out,) if left_out else ()), *self.level_sentences())

    def level_sentences(self) -> tuple[str, ...]:
        """The reference levels, and that they are no limits."""
        if not self.levels:
            return (NO_LEVELS,)
        spread = self.overall.entrance_mgy
        return (*(level_words(each, spread) for each in self.levels), NO_LIMIT)

    def figure(self) -> Figure:
        """As a table of a report, with its data."""
        return Figure(
            name="dose",
            title=TITLE,
            says=" ".join(self.sentences()),
            drawing=None,
            header=HEADINGS,
            rows=self.cells(),
            shown=True,
        )

    def document(self) -> dict[str, Any]:
        """As data for machines."""
        return {
            "format": DOSE_FORMAT,
            "version": __version__,
            "caution": CAUTION,
            "views": [_row(row) | {"view": row.view} for row in self.rows],
            "overall": _row(self.overall),
            "levels": [
                {
                    "title": each.title,
                    "entrance_mgy": each.entrance_mgy,
                    "country": each.country,
                    "year": each.year,
                    "source": each.source,
                }
                for each in self.levels
            ],
            "sentences": list(self.sentences()),
        }


def audit_dose(request: AuditRequest) -> DoseAnswer:
    """The dose side of the exposures asked for.

    Raises
    ------
    AuditWordError, UnknownLabelError, NothingLoggedError, NothingDecidedError; errors as
    `record_settings`
    """
    wanted = filter_of(request)
    log = request.source().taken(wanted)
    check_any(len(log), undecided_in(request, wanted))
    return dose_of(log, request)


def dose_of(log: LoggedExposures, request: AuditRequest) -> DoseAnswer:
    """The dose side of exposures that a request took; errors as `record_settings`."""
    source = request.source
    held = record_settings(source.store) if isinstance(source, StoreRecord) else {}
    outputs = outputs_of(held)
    rows, overall = dose_by_view(log, outputs)
    return DoseAnswer(rows=rows, overall=overall, outputs=outputs, levels=levels_of(held))


def _row(row: ViewDose) -> dict[str, Any]:
    return {
        "exposures": row.exposures,
        "tube_voltage_kv": _spread(row.tube_voltage_kv),
        "tube_current_ma": _spread(row.tube_current_ma),
        "exposure_time_s": _spread(row.exposure_time_s),
        "entrance_mgy": _spread(row.entrance_mgy),
        "retakes": share_document(row.retakes),
    }


def _spread(spread: Spread | None) -> dict[str, Any] | None:
    if spread is None:
        return None
    return {
        "middle": rounded(spread.middle),
        "least": rounded(spread.least),
        "most": rounded(spread.most),
        "count": spread.count,
    }


__all__ = ["DoseAnswer", "audit_dose", "dose_of"]
