"""One table of rates, and nothing else."""

from bitewright.audit.logged_exposures import NothingLoggedError
from bitewright.audit.rates import RateTable, rates_by
from bitewright.tasks.audit.audit_request import AuditRequest, filter_of, grouping_of


def rate_table(request: AuditRequest) -> RateTable:
    """The table of rates asked for; errors as `audit_log`."""
    log = request.source().taken(filter_of(request))
    if not len(log):
        raise NothingLoggedError
    return rates_by(log, grouping_of(log, request), request.event)


__all__ = ["rate_table"]
