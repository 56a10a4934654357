"""The exposures of a store, in the columns audits read."""

from bitewright.audit.logged_exposures import LoggedExposures
from bitewright.store.columns import log_columns
from bitewright.store.opening import opened_store
from bitewright.tasks.log.store_place import store_place


def logged_exposures(store: str | None = None) -> LoggedExposures:
    """Every exposure of a store that was decided on, in the columns audits read."""
    with opened_store(store_place(store)) as opened:
        return log_columns(opened).decided()


__all__ = ["logged_exposures"]
