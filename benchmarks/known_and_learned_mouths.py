"""How much sharper an explanation is where the mouth is known, and what an earlier film teaches.

``python -m benchmarks.known_and_learned_mouths --films 120 --processes 2``. Known mouth: swing
errors with contacts alone and with both rows of cusps, beside the least that marks of 0.15 mm
allow (the estimate's own standard deviation). Learned mouth: contacts open in the true mouth when
it is exposed as planned for the population, for the mouth one earlier film implies, and for the
true mouth itself.
"""

import argparse
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace

import numpy as np

from bitewright.estimation.allowances import kind_of
from bitewright.estimation.exposure_unknowns import NAMES
from bitewright.estimation.mouth_belief import MouthBelief, population
from bitewright.estimation.mouth_shapes import MouthShapes
from bitewright.explanation.correction import Part
from bitewright.exposing.exposure import expose, station
from bitewright.exposing.landmarks import Landmarks, Status
from bitewright.mouth.outlines import build_outlines
from bitewright.planning.believed_mouth import plan_for_belief
from bitewright.planning.best_aim import Setting, best_aim
from bitewright.quality.criteria import overlap_limits
from bitewright.quality.predicted import asked, predict
from bitewright.quality.views import view
from trials.explained_films import VIEWS, Case
from trials.judged import estimated, explained, judged
from trials.known_films import Equipment, KnownFilm, known_film, strange_mouth

AZIMUTH = NAMES.index("azimuth_deg")
MEDIAN_OF_NORMAL = 0.6745


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """Swing errors of one film, and their bounds, by what is marked. [deg]"""

    learned_deg: float
    contacts_deg: float
    contacts_bound_deg: float
    cusps_deg: float
    cusps_bound_deg: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Learned:
    """Contacts open in the true mouth by how the plan was made, of so many."""

    population: int
    learned: int
    true: int
    of: int


def main() -> None:
    """Run and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--films", type=int, default=16)
    parser.add_argument("--processes", type=int, default=1)
    parser.add_argument("--run", type=int, default=3, help="number of the run: other mouths")
    given = parser.parse_args()
    cases = [Case(run=given.run, number=number) for number in range(given.films)]
    with ProcessPoolExecutor(given.processes) as pool:
        known = list(pool.map(known_mouth, cases, chunksize=2))
        learned = list(pool.map(learned_mouth, cases, chunksize=2))
    _print_known(known)
    _print_learned(cases, learned)


def known_mouth(case: Case) -> Known:
    """Explain one film by the population, and by the mouth itself with fewer or more marks."""
    generator = np.random.default_rng([case.run, case.number])
    film = known_film(strange_mouth(generator), view(case.view), Equipment.usual(), generator)
    shapes = MouthShapes.known(film.station.outlines, film.view.region)
    errors, bounds = [], []
    for kinds in (("outline",), ("outline", "cusp")):
        fewer = replace(film, landmarks=_only(film.landmarks, kinds))
        said = explained(fewer, np.random.default_rng(case.number), shapes=shapes)
        errors.append(judged(fewer, said).error[Part.SWING])
        bounds.append(MEDIAN_OF_NORMAL * np.sqrt(said.estimate.covariance[AZIMUTH, AZIMUTH]))
    by_population = judged(film, explained(film, np.random.default_rng(case.number)))
    return Known(
        learned_deg=by_population.error[Part.SWING],
        contacts_deg=errors[0],
        contacts_bound_deg=float(bounds[0]),
        cusps_deg=errors[1],
        cusps_bound_deg=float(bounds[1]),
    )


def learned_mouth(case: Case) -> Learned:
    """Learn a mouth from one film with a faulty aim, plan for it, and expose the true mouth so."""
    generator = np.random.default_rng([case.run + 500, case.number])
    mouth = strange_mouth(generator)
    film = known_film(mouth, view(case.view), Equipment.usual(), generator)
    found = estimated(film)
    belief = found.belief(population(film.station.outlines.codes))
    before = population(film.station.outlines.codes)
    plans = [_planned(each, film, case) for each in (before, belief)]
    opened = [_open(film, setting) for setting in (*plans, film.best.setting)]
    of = len(asked(film.view, film.station).wanted.contacts)
    return Learned(population=opened[0], learned=opened[1], true=opened[2], of=of)


def _planned(belief: MouthBelief, film: KnownFilm, case: Case) -> Setting:
    at = film.station
    outlines = build_outlines(belief.mouth())
    middle = best_aim(film.view, station(outlines, at.region, at.receptor, at.holder, at.tube))
    generator = np.random.default_rng(case.number)
    return plan_for_belief(middle, belief, generator=generator).plan.setting


def _open(film: KnownFilm, setting: Setting) -> int:
    exposure = expose(film.station, setting.placement(), setting.aim())
    overlap = predict(exposure, asked(film.view, film.station)).measurements.overlap_mm[0]
    return int((overlap <= overlap_limits().open_mm).sum())


def _only(landmarks: Landmarks, kinds: tuple[str, ...]) -> Landmarks:
    """Other landmarks count as not marked."""
    kept = np.array([kind_of(name) in kinds for name in landmarks.names])
    return replace(
        landmarks, status=np.where(kept, landmarks.status, Status.UNMARKED).astype(np.int8)
    )


def _print_known(results: list[Known]) -> None:
    print("| mouth | marks | median error | 90th percentile | median the marks allow |")
    print("| --- | --- | --- | --- | --- |")
    rows = (
        ("from the population", "all", "learned_deg", None),
        ("known", "contacts alone", "contacts_deg", "contacts_bound_deg"),
        ("known", "contacts and cusps", "cusps_deg", "cusps_bound_deg"),
    )
    for mouth, marks, error, bound in rows:
        errors = np.abs([getattr(each, error) for each in results])
        allowed = "" if bound is None else f"{np.mean([getattr(e, bound) for e in results]):.2f}"
        print(
            f"| {mouth} | {marks} | {np.median(errors):.2f} | {np.quantile(errors, 0.9):.2f} | "
            f"{allowed} |"
        )
    print(f"({len(results)} films)\n")


def _print_learned(cases: list[Case], results: list[Learned]) -> None:
    print("| view | films | planned for the population | learned from one film | the true mouth |")
    print("| --- | --- | --- | --- | --- |")
    for name in (*VIEWS, "all"):
        own = [
            each for case, each in zip(cases, results, strict=True) if name in (case.view, "all")
        ]
        total = sum(each.of for each in own)
        if not total:
            continue
        shares = [
            f"{sum(getattr(each, how) for each in own) / total:.1%} open"
            for how in ("population", "learned", "true")
        ]
        print(f"| {name} | {len(own)} | " + " | ".join(shares) + " |")
    better = np.array([each.learned - each.population for each in results])
    error = better.std(ddof=1) / np.sqrt(len(better))
    print(f"\nContacts opened more by learning, a film: {better.mean():.2f} +/- {error:.2f} (SE)")


if __name__ == "__main__":
    main()
