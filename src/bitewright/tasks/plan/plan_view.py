"""Plan a view: the best aim and place, and how far each hand movement may slip."""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from bitewright import __version__
from bitewright.estimation.mouth_belief import MouthBelief
from bitewright.estimation.mouth_shapes import mouth_shapes
from bitewright.exposing.contact_error import contact_error_deg, contact_errors_deg
from bitewright.exposing.exposure import Station, fitting
from bitewright.exposing.project import Shapes
from bitewright.exposing.receptor_edges import EdgePlace, edge_places
from bitewright.exposing.scatter import Scatter
from bitewright.files.scatter_file import read_scatter
from bitewright.planning.believed_mouth import plan_for_belief
from bitewright.planning.best_aim import FREE, Held, Plan, best_aim
from bitewright.planning.expected_success import Success
from bitewright.planning.first_time import FirstTime, first_time
from bitewright.planning.ladder import WORKS
from bitewright.planning.odds import DRAWS, OPERATOR, HandOdds, odds_of
from bitewright.planning.plan_by_odds import Leaving, plan_by_odds
from bitewright.planning.stated_hands import MIDDLING, stated_hands
from bitewright.planning.tolerance import Slip, tolerances
from bitewright.quality.criteria import CriterionName, criteria
from bitewright.quality.findings import (
    ContactFinding,
    Finding,
    contact_findings,
    findings,
)
from bitewright.quality.predicted import asked
from bitewright.quality.questions import AnyQuestion
from bitewright.quality.rating import Outcome
from bitewright.quality.rating_schemes import RatingScheme
from bitewright.quality.views import View
from bitewright.row_bands import Threads
from bitewright.steps import Begin, unwatched
from bitewright.tasks.all_cores import all_cores
from bitewright.tasks.documents import (
    contact_document,
    edges_document,
    equipment_document,
    finding_document,
    known_deg,
    rating_document,
)
from bitewright.tasks.plan.planned_place import planned_place_words
from bitewright.tasks.plan.predicted_fitness import predicted_fitness
from bitewright.tasks.plan.set_exposure import HandSetting
from bitewright.tasks.rated_by import RatedBy
from bitewright.words.odds import hand_title
from bitewright.words.plans import SLIP_WORDS
from bitewright.words.titles import criterion_title

