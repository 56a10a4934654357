"""What is wrong with a store, a clause a problem."""


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


__all__ = ["dangling", "database_says", "missing", "unreadable", "unsealed"]
