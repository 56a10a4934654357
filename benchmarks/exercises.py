"""Whether exercises mean what they say, by computations that do not share the generator's path.

Exercises as `bitewright teach` draws them, of every kind and fault, in mouths of the population:

- what was planted, against the first cause of an explanation of the film marked with 0.15 mm of
  scatter in a mouth that is not known (every few items, for it takes long);
- wrong choices of a name, against every cause that this explanation gives a third of the weight;
- contacts said open or overlapped, against the fan of directions in which each is open;
- what a visit leaves unread, against the ledger of its films marked with 0.15 mm of scatter;
- where aiming begins, against the same fans: fewer contacts open than with the best aim;
- the film against the good one, pixel by pixel, both without noise, or with it where the fault is
  one of handling;
- which fault of handling a film's pixels show, beside the good one's.

    python -m benchmarks.exercises --places 64 --processes 2 --out exercises.jsonl

One line a place (a mouth and a view) as it is made; with ``--out`` a run goes on where it was
stopped.
"""

import argparse
import tempfile
from functools import partial
from pathlib import Path
from typing import Any

import numpy as np

from bitewright.estimation.estimate import FilmEvidence, estimate
from bitewright.estimation.mouth_belief import population
from bitewright.estimation.mouth_prior import mean_mouth
from bitewright.estimation.mouth_shapes import mouth_shapes
from bitewright.explanation.explain import explain
from bitewright.explanation.needs import AsMarked
from bitewright.exposing.contact_error import contact_errors_deg
from bitewright.exposing.exposure import Exposures, station
from bitewright.film.film_kinds import USUAL, Handling
from bitewright.film.predicted_film import predicted_film
from bitewright.marking.marked_landmarks import landmarks_from_marks
from bitewright.marking.simulated_marker import marked_by_simulation
from bitewright.mouth.outlines import build_outlines
from bitewright.planning.best_aim import Plan
from bitewright.planning.open_fans import open_fans
from bitewright.quality.findings import pair_name
from bitewright.quality.predicted import Prediction
from bitewright.quality.rating import ContactState
from bitewright.quality.views import view
from bitewright.tasks.teach.exercise_places import (
    ExercisePlace,
    PlaceName,
    exercise_place,
    film_fault,
    on_film,
)
from bitewright.tasks.teach.make_items import VIEWS
from bitewright.tasks.teach.visit_pictures import asked_visit
from bitewright.teaching.decided_visit import DecidedVisit, visit_ledger
from bitewright.teaching.exercises import Exercise, drawn_exercise
from bitewright.teaching.fault_names import PlantedFault
from bitewright.teaching.item import ItemKind
from bitewright.teaching.planted import accepted, cause_of
from bitewright.teaching.reading import ReadQuestion
from trials.exercise_tables import VISIBLE_GREY, exercise_tables
from trials.handling_seen import handling_seen
from trials.kept_lines import Line, run_cases

FIRST_MOUTH = 5000
TRIES = 12
MARK_SD_MM, PIXEL_MM, FILM_PIXEL_MM = 0.15, 0.02, 0.1
THIRD = 1.0 / 3.0


def main() -> None:
    """Make what is left to make, and print the table of all."""
    asked = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    asked.add_argument("--places", type=int, default=4)
    asked.add_argument("--explain-every", type=int, default=4, help="0 explains none")
    asked.add_argument("--films", type=int, default=1, help="0 leaves the films out")
    asked.add_argument("--processes", type=int, default=1)
    asked.add_argument("--out", type=Path)
    given = asked.parse_args()
    out = given.out or Path(tempfile.mkdtemp()) / "exercises.jsonl"
    cases = [(number, given.explain_every, bool(given.films)) for number in range(given.places)]
    lines = run_cases(
        out,
        cases,
        place_line,
        key=lambda case: case[0],
        key_of=lambda line: line["place"],
        processes=given.processes,
        told=lambda text: print(text, flush=True),
    )
    tables = exercise_tables([item for line in lines for item in line["items"]])
    print("\n\n".join(tables.values()))


def place_line(case: tuple[int, int, bool]) -> Line:
    """Every kind with every fault in one mouth and view."""
    number, explain_every, with_films = case
    place = exercise_place(PlaceName(f"population-{FIRST_MOUTH + number}", VIEWS[number % 4]))
    items = []
    asks = tuple(ReadQuestion)
    for kind in ItemKind:
        for column, fault in enumerate(PlantedFault):
            made = _drawn(place, kind, fault, asks[column % len(asks)], number)
            if made is None:
                continue
            explains = explain_every > 0 and (len(items) + number) % explain_every == 0
            items.append(_judged(place, made, explains=explains, with_film=with_films))
    return {"place": number, "items": items}


def _drawn(
    place: ExercisePlace, kind: ItemKind, fault: PlantedFault, asks: ReadQuestion, number: int
) -> Exercise | None:
    for tried in range(TRIES):
        generator = np.random.default_rng([number, tried, tuple(PlantedFault).index(fault)])
        visit = None
        if kind is ItemKind.DECIDE and tried < TRIES // 2:
            visit = asked_visit(place, number, tuple(PlantedFault).index(fault))
        made = drawn_exercise(kind, place.plan, generator, faults=(fault,), asks=asks, visit=visit)
        if made is not None:
            return made
    return None


