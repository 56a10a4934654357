"""The gate before another exposure: what stands before it, and a person's decision, logged once."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from bitewright import __version__
from bitewright.equipment.catalogue import Catalogue
from bitewright.equipment.tubes import FieldShape
from bitewright.errors import BitewrightError
from bitewright.estimation.mouth_belief import MouthBelief
from bitewright.exposing.scatter import Scatter
from bitewright.mouth.numbering import Side
from bitewright.quality.questions import AnyQuestion
from bitewright.tasks.all_cores import all_cores
from bitewright.tasks.catalogue.named import Equipment
from bitewright.tasks.log.record_exposure import Recorded
from bitewright.tasks.visit.best_exposure import BestExposure, best_exposure
from bitewright.tasks.visit.mouth_of_visit import mouth_of_visit
from bitewright.tasks.visit.read_visit import VisitAnswer, read_visits
from bitewright.visit.film_evidence import FilmOfVisit
from bitewright.visit.gate import Gate, Stated, bitewing_dose_usv, gate
from bitewright.visit.sites import BOTH_SIDES
from bitewright.visit.sorted_films import SetAside
from bitewright.words.caution import CAUTION
from bitewright.words.gates import (
    DOSE_SOURCE,
    ODDS_CAVEAT,
    WHAT_ELSE,
    dose_words,
    failed_words,
    not_exposing_words,
    odds_words,
    withheld_words,
)

GATE_FORMAT = "bitewright.gate/1"


class SeveralVisitsError(BitewrightError):
    """A gate was asked for films of more than one visit."""

    def __init__(self, count: int) -> None:
        super().__init__(
            f"The films are of {count} visits, a gate is before one: give one patient's films of "
            "one day."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Hand:
    """A hand as it is called, and its scatter."""

    title: str
    scatter: Scatter


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class GateAnswer:
    """What stands before another exposure, in numbers and words."""

    visit: VisitAnswer
    gate: Gate
    best: BestExposure | None
    hand: Hand
    field: FieldShape
    set_aside: tuple[SetAside, ...] = ()

    @property
    def is_offered(self) -> bool:
        """Whether an exposure is offered: nothing withholds it, and one fits."""
        return self.gate.is_offered and self.best is not None

    @property
    def film_in_question(self) -> FilmOfVisit:
        """The film that a decision is about: the last one that failed, else what is doubtful."""
        films = self.visit.ledger.films
        failed = [each for each in films if each.view.name in self.gate.failed]
        doubtful = [films[row.best] for row in self.gate.doubtful if row.best is not None]
        return (failed or doubtful[:1] or films[:1])[-1]

    @property
    def not_exposing(self) -> tuple[str, ...]:
        """What is to be marked first, what not exposing leaves, and what else may do."""
        return (*not_exposing_words(self.visit.ledger), WHAT_ELSE)

    @property
    def exposing(self) -> tuple[str, ...]:
        """Why no exposure is offered; or what one may win, and its dose."""
        withheld = withheld_words(self.gate)
        if withheld or self.best is None:
            return (*withheld, *failed_words(self.gate))
        dose = bitewing_dose_usv(self.field)
        return (
            *failed_words(self.gate),
            *odds_words(self.best.view, self.best.odds, self.hand.title),
            ODDS_CAVEAT,
            dose_words(dose.least_usv, dose.most_usv, DOSE_SOURCE),
        )

    def document(self, recorded: Recorded | None = None) -> dict[str, Any]:
        """As data for machines."""
        best = self.best
        dose = bitewing_dose_usv(self.field)
        return {
            "format": GATE_FORMAT,
            "version": __version__,
            "patient": self.visit.patient,
            "taken_on": self.visit.taken_on,
            "unread": [row.name for row in self.gate.unread],
            "not_marked": [row.name for row in self.gate.not_marked],
            "doubtful": {row.name: round(row.chance, 3) for row in self.gate.doubtful},
            "not_exposing": list(self.not_exposing),
            "offered": self.is_offered,
            "exposing": list(self.exposing),
            "best": None
            if best is None
            else {
                "view": best.view.name,
                "hand": self.hand.title,
                "chances": {name: round(odd, 3) for name, odd in best.odds.places.items()},
                "all": round(best.odds.all_of_them, 3),
                "none": round(1.0 - best.odds.at_least_one, 3),
                "dose_usv": [dose.least_usv, dose.most_usv],
            },
            "set_aside": [{"film": each.name, "why": each.why} for each in self.set_aside],
            "caution": CAUTION,
            "recorded": None
            if recorded is None
            else {"number": recorded.number, "key": recorded.key, "added": recorded.added},
        }


def gate_visit(
    paths: Sequence[Path],
    known: Catalogue,
    question: AnyQuestion,
    stated: Stated,
    *,
    by: Equipment,
    hand: Hand,
    belief: MouthBelief | None = None,
    sides: Sequence[Side] = BOTH_SIDES,
) -> GateAnswer:
    """What stands before another exposure of one visit.

    Raises
    ------
    SeveralVisitsError
    BitewrightError
        As `read_visits`.
    """
    read = read_visits(paths, known, question, sides=sides)
    if len(read.visits) != 1:
        raise SeveralVisitsError(len(read.visits))
    told = gate_of(read.visits[0], stated, by=by, hand=hand, belief=belief)
    return replace(told, set_aside=read.set_aside)


def gate_of(
    visit: VisitAnswer,
    stated: Stated,
    *,
    by: Equipment,
    hand: Hand,
    belief: MouthBelief | None = None,
) -> GateAnswer:
    """What stands before another exposure of a visit that is read already."""
    told = visit.ledger
    found = gate(told, stated)
    best = None
    if found.is_offered:
        sides = {each.region.side for each in found.views}
        with all_cores() as threads:
            best = best_exposure(
                found.views,
                [row.name for row in found.unread],
                {side: mouth_of_visit(told.films, side, by, belief) for side in sides},
                by,
                hand.scatter,
                told.question,
                threads=threads,
            )
    return GateAnswer(
        visit=visit,
        gate=found,
        best=best,
        hand=hand,
        field=by.tube.field,
    )


__all__ = [
    "GATE_FORMAT",
    "GateAnswer",
    "Hand",
    "gate_of",
    "gate_visit",
]
