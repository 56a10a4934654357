"""What to try in order where a view is hard to take: each step with its odds and what it loses."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from bitewright.equipment.holders import Holder, HolderKind
from bitewright.equipment.receptors import Receptor, ReceptorKind
from bitewright.exposing.exposure import Station, aimed, station
from bitewright.exposing.region import Format, Zone
from bitewright.exposing.scatter import Scatter
from bitewright.exposing.seating import seat
from bitewright.planning.best_aim import Plan, Setting
from bitewright.planning.expected_success import Success, served, shown_each
from bitewright.planning.patient_limits import NO_LIMITS, Patient
from bitewright.planning.set_up_search import Freedoms, likeliest_set_up
from bitewright.planning.slipped import slipped
from bitewright.quality.criteria import Question
from bitewright.quality.predicted import Asked, asked, predict
from bitewright.quality.questions import AnyQuestion, needs
from bitewright.quality.views import View, view, view_names
from bitewright.row_bands import ALONE, Threads
from bitewright.steps import Begin, unwatched

Floats = NDArray[np.float64]

WEIGHED_BY, DRAWS = 200, 500
"""Slips that set-ups of a step are weighed by, and those that a step's odds are of. Our choice."""

WORKS = 0.5
"""A step that serves less often than this does not work. Our choice."""

AS_GOOD = 0.05
"""The first step within this of the likeliest is the one to take. Our choice."""


class StepKind(StrEnum):
    """What a step does, in the order in which things are tried. Common practice, no source."""

    BESIDE = "beside"
    NEARER = "nearer"
    TURNED = "turned"
    TILTED = "tilted"
    OFF_RING = "off-ring"
    TAB = "tab"
    SMALLER = "smaller"
    PLATE_OR_FILM = "plate-or-film"
    UPRIGHT = "upright"
    OTHER_VIEW = "other-view"


@dataclass(frozen=True, slots=True, kw_only=True)
class Owned:
    """What a room has to take a film with, and the steps that are open to it."""

    receptors: tuple[Receptor, ...]
    holders: tuple[Holder, ...]
    steps: frozenset[StepKind] = frozenset(StepKind)


@dataclass(frozen=True, slots=True, kw_only=True)
class LadderStep:
    """One step before it is tried."""

    kind: StepKind
    of: View
    receptor: Receptor
    holder: Holder
    freedoms: Freedoms


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Tried:
    """A step and what came of it.

    Parameters
    ----------
    step : LadderStep
    plan : Plan or None
        Its likeliest set-up; None if nothing fits the patient.
    odds : mapping of str to Success
        By hand; empty if nothing fits.
    not_shown : tuple of str
        Surfaces and crests that the question needs of the asked view and that are not on its film.
    """

    step: LadderStep
    plan: Plan | None
    odds: Mapping[str, Success]
    not_shown: tuple[str, ...]

    def chance(self, hand: str) -> float:
        """The chance in a hand, 0 if nothing fits."""
        return self.odds[hand].chance if self.plan is not None else 0.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Ladder:
    """The steps in order.

    Parameters
    ----------
    tried : tuple of Tried
    hand : str
        By whose chances the step to take is told.
    take : Tried or None
        The first step about as likely as any of this view; None where none works.
    likeliest : Tried
        Of this view.
    """

    tried: tuple[Tried, ...]
    hand: str
    take: Tried | None
    likeliest: Tried


@dataclass(frozen=True, slots=True, kw_only=True)
class HandsAsked:
    """Whose odds are told.

    Parameters
    ----------
    scatters : mapping of str to Scatter
        By the hand's name.
    decides : str
        The hand whose chances decide.
    seed : int
        Of the slips that are drawn.
    """

    scatters: Mapping[str, Scatter]
    decides: str
    seed: int = 0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Case:
    """What all steps are tried with: slips, what is needed, what the patient bears."""

    weights: Floats
    errors: Mapping[str, Floats]
    needed: tuple[str, ...]
    bears: Patient
    question: AnyQuestion
    threads: Threads


