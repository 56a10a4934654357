"""One table of rates, and nothing else."""

from dataclasses import dataclass
from typing import Any

from bitewright.audit.rates import RateTable, rates_by
from bitewright.tasks.audit.audit_request import (
    AuditRequest,
    check_any,
    filter_of,
    grouping_of,
    undecided_in,
)
from bitewright.tasks.audit.rate_documents import rates_document


@dataclass(frozen=True, slots=True, kw_only=True)
class RatesAnswer:
    """The table of rates asked for, and how many exposures nobody has decided on."""

    table: RateTable
    undecided: int

    def document(self) -> dict[str, Any]:
        """As data for machines."""
        return {**rates_document(self.table), "undecided": self.undecided}


def rate_table(request: AuditRequest) -> RatesAnswer:
    """The table of rates asked for; errors as `audit_log`."""
    wanted = filter_of(request)
    log = request.source().taken(wanted)
    undecided = undecided_in(request, wanted)
    check_any(len(log), undecided)
    table = rates_by(log, grouping_of(log, request), request.event)
    return RatesAnswer(table=table, undecided=undecided)


__all__ = ["RatesAnswer", "rate_table"]