def _judged(
    place: ExercisePlace, made: Exercise, *, explains: bool, with_film: bool
) -> dict[str, Any]:
    film = made.film
    told: dict[str, Any] = {"kind": made.kind.value, "fault": film.fault.value}
    right = (
        {PlantedFault(made.choices[k]) for k in made.key} if made.kind is ItemKind.NAME else set()
    )
    if made.kind is ItemKind.NAME:
        offered = {PlantedFault(each) for each in made.choices}
        told["twin_offered"] = len(accepted(film.fault) & offered) > 1
        told["twin_accepted"] = accepted(film.fault) & offered == right
    is_fault = made.kind in (ItemKind.NAME, ItemKind.CORRECT, ItemKind.ORDER)
    if explains and is_fault and cause_of(film.fault) is not None:
        causes = _explained(place, made)
        told["found"] = causes[0][0] if causes else "none"
        told["agrees"] = told["found"] == str(cause_of(film.fault))
        if made.kind is ItemKind.NAME:
            wrong = {str(cause_of(PlantedFault(each))) for each in made.choices} - {
                str(cause_of(each)) for each in right
            }
            told["wrong_is_right"] = any(
                name in wrong and weight >= THIRD for name, weight in causes
            )
    if made.reading is not None and made.reading.asks is ReadQuestion.OVERLAP:
        told["fans_agree"] = _fans_agree(made)
    if made.visit is not None:
        told["films"] = len(made.visit.films)
        told["visit"] = "unread" if made.visit.unread else "nothing unread"
        told["marked_alike"] = _unread_as_marked(made.visit) == set(made.visit.unread)
    if made.kind is ItemKind.AIM:
        plan = film.plan
        begun = _shown_open(plan, film.exposure, film.prediction)
        told["best_opens_more"] = _shown_open(plan, plan.exposure, plan.prediction) > begun
    if with_film:
        told |= _seen(place, made)
    return told


def _explained(place: ExercisePlace, made: Exercise) -> list[tuple[str, float]]:
    at, of_view = place.station, view(place.name.view)
    landmarks = made.film.prediction.landmarks
    marks = marked_by_simulation(
        landmarks,
        of_view,
        pixel_mm=PIXEL_MM,
        image_name="film",
        receptor=at.receptor.name,
        sd_mm=MARK_SD_MM,
        generator=np.random.default_rng(1),
    )
    marked = landmarks_from_marks(marks, of_view, pixel_mm=PIXEL_MM, receptor=at.receptor)
    teeth = tuple(sorted(at.outlines.codes))
    middle = station(build_outlines(mean_mouth(teeth)), at.region, at.receptor, at.holder, at.tube)
    found = estimate(
        [FilmEvidence(landmarks=marked, station=middle)],
        mouth_shapes(teeth, of_view.region),
        population(teeth).seen_from(of_view.region.side),
    )
    slope = float(made.film.prediction.measurements.occlusal_slope_deg[0])
    explained = explain(
        found, of_view, marked=AsMarked(slope_deg=slope), generator=np.random.default_rng(1)
    )
    return [(cause.name.value, cause.weight) for cause in explained.correction.causes]


def _fans_agree(made: Exercise) -> bool:
    film, reading = made.film, made.reading
    if reading is None:
        return False
    is_open = _open_by_fans(film.plan, film.exposure)
    overlapped = {name for k, name in enumerate(reading.names) if k == reading.right}
    return all(is_open[name] is (name not in overlapped) for name in reading.names)


def _unread_as_marked(visit: DecidedVisit) -> set[str]:
    """What the films of a visit leave unread, as somebody marks them."""
    marker = partial(marked_by_simulation, sd_mm=MARK_SD_MM, generator=np.random.default_rng(1))
    return {row.name for row in visit_ledger(visit.films, marked_by=marker).unread}


def _shown_open(plan: Plan, exposure: Exposures, made: Prediction) -> int:
    """How many contacts of the view are open by their fans, of those that lie on the film."""
    is_open = _open_by_fans(plan, exposure)
    contacts = made.measurements.wanted.contacts
    return sum(
        is_open[pair_name(pair)]
        for pair, state in zip(contacts, made.rating.states[0], strict=True)
        if state != ContactState.NOT_SHOWN
    )


def _open_by_fans(plan: Plan, exposure: Exposures) -> dict[str, bool]:
    """Of each contact, whether the beam lies in the fan of directions in which it is open."""
    ray = exposure.beam.rays_mouth[0]
    fans = open_fans(
        plan.station.outlines,
        vertical_deg=float(np.rad2deg(np.arcsin(-ray[2]))),
        opening_deg=float(exposure.seat.opening_deg[0]),
    )
    errors = contact_errors_deg(exposure, tuple(fan.site for fan in fans))[0]
    return {
        fan.site.name: fan.holds(float(error) + fan.site.open_azimuth_deg)
        for fan, error in zip(fans, errors, strict=True)
    }


def _seen(place: ExercisePlace, made: Exercise) -> dict[str, Any]:
    """The share of the film that differs from the good one; what its pixels show of handling."""
    at = exercise_place(PlaceName(place.name.mouth, made.film.plan.view.name))
    done, was, best = made.film.handled, made.film.exposure, made.film.plan.exposure
    if done is not None and done.on_film:
        was = best = on_film(best)
    seed = FIRST_MOUTH if done is None else round(10.0 * done.size)
    spoilt = USUAL if done is None else Handling(faults=(film_fault(done),), fault_seed=seed)
    film, good = (
        predicted_film(
            exposure,
            at.film_mouth,
            pixel_mm=FILM_PIXEL_MM,
            handling=handling,
            generator=None if done is None else np.random.default_rng([seed, number]),
        ).pixels
        / 65535.0
        for number, (exposure, handling) in enumerate(((was, spoilt), (best, USUAL)))
    )
    told: dict[str, Any] = {"changed_share": float(np.mean(abs(film - good) >= VISIBLE_GREY))}
    if done is not None:
        seen = handling_seen(film, good, pixel_mm=FILM_PIXEL_MM)
        told |= {"found": str(seen or "none"), "seen": seen is made.film.fault}
    return told


if __name__ == "__main__":
    main()
