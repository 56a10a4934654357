"""The exposures of a store, in the columns audits read."""

from functools import cached_property

from bitewright.audit.logged_exposures import Filter, LoggedExposures
from bitewright.store.columns import LogColumns, log_columns
from bitewright.store.entries import standing_exposures
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
        self.store = store

    @cached_property
    def _columns(self) -> LogColumns:
        with opened_store(store_place(self.store)) as opened:
            return log_columns(opened)

    def __call__(self) -> LoggedExposures:
        """Every exposure that was decided on, in the columns audits read."""
        return self._columns.decided()

    def undecided(self, wanted: Filter) -> int:
        """How many that a filter takes nobody has decided on."""
        columns = self._columns
        return int((columns.exposures.chosen(wanted) & (columns.decision < 0)).sum())

    def deciders(self, wanted: Filter, *, most: int) -> list[str]:
        """Code of who decided on each film that a filter takes; none if more than ``most``."""
        columns = self._columns
        chosen = columns.exposures.chosen(wanted) & (columns.decision >= 0)
        numbers = columns.number[chosen].tolist()
        if len(numbers) > most:
            return []
        out: list[str] = []
        with opened_store(store_place(self.store)) as opened, opened.reading() as connection:
            for start in range(0, len(numbers), AT_ONCE):
                found, _ = standing_exposures(connection, numbers[start : start + AT_ONCE])
                out += [
                    str(state["decided_by"]) for _, state in found.values() if "decided_by" in state
                ]
        return out


AT_ONCE = 500
"""Exposures read from the store in one go."""


def logged_exposures(store: str | None = None) -> LoggedExposures:
    """Every exposure of a store that was decided on, in the columns audits read."""
    return StoreRecord(store)()


__all__ = ["StoreRecord", "logged_exposures"]
