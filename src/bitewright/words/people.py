"""What became of a name that is kept beside the log."""

from collections.abc import Sequence


def name_kept(code: str) -> str:
    """A name is shown from now on."""
    return f"{code} is now shown with that name."


def name_deleted(code: str, *, by_a_server: bool) -> str:
    """A name is gone; what is kept of its bearer is the code.

    Parameters
    ----------
    code : str
    by_a_server : bool
        Whether a PostgreSQL server keeps the store.
    """
    also = (
        " What the server keeps to recover from a crash holds it until that is overwritten."
        if by_a_server
        else ""
    )
    return (
        f"The name of {code} is deleted; its entries and figures stay under the code. Backups made "
        f"before still hold it.{also}"
    )


def name_still_held(code: str, held: Sequence[str]) -> str:
    """A name is deleted, and files still hold it because somebody uses an earlier state."""
    return (
        f"The name of {code} is deleted, but {' and '.join(held)} may still hold it, as somebody "
        "is reading the store or writing a backup of it: end that, then give this command again "
        "until it says that no name is kept."
    )


__all__ = ["name_deleted", "name_kept", "name_still_held"]