def ladder(
    of: View,
    at: Station,
    owned: Owned,
    hands: HandsAsked,
    *,
    bears: Patient = NO_LIMITS,
    question: AnyQuestion = Question.ENAMEL,
    threads: Threads = ALONE,
    begin: Begin = unwatched,
) -> Ladder:
    """Try every step and tell which is the first that works as well as any.

    Parameters
    ----------
    of, at
        The view asked, with the receptor and holder that would be taken as usual.
    owned : Owned
    hands : HandsAsked
    bears : Patient
        The patient's limits.
    begin : Begin
        Told the kind of each step.
    """
    here = borne_by(at, bears)
    drawn = np.random.default_rng(hands.seed)
    case = _Case(
        weights=hands.scatters[hands.decides].draw(drawn, WEIGHED_BY),
        errors={name: hand.draw(drawn, DRAWS) for name, hand in hands.scatters.items()},
        needed=_needed(asked(of, here), question),
        bears=bears,
        question=question,
        threads=threads,
    )
    tried: list[Tried] = []
    for step in steps_for(of, at.receptor, at.holder, owned):
        if step.kind not in owned.steps:
            continue
        begin(step.kind.value)
        there = station(here.outlines, step.of.region, step.receptor, step.holder, at.tube)
        tried.append(_try(step, there, _simpler(tried, step), case))
    return judged(tried, hands.decides)


def borne_by(at: Station, bears: Patient) -> Station:
    """The same station in the mouth of a patient with limits."""
    lines = at.outlines
    lines = replace(lines, mouth=replace(lines.mouth, room=bears.room(lines.mouth.room)))
    return station(lines, at.region, at.receptor, at.holder, at.tube)


def judged(tried: Iterable[Tried], by_hand: str) -> Ladder:
    """Steps tried, and which of them to take."""
    tried = tuple(tried)
    same = [each for each in tried if each.step.kind is not StepKind.OTHER_VIEW]
    likeliest = max(same, key=lambda each: each.chance(by_hand))
    most = likeliest.chance(by_hand)
    take = next((each for each in same if each.chance(by_hand) >= most - AS_GOOD), None)
    return Ladder(
        tried=tried, hand=by_hand, take=take if most >= WORKS else None, likeliest=likeliest
    )


def _simpler(tried: Iterable[Tried], step: LadderStep) -> list[Setting]:
    """Set-ups found by steps of fewer freedoms with the same receptor and holder."""
    return [
        each.plan.setting
        for each in tried
        if each.plan is not None
        and (each.step.of, each.step.receptor, each.step.holder)
        == (step.of, step.receptor, step.holder)
    ]


def steps_for(of: View, receptor: Receptor, holder: Holder, owned: Owned) -> list[LadderStep]:
    """The steps that what is owned allows, in order."""
    flush = not holder.ring
    steps = [
        LadderStep(kind=kind, of=of, receptor=receptor, holder=holder, freedoms=freedoms)
        for kind, freedoms in (
            (StepKind.BESIDE, Freedoms(nearer=False, turn=False, tilt=False, swing=flush)),
            (StepKind.NEARER, Freedoms(turn=False, tilt=False, swing=flush)),
            (StepKind.TURNED, Freedoms(tilt=False, swing=flush)),
            (StepKind.TILTED, Freedoms(swing=flush)),
        )
    ]
    if holder.ring:
        off = Freedoms(swing=True)
        steps.append(
            LadderStep(
                kind=StepKind.OFF_RING, of=of, receptor=receptor, holder=holder, freedoms=off
            )
        )

    def with_others(
        kind: StepKind, to: View, receptors: Iterable[Receptor], holders: Iterable[Holder]
    ) -> list[LadderStep]:
        return [
            LadderStep(kind=kind, of=to, receptor=r, holder=h, freedoms=Freedoms(swing=not h.ring))
            for r in receptors
            for h in holders
        ]

    tabs = [each for each in owned.holders if each.kind is HolderKind.TAB and each != holder]
    smaller = _smaller(receptor, owned)
    thin = _thin(receptor, owned)
    steps += with_others(StepKind.TAB, of, [receptor], tabs[:1])
    steps += with_others(StepKind.SMALLER, of, smaller, [holder])
    steps += with_others(StepKind.PLATE_OR_FILM, of, thin, [holder])
    steps += with_others(StepKind.PLATE_OR_FILM, of, thin[:1], tabs[:1])
    if of.region.format is Format.HORIZONTAL:
        upright = _turned_view(of, form=Format.VERTICAL, zone=of.region.zone)
        steps += with_others(StepKind.UPRIGHT, upright, [receptor, *thin[:1]], [holder])
    other = Zone.MOLAR if of.region.zone is Zone.PREMOLAR else Zone.PREMOLAR
    beside = _turned_view(of, form=of.region.format, zone=other)
    return steps + with_others(StepKind.OTHER_VIEW, beside, [receptor, *thin[:1]], [holder])


