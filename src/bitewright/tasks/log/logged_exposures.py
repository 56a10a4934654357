"""The exposures of a store, in the columns audits read."""

from functools import cached_property

from bitewright.audit.logged_exposures import Filter, LoggedExposures
from bitewright.store.columns import LogColumns, log_columns
from bitewright.store.opening import opened_store
from bitewright.tasks.log.store_place import store_place


class StoreRecord:
    """A store as an audit's record, read when it is first asked for.

    Parameters
    ----------
    store : str or None
        The usual store where None.
    """

    def __init__(self, store: str | None = None) -> None:
        self._store = store

    @cached_property
    def _columns(self) -> LogColumns:
        with opened_store(store_place(self._store)) as opened:
            return log_columns(opened)

    def __call__(self) -> LoggedExposures:
        """Every exposure that was decided on, in the columns audits read."""
        return self._columns.decided()

    def undecided(self, wanted: Filter) -> int:
        """How many that a filter takes nobody has decided on."""
        columns = self._columns
        return int((columns.exposures.chosen(wanted) & (columns.decision < 0)).sum())


def logged_exposures(store: str | None = None) -> LoggedExposures:
    """Every exposure of a store that was decided on, in the columns audits read."""
    return StoreRecord(store)()


__all__ = ["StoreRecord", "logged_exposures"]
