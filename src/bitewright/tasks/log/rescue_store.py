"""Take what is sound in a damaged store into a new one."""

from pathlib import Path

from bitewright.store.new_store import new_store_whole
from bitewright.store.opening import opened_store
from bitewright.store.rescuing import Rescue, save_sound_entries
from bitewright.tasks.log.keep_store import Moved, opened_for_a_check, refuse_full
from bitewright.tasks.log.store_place import store_place


def rescue_store(into: str, store: str | None, *, unproven: bool = False) -> tuple[Moved, Rescue]:
    """Take what is sound into a new or empty store; the damaged one stays as it is.

    ``unproven``: also entries that can be read and which nothing proves.

    Raises
    ------
    NothingToRescueError, StoreNotEmptyError
    """
    location, target = store_place(store), store_place(into)
    with (
        opened_for_a_check(location) as (damaged, _),
        new_store_whole(target) as place,
        opened_store(place, make=True) as opened,
    ):
        refuse_full(opened, str(target))
        saved = save_sound_entries(damaged, opened, unproven=unproven)
        opened.settle()
    moved = Moved(
        entries=saved.entries,
        added=saved.entries,
        films=saved.films,
        digest=saved.digest,
        file=Path(str(location)),
        store=str(target),
    )
    return moved, saved


__all__ = ["rescue_store"]
