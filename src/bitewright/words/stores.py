"""What a store holds, what was moved in or out of it, and what is wrong with it."""

from collections.abc import Sequence

from bitewright.errors import plainly
from bitewright.words.phrases import counted

MOST_NAMED = 12
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


def numbers_words(first: int, last: int) -> str:
    """Entries beside one another."""
    return f"entry {first}" if first == last else f"entries {first} to {last}"


def _are(first: int, last: int) -> str:
    return "is" if first == last else "are"


def missing(first: int, last: int) -> str:
    """Entries are gone from the row of numbers."""
    return f"{numbers_words(first, last)} {_are(first, last)} missing"


def unsealed(first: int, last: int) -> str:
    """The seals of entries do not fit what they say."""
    return f"{numbers_words(first, last)} {_are(first, last)} not as written"


def unproven(first: int, last: int) -> str:
    """Entries can be read, and the seal that would prove them cannot."""
    return (
        f"{numbers_words(first, last)} can be read, but what stood before is damaged, so nothing "
        "proves what they say"
    )


def seal_damaged(first: int, last: int) -> str:
    """Seals or numbers of entries are damaged; what they say is proven by the next."""
    return (
        f"of {numbers_words(first, last)} only the seal or the number is damaged; what "
        f"{'it says' if first == last else 'they say'} is as written"
    )


def unreadable(first: int, last: int) -> str:
    """Entries cannot be read."""
    return f"{numbers_words(first, last)} cannot be read"


def not_allowed(number: int, why: str) -> str:
    """An entry holds what is not allowed."""
    return f"entry {number}: {why}"


def no_entries(said: str) -> str:
    """No entry at all can be read."""
    return f"no entry can be read: {said}"


def name_damaged(code: str) -> str:
    """A name is not as it was kept."""
    return f"the name kept for {code} is not as it was kept, so it is not shown"


def no_names(said: str) -> str:
    """The names cannot be read."""
    return f"no name can be read: {said}"


def columns_damaged(place: object) -> str:
    """Columns in the cache are not as they were written."""
    return (
        f"the columns for audits in {place} are not as written; `bitewright store check --rebuild` "
        "makes them afresh from the entries"
    )


COLUMNS_REMADE = "The columns for audits were made afresh from the entries."


def savable(sound: int, entries: int, *, unproven: int) -> str:
    """How much of a damaged store can be saved, and how.

    Parameters
    ----------
    sound, entries : int
        Entries that are as they were written, of all.
    unproven : int
        Those that can be read, and which nothing proves.
    """
    if not sound + unproven:
        return "No entry can be saved from it: restore the last backup."
    more = (
        f" With --unproven it takes {counted(unproven, 'more', 'more')} that can be read, though "
        "nothing proves what they say."
        if unproven
        else ""
    )
    return (
        f"{sound} of {counted(entries, 'entry', 'entries')} can be saved: `bitewright store rescue "
        f"NEW.sqlite` takes them into a new store.{more} A backup from before may hold them all."
    )


def attempt_damaged(student: str, number: int) -> str:
    """An attempt at an exercise, or the seal before it, is damaged."""
    return f"attempt {number} of {plainly(student)}, or the seal before it, is not as written"


def deletion_damaged(student: str) -> str:
    """The note that a student's attempts were deleted is damaged."""
    return f"the note that the record of {plainly(student)} was deleted is not as written"


def no_attempts(said: str) -> str:
    """The table of attempts cannot be read."""
    return f"the attempts cannot be read ({said})"


def rescued(entries: int, left: Sequence[tuple[int, int]], *, films: int) -> str:
    """What was saved of a damaged store into a new one, and what was not."""
    with_films = f" and {_files(films)}" if films else ""
    lost = f"; left out: {_numbers(left)}" if left else ""
    return (
        f"{counted(entries, 'entry', 'entries')}{with_films} saved{lost}. Numbers and seals are "
        "new, keys are as they were. The damaged store is as it was: keep it."
    )


def _numbers(ranges: Sequence[tuple[int, int]]) -> str:
    joined: list[tuple[int, int]] = []
    for first, last in ranges:
        if joined and joined[-1][1] >= first - 1:
            joined[-1] = (joined[-1][0], max(last, joined[-1][1]))
        else:
            joined.append((first, last))
    said = ", ".join(str(a) if a == b else f"{a} to {b}" for a, b in joined[:MOST_NAMED])
    more = len(joined) - MOST_NAMED
    return f"{said} and {more} more places" if more > 0 else said


def left_out(damaged: Sequence[tuple[int, int]]) -> str:
    """What a list leaves out, because it is not as it was written."""
    return (
        f"Entries that are damaged are left out ({_numbers(damaged)}), so exposures may be missing "
        "or stand otherwise than shown: `bitewright store check` tells more."
    )


__all__ = [
    "ALL_WELL",
    "COLUMNS_REMADE",
    "attempt_damaged",
    "columns_damaged",
    "dangling",
    "database_says",
    "deletion_damaged",
    "held_words",
    "left_out",
    "missing",
    "moved_words",
    "name_damaged",
    "no_attempts",
    "no_entries",
    "no_names",
    "not_allowed",
    "numbers_words",
    "rescued",
    "savable",
    "seal_damaged",
    "unproven",
    "unreadable",
    "unsealed",
]