PLAN_FORMAT = "bitewright.plan/1"
SEED = 0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ViewPlan:
    """The plan of a view with its tolerances."""

    plan: Plan
    slips: tuple[Slip, ...]
    findings: tuple[Finding, ...]
    contacts: tuple[ContactFinding, ...]
    edges: tuple[EdgePlace, ...]
    contact_error_deg: float
    question: AnyQuestion
    scheme: RatingScheme
    grade: str
    open_share: NDArray[np.float64] | None = None
    first_time: FirstTime | None = None
    odds: tuple[HandOdds, ...] = ()
    leaving: Leaving | None = None
    planned_place: str = ""

    @property
    def fitness(self) -> str:
        """Whether what is planned answers the question, what it does not show, and why."""
        said = predicted_fitness(self.plan.prediction, self.question, self.findings)
        return f"{said} {self.planned_place}".strip()

    @property
    def works(self) -> bool:
        """Whether it serves often enough to be set up, and the patient can close on it."""
        return self.serves and self.closes

    @property
    def serves(self) -> bool:
        """Whether its film serves often enough to be set up."""
        failed = any(each.outcome is Outcome.FAILED for each in self.findings)
        hands = {each.hand: each.in_this_mouth.chance for each in self.odds}
        return hands.get(OPERATOR, hands.get(MIDDLING, 0.0 if failed else 1.0)) >= WORKS

    @property
    def closes(self) -> bool:
        """Whether the patient can close on it, as nearly as the criterion asks."""
        closure = float(self.plan.exposure.seat.closure_mm[0])
        return closure <= criteria()[CriterionName.CLOSURE].met

    def document(self) -> dict[str, Any]:
        """As data for machines."""
        setting, at = self.plan.setting, self.plan.station
        return (
            {
                "format": PLAN_FORMAT,
                "version": __version__,
                "view": self.plan.view.name,
                "view_title": self.plan.view.title,
                "mouth": at.outlines.mouth.name,
                "equipment": equipment_document(at),
                "placement": {
                    "forward_mm": setting.forward_mm,
                    "lingual_mm": setting.lingual_mm,
                    "turn_deg": setting.turn_deg,
                    "tilt_deg": setting.tilt_deg,
                },
                "edges": edges_document(self.edges),
                "aim": {
                    "ring_offset_deg": setting.ring_offset_deg,
                    "vertical_deg": setting.vertical_deg,
                },
                "works": self.works,
                "contact_error_deg": known_deg(self.contact_error_deg),
                "closure_mm": round(float(self.plan.exposure.seat.closure_mm[0]), 2),
                "rating": rating_document(self.scheme, self.grade, self.question, self.fitness),
                "criteria": [finding_document(finding) for finding in self.findings],
                "contacts": [contact_document(contact) for contact in self.contacts],
                "tolerances": [_slip_document(slip) for slip in self.slips],
            }
            | self._chances_document()
            | _first_time_document(self.first_time)
            | self._odds_document()
        )

    def _odds_document(self) -> dict[str, Any]:
        if not self.odds:
            return {}
        leaving = self.leaving
        return {
            "odds": [
                {
                    "hand": each.hand,
                    "title": hand_title(each.hand),
                    "in_this_mouth": _success_document(each.in_this_mouth),
                    "in_any_mouth": _success_document(each.in_any_mouth),
                }
                for each in self.odds
            ],
            "leaving_ring": None
            if leaving is None
            else {
                "forward_mm": leaving.setting.forward_mm,
                "turn_deg": leaving.setting.turn_deg,
                "ring_offset_deg": leaving.setting.ring_offset_deg,
                "vertical_deg": leaving.setting.vertical_deg,
                "gain": round(leaving.gain, 3),
            },
        }

    def _chances_document(self) -> dict[str, Any]:
        return {"open_chances": self.open_chances} if self.open_share is not None else {}

    @property
    def open_chances(self) -> dict[str, float]:
        """Chance of each contact to be open in the believed mouth; empty for a known one."""
        if self.open_share is None:
            return {}
        names = [contact.name for contact in self.contacts]
        return dict(zip(names, self.open_share.round(3).tolist(), strict=True))


def plan_view(
    of_view: View,
    at: Station,
    *,
    belief: MouthBelief | None = None,
    scatter: Scatter | None = None,
    held: Held = FREE,
    by: RatedBy,
    with_odds: bool = False,
    begin: Begin = unwatched,
) -> ViewPlan:
    """Find the best setting for a view and its tolerances.

    Parameters
    ----------
    of_view : View
    at : Station
    belief : MouthBelief or None
        What films taught about the station's mouth; the plan is then for all it may be.
    scatter : Scatter or None
        Whose usual errors the chance of success is worked out for.
    held : Held
    by : RatedBy
    with_odds : bool
        Whether the set-up is chosen by how likely it serves, and its odds are worked out.
    begin : Begin

    Raises
    ------
    StoppedError
        If `begin` stopped it.
    ReceptorTooLargeError, CannotOpenError
        If even the best setting does not fit the mouth.
    """
    question, scheme = by.question, by.scheme
    with all_cores() as threads:
        by_odds = with_odds and belief is None
        hand = scatter or stated_hands()[MIDDLING].scatter
        plan, leaving = _searched(of_view, at, held, hand if by_odds else None, by, threads, begin)
        begin("the room left")
        open_share, chance = None, None
        if belief is not None:
            believed = plan_for_belief(
                plan,
                belief,
                generator=np.random.default_rng(SEED),
                question=question,
                threads=threads,
            )
            plan, open_share = believed.plan, believed.open_share
        if scatter is not None:
            generator = np.random.default_rng(SEED)
            chance = first_time(plan, scatter, generator, question=question, threads=threads)
        odds: tuple[HandOdds, ...] = ()
        if with_odds:
            begin("the odds")
            odds = odds_of(
                plan,
                scatter,
                seed=SEED,
                believed=None if belief is None else _drawn(belief, plan),
                question=question,
                threads=threads,
            )
    fitting(plan.exposure)
    sites = asked(of_view, at).targets.sites
    rating = plan.prediction.rating
    return ViewPlan(
        plan=plan,
        slips=tolerances(plan, question=question),
        findings=findings(plan.prediction.measurements, rating, question=question),
        contacts=contact_findings(plan.prediction.measurements, rating),
        edges=edge_places(plan.exposure),
        contact_error_deg=float(contact_error_deg(contact_errors_deg(plan.exposure, sites))[0]),
        question=question,
        scheme=scheme,
        grade=rating.grade(scheme)[0],
        open_share=open_share,
        first_time=chance,
        odds=odds,
        leaving=leaving,
        planned_place=_place_words(plan, question)
        if belief is None and held.forward_mm is None
        else "",
    )


