"""What was recorded in the log, taken into it or found in it."""

from bitewright.log.entry import Act, RecordedEntry
from bitewright.words.phrases import capital, counted


def recorded_words(act: Act, number: int, *, added: bool) -> str:
    """That an entry was written, or was there before."""
    done = f"{capital(act.value)} recorded as" if added else "Already there as"
    return f"{done} entry {number}"


def imported_words(*, added: int, already_there: int, bad: int, rows: int) -> str:
    """What became of a table's rows."""
    return (
        f"{counted(added, 'exposure')} added, {already_there} already there, "
        f"{counted(bad, 'bad row')} left out, of {counted(rows, 'row')}."
    )


def more_bad_rows(count: int) -> str:
    """How many bad rows are not listed."""
    return f"and {count} more."


def listed_words(*, listed: int, found: int, rejected: int, undecided: int) -> str:
    """How many exposures a list shows of those found, and how they were decided."""
    return (
        f"{counted(found, 'exposure')}, {listed} of them listed; {rejected} rejected, {undecided} "
        "not decided yet."
    )


ORIGINS = {
    "film-": "from a film",
    "gate-": "at the gate of a visit",
    "outcome-": "from the further film of a visit",
}
"""Where an entry came from, by how its key begins."""


def origin_words(key: str) -> str:
    """Where an entry came from, with a space before it; nothing where it was written by hand."""
    return next((f" {said}" for begins, said in ORIGINS.items() if key.startswith(begins)), "")


def entry_words(recorded: RecordedEntry, *, by: str) -> str:
    """One entry of an exposure's history: what was done, where, when, by whom and why."""
    entry = recorded.entry
    because = f": {entry.why}" if entry.why else ""
    what = f"{entry.act.value}{origin_words(entry.key)}"
    return f"{recorded.number}  {entry.written_at}  {what} by {by}{because}"


def history_line(
    act: Act, written_at: str, *, by: str | None, why: str | None, key: str = ""
) -> str:
    """One entry of an exposure's history on a page: what was done, where, when, by whom and why."""
    when = written_at.replace("T", " ").removesuffix("Z")
    who = f" by {by}" if by else ""
    because = f": {why}" if why else ""
    return f"{capital(act.value)}{origin_words(key)}, {when} (UTC){who}{because}"


def taken_away() -> str:
    """That a correction left a field without a value."""
    return "taken away"


def saved_words(act: Act, number: int, *, added: bool) -> str:
    """That a page's entry was written, or had been before."""
    what = {Act.EXPOSURE: "Exposure", Act.CORRECTION: "Correction", Act.DECISION: "Decision"}
    done = "saved as" if added else "was saved before as"
    return f"{what.get(act, capital(act.value))} {done} entry {number}."


def logged_before_words(label: str, number: int) -> str:
    """That a film is in the log already, and where what is written of it is changed."""
    return (
        f"The film “{label}” is exposure {number} in the log already, and saving it again adds "
        "nothing: open it in the list below to correct it or to decide anew."
    )


__all__ = [
    "entry_words",
    "history_line",
    "imported_words",
    "listed_words",
    "logged_before_words",
    "more_bad_rows",
    "recorded_words",
    "saved_words",
    "taken_away",
]
