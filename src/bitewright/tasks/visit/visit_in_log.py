"""What the log knows of a visit's films: the film in question, and decisions without an outcome."""

from collections.abc import Sequence
from dataclasses import dataclass

from bitewright.store.entries import NoSuchEntryError
from bitewright.store.opening import NoStoreError
from bitewright.tasks.log.read_log import ExposureHistory, show_exposure
from bitewright.tasks.visit.gate_visit import GateAnswer
from bitewright.tasks.visit.logged_film import logged_key
from bitewright.visit.film_evidence import FilmOfVisit
from bitewright.words.gates import DECISIONS_HERE, EXPOSE, SIGN_CAUTION, in_log_words


@dataclass(frozen=True, slots=True, kw_only=True)
class WaitingOutcome:
    """A decision to expose once more whose outcome is not kept.

    Parameters
    ----------
    exposure : int
    about : str
        The key of its exposure.
    reason : str
        As it was signed.
    further : tuple of (str, str)
        Films that may be the further one: name and title.
    """

    exposure: int
    about: str
    reason: str
    further: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitInLog:
    """What a page needs to sign a decision, and to keep what came of one.

    Parameters
    ----------
    film : str
        The film in question, as it is called.
    is_logged : bool
    said : str
        Whether it is in the log.
    decisions : tuple of (str, str)
        What may be decided, by name and as it is called.
    caution : str
    waiting : tuple of WaitingOutcome
    """

    film: str
    is_logged: bool
    said: str
    decisions: tuple[tuple[str, str], ...]
    caution: str
    waiting: tuple[WaitingOutcome, ...]


def visit_in_log(answer: GateAnswer, store: str | None = None) -> VisitInLog:
    """What the log knows of a visit's films.

    Raises
    ------
    DamagedEntryError
        If an entry about one of them is not as it was written.
    """
    films = answer.visit.ledger.films
    titles = dict(zip((each.name for each in films), answer.visit.film_titles, strict=True))
    known = {each.name: _history(each, store) for each in films}
    asked = answer.film_in_question
    there = known[asked.name]
    waiting = tuple(
        WaitingOutcome(
            exposure=found.entries[0].number,
            about=found.entries[0].entry.key,
            reason=reason,
            further=tuple((each.name, titles[each.name]) for each in may_be_further(name, films)),
        )
        for name, found in known.items()
        if found is not None and (reason := _waits(found))
    )
    return VisitInLog(
        film=titles[asked.name],
        is_logged=there is not None,
        said=in_log_words(None if there is None else there.entries[0].number),
        decisions=tuple(DECISIONS_HERE.items()),
        caution=SIGN_CAUTION,
        waiting=waiting,
    )


def may_be_further(name: str, films: Sequence[FilmOfVisit]) -> list[FilmOfVisit]:
    """Films that may have come of a decision on one: its side's others, those of its view first."""
    first = next(each for each in films if each.name == name)
    others = [
        each
        for each in films
        if each.name != name and each.view.region.side is first.view.region.side
    ]
    return sorted(others, key=lambda each: each.view.name != first.view.name)


def _history(film: FilmOfVisit, store: str | None) -> ExposureHistory | None:
    key = logged_key(film)
    try:
        return None if key is None else show_exposure(key, store)
    except (NoSuchEntryError, NoStoreError):
        return None


def _waits(found: ExposureHistory) -> str:
    """The reason of a decision to expose whose odds have no outcome; empty where there is none."""
    if "stated_odds" not in found.state or "read_after" in found.state:
        return ""
    reasons = [each.entry.why or "" for each in found.entries if each.entry.key.startswith("gate-")]
    return reasons[-1] if reasons and reasons[-1].startswith(EXPOSE) else ""


__all__ = ["VisitInLog", "WaitingOutcome", "visit_in_log"]
