"""The checklists to lay at the chair: of the faults that this record's own rejected films show."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from pathlib import Path

import numpy as np

from bitewright import __version__
from bitewright.audit.faults import FEWEST_NOTED, FaultCount, fault_pareto
from bitewright.audit.groupings import date_of
from bitewright.audit.logged_exposures import Filter, LoggedExposures
from bitewright.errors import BitewrightError, quoted
from bitewright.files.disk import write_file
from bitewright.log.faults import fault_kinds
from bitewright.report.checklist_cards import (
    ChecklistCard,
    ChecklistPaper,
    checklist_cards_html,
    checklist_cards_pdf,
)
from bitewright.store.opening import NoStoreError
from bitewright.tasks.audit.audit_request import Source
from bitewright.tasks.catalogue.own_checklists import known_checklists
from bitewright.tasks.log.logged_exposures import StoreRecord
from bitewright.tasks.plan.chair_card import check_card_file
from bitewright.words.audit_answers import noted_on
from bitewright.words.audit_report import made_words
from bitewright.words.checklists import GENERAL_ONE, HERE_TITLE, few_faults, films_looked_at
from bitewright.words.phrases import capital

MOST_FAULTS = 3
"""Faults on a card: what a person reads before pressing. Our choice."""

GENERAL = ("overlap", "receptor-placement", "cone-cut")
"""What goes wrong with bitewings elsewhere: overlap on 57.9% of 240 films by students and coverage
lacking on 10% (Compend Oral Sci 2020;7(1):32-40); a receptor too far to the front or the back in 18
and 29% of bitewings taken again (J Dent Educ 2018;82(1):61-68); cone cuts: common practice, no
source."""


class LastFilmsError(BitewrightError):
    """So many last films were asked for as cannot be."""

    def __init__(self, given: object) -> None:
        self.given = given
        super().__init__(
            f"The last {quoted(given)} films cannot be looked at: give a whole number from 1 on."
        )


class CardKind(StrEnum):
    """What a card is written as."""

    PDF = "pdf"
    HTML = "html"


@dataclass(frozen=True, slots=True, kw_only=True)
class ChairChecklists:
    """What to look at here before an exposure.

    Parameters
    ----------
    title, about : str
        Heading, and which films were looked at.
    few : str
        That too few faults are noted to tell; empty where there are enough.
    cards : tuple of ChecklistCard
        The most frequent fault first, as in the audit's report.
    """

    title: str
    about: str
    few: str
    cards: tuple[ChecklistCard, ...]


def chair_checklists(source: Source, wanted: Filter, *, last: int | None = None) -> ChairChecklists:
    """The most frequent faults of the films asked for, each with its checklist.

    Parameters
    ----------
    source : callable
        Gives the exposures.
    wanted : Filter
    last : int, optional
        Only so many of them, the newest.

    Raises
    ------
    LastFilmsError, UnknownLabelError, NoStoreError
    """
    if last is not None and last < 1:
        raise LastFilmsError(last)
    log = _films(source, wanted)
    if log is not None and last is not None:
        log = _newest(log, last)
    if log is None or not len(log):
        return _of((), noted=0, about=films_looked_at(0, 0, "", ""))
    noted = len(np.unique(log.fault_row[log.rejected[log.fault_row]]))
    days = date_of(int(log.day.min())), date_of(int(log.day.max()))
    return _of(
        fault_pareto(log, rejects_only=True),
        noted=noted,
        about=films_looked_at(len(log), int(log.rejected.sum()), *days),
    )


def last_films(text: str) -> int:
    """How many of the newest films, from text; raises `LastFilmsError`."""
    if not (text.isascii() and text.isdigit()):
        raise LastFilmsError(text)
    return int(text)


def _films(source: Source, wanted: Filter) -> LoggedExposures | None:
    """The exposures asked for; None where nothing was ever logged in the usual store."""
    try:
        return source().taken(wanted)
    except NoStoreError:
        if isinstance(source, StoreRecord) and source.store is None:
            return None
        raise


def _newest(log: LoggedExposures, count: int) -> LoggedExposures:
    mask = np.zeros(len(log), dtype=np.bool_)
    mask[np.argsort(log.day, kind="stable")[-count:]] = True
    return log.where(mask)


def _of(faults: tuple[FaultCount, ...], *, noted: int, about: str) -> ChairChecklists:
    own = [(each.label, capital(noted_on(each))) for each in faults[:MOST_FAULTS]]
    shown = list(own)
    is_few = noted < FEWEST_NOTED
    if is_few:
        there = {label for label, _ in shown}
        shown += [(label, GENERAL_ONE) for label in GENERAL if label not in there]
        shown = shown[:MOST_FAULTS]
    known = known_checklists()
    return ChairChecklists(
        title=HERE_TITLE,
        about=about,
        few=few_faults(noted, FEWEST_NOTED, general=len(shown) > len(own)) if is_few else "",
        cards=tuple(
            ChecklistCard(
                title=fault_kinds()[label].title,
                says=fault_kinds()[label].says,
                noted=said,
                looks=known[label].looks,
                source=known[label].source,
            )
            for label, said in shown
            if label in known
        ),
    )


def checklist_card(told: ChairChecklists, kind: CardKind, paper: ChecklistPaper) -> bytes:
    """The card as a file's bytes."""
    made = made_words(__version__, date.today().isoformat())  # noqa: DTZ011 - the reader's day
    says = " ".join(each for each in (told.about, told.few) if each)
    if kind is CardKind.HTML:
        page = checklist_cards_html(told.cards, made=made, title=told.title, says=says, paper=paper)
        return page.encode()
    return checklist_cards_pdf(told.cards, made=made, title=told.title, says=says, paper=paper)


def write_checklist_card(told: ChairChecklists, path: Path, paper: ChecklistPaper) -> None:
    """Write the card, by how the file's name ends.

    Raises
    ------
    CardFileError, FileUnwritableError
    """
    check_card_file(path)
    kind = CardKind(path.suffix.lower().removeprefix("."))
    write_file(path, checklist_card(told, kind, paper))


__all__ = [
    "CardKind",
    "ChairChecklists",
    "ChecklistPaper",
    "LastFilmsError",
    "chair_checklists",
    "checklist_card",
    "last_films",
    "write_checklist_card",
]
