"""What a store holds, what was moved in or out of it, and what is wrong with it."""

from bitewright.words.phrases import counted

ALL_WELL = "Everything is as it was written."


def held_words(*, entries: int, exposures: int, files: int) -> str:
    """What a check looked at; ``files``: films and assessments kept beside the store."""
    return (
        f"{counted(entries, 'entry', 'entries')} on {counted(exposures, 'exposure')}, "
        f"{_files(files)}."
    )


def moved_words(did: str, file: object, *, entries: int, new: int | None, files: int) -> str:
    """What went into a file or came out of it.

    Parameters
    ----------
    did : str
        Such as "backed up to".
    file : object
        Its path.
    entries : int
    new : int or None
        How many of them were not there before; None where nothing came in.
    files : int
        Films and assessments.
    """
    added = "" if new is None else f", {new} of them new"
    with_files = f", {_files(files)}" if files else ""
    return f"{counted(entries, 'entry', 'entries')}{added}{with_files} {did} {file}"


def _files(count: int) -> str:
    return counted(count, "film or assessment", "films and assessments")


def database_says(said: str) -> str:
    """The database's own check found something."""
    return f"the database says: {said}"


def dangling(number: int) -> str:
    """An entry is about one that is not in the store."""
    return f"entry {number} speaks of an entry that is not there"


def missing(first: int, last: int) -> str:
    """Entries are gone from the row of numbers."""
    if first == last:
        return f"entry {first} is missing"
    return f"entries {first} to {last} are missing"


def unsealed(number: int) -> str:
    """An entry's seal does not fit what was written before."""
    return f"entry {number} or one before it is not as it was written"


def unreadable(number: int, why: str) -> str:
    """An entry holds what is not allowed."""
    return f"entry {number}: {why}"


__all__ = [
    "ALL_WELL",
    "dangling",
    "database_says",
    "held_words",
    "missing",
    "moved_words",
    "unreadable",
    "unsealed",
]