def _smaller(receptor: Receptor, owned: Owned) -> list[Receptor]:
    """Owned receptors of the same kind in smaller sizes, not the smallest, largest first."""
    found = [
        each
        for each in owned.receptors
        if each.kind is receptor.kind
        and each.outer_short_mm < receptor.outer_short_mm
        and each.outer_long_mm < receptor.outer_long_mm
    ]
    return sorted(found, key=lambda each: -each.outer_short_mm)[:2]


def _thin(receptor: Receptor, owned: Owned) -> list[Receptor]:
    """Owned plates, or films where there are none, no larger than a rigid sensor; largest first."""
    if receptor.kind is not ReceptorKind.SENSOR:
        return []
    for kind in (ReceptorKind.PLATE, ReceptorKind.FILM):
        found = [
            each
            for each in owned.receptors
            if each.kind is kind
            and each.outer_short_mm <= receptor.outer_short_mm
            and each.outer_long_mm <= receptor.outer_long_mm
        ]
        if found:
            return sorted(found, key=lambda each: -each.outer_short_mm)[:2]
    return []


def _turned_view(of: View, *, form: Format, zone: Zone) -> View:
    """The view of the same side in another format or zone."""
    region = replace(of.region, format=form, zone=zone)
    return next(view(name) for name in view_names() if view(name).region == region)


def _needed(of: Asked, question: AnyQuestion) -> tuple[str, ...]:
    need = needs(question, of.wanted)
    return tuple(sorted(need.surfaces)) + tuple(sorted(need.crests))


def _try(step: LadderStep, at: Station, also: list[Setting], case: _Case) -> Tried:
    of = asked(step.of, at)
    found = likeliest_set_up(
        at,
        of,
        case.weights,
        freedoms=step.freedoms,
        question=case.question,
        bears=case.bears,
        also=also,
        threads=case.threads,
    )
    if found is None:
        return Tried(step=step, plan=None, odds={}, not_shown=case.needed)
    plan = _plan(step.of, at, found[0], of, case.question)
    odds = {
        name: served(
            slipped(at, plan.setting, drawn), of, question=case.question, threads=case.threads
        ).success()
        for name, drawn in case.errors.items()
    }
    return Tried(
        step=step, plan=plan, odds=odds, not_shown=_missing(plan, case.needed, case.question)
    )


def _plan(of_view: View, at: Station, setting: Setting, of: Asked, question: AnyQuestion) -> Plan:
    exposure = aimed(at, seat(at.seating, setting.placement()), setting.aim())
    return Plan(
        view=of_view,
        station=at,
        setting=setting,
        exposure=exposure,
        prediction=predict(exposure, of, question=question),
        cost=0.0,
    )


def _missing(plan: Plan, needed: tuple[str, ...], question: AnyQuestion) -> tuple[str, ...]:
    """What of the needed is not on a planned film, or cannot be read there."""
    seen = shown_each(plan.prediction.measurements, question)
    return tuple(name for name in needed if name not in seen or not seen[name][0])


__all__ = [
    "HandsAsked",
    "Ladder",
    "LadderStep",
    "Owned",
    "StepKind",
    "Tried",
    "borne_by",
    "judged",
    "ladder",
    "steps_for",
]