def _place_words(plan: Plan, question: AnyQuestion) -> str:
    """What the contacts that a plan's place leaves off the image would be on it; else nothing."""
    chosen, at = plan.setting, plan.station
    setting = HandSetting(
        forward_mm=chosen.forward_mm,
        turn_deg=chosen.turn_deg,
        tilt_deg=chosen.tilt_deg,
        ring_offset_deg=chosen.ring_offset_deg,
        vertical_deg=chosen.vertical_deg,
    )
    return planned_place_words(setting, at, asked(plan.view, at), question=question)


def _searched(
    of_view: View,
    at: Station,
    held: Held,
    hand: Scatter | None,
    by: RatedBy,
    threads: Threads,
    begin: Begin,
) -> tuple[Plan, Leaving | None]:
    """What most likely serves in a hand and what leaving its ring would gain, or the best aim."""
    if hand is None:
        found = best_aim(
            of_view,
            at,
            allow_turn=held.allow_turn,
            forward_mm=held.forward_mm,
            flush=held.flush,
            question=by.question,
            threads=threads,
            begin=begin,
        )
        return found, None
    chosen = plan_by_odds(
        of_view,
        at,
        hand,
        generator=np.random.default_rng(SEED),
        held=held,
        question=by.question,
        threads=threads,
        begin=begin,
    )
    return chosen.plan, chosen.leaving


def _drawn(belief: MouthBelief, plan: Plan) -> Shapes:
    """Mouths drawn from a belief, as many as odds need."""
    region = plan.station.region
    from_here = belief.seen_from(region.side)
    shapes = mouth_shapes(belief.teeth, region, belief.closed).rebuilt_at(from_here.mean, region)
    of = asked(plan.view, plan.station)
    return shapes.of(from_here.drawn(DRAWS, np.random.default_rng(SEED)), of.targets)


def _success_document(found: Success) -> dict[str, Any]:
    return {
        "chance": round(found.chance, 3),
        "error": round(found.error, 3),
        "shown": round(found.shown, 3),
        "fails_most": [
            {"criterion": name.value, "title": criterion_title(name), "chance": round(share, 3)}
            for name, share in found.fails_most
        ],
    }


def _first_time_document(chance: FirstTime | None) -> dict[str, Any]:
    if chance is None:
        return {}
    return {
        "first_time": {
            "as_planned": round(chance.as_planned, 4),
            "none_failed": round(chance.none_failed, 4),
            "costs_most": chance.costs_most,
            "costs_most_title": criterion_title(chance.costs_most) or None,
            "draws": chance.draws,
        }
    }


def _slip_document(slip: Slip) -> dict[str, Any]:
    return {
        "slip": slip.movement.value,
        "movement": SLIP_WORDS[slip.movement],
        "unit": slip.unit,
        "until_target_lost": slip.until_short,
        "target_lost": slip.short_criterion,
        "target_lost_title": criterion_title(slip.short_criterion) or None,
        "until_failed": slip.until_failed,
        "failed": slip.failed_criterion,
        "failed_title": criterion_title(slip.failed_criterion) or None,
        "tried": slip.tried,
    }


__all__ = ["ViewPlan", "plan_view", "read_scatter"]
