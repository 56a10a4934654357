"""How often the ledger of a visit is right, against what the mouth's outlines show.

Simulated visits of two and of four films: drawn mouths of a population, some with lost teeth and
some without second molars, exposed by hands of three stated spreads about the best aim, then
marked exactly and with 0.15 mm. A surface can truly be read where its edge lies on a film and the
outlines' overlap there is at most half the thinner of the two enamels that these very teeth have.

    python -m benchmarks.visits --visits 500 --run 1 --processes 2 --out visits.jsonl
    python -m benchmarks.visits --visits 250 --run 2 --times 2 --processes 2 --out visits.jsonl

``--times`` makes every slip of the hands so many times as large: few surfaces are unread on good
films, and a ledger is for bad ones.
One line a visit as it is made; with ``--out`` a run goes on where it was stopped. ``--run`` 0 is
for tuning, every other has mouths of its own.
"""

import argparse
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.exposing.exposure import Station, station
from bitewright.exposing.landmarks import Landmarks, Status
from bitewright.exposing.project import project
from bitewright.exposing.scale import Scale
from bitewright.exposing.targets import targets
from bitewright.marking.simulated_marker import marked_by_simulation, true_marks
from bitewright.mouth.mouth import Mouth
from bitewright.mouth.outlines import build_outlines
from bitewright.mouth.population_mouth import population_mouth
from bitewright.planning.best_aim import Setting, best_aim
from bitewright.planning.slipped import slipped
from bitewright.planning.stated_hands import stated_hands
from bitewright.quality.criteria import Question
from bitewright.quality.measure import measure
from bitewright.quality.questions import unreadable_share
from bitewright.quality.views import View, view
from bitewright.quality.wanted import Pair, Wanted, edges
from bitewright.visit.film_evidence import FilmOfVisit
from bitewright.visit.ledger import Ledger, ledger
from bitewright.visit.sites import whole_side
from trials.kept_lines import run_cases
from trials.visit_tables import all_tables

Floats = NDArray[np.float64]

FIRST_SEED = 600_000
RUN_SEEDS = 10_000
HANDS = tuple(stated_hands())
RECEPTORS = ("plate-2", "sensor-2")
SHORT_JAWS = 4
"""Every so manieth mouth has no second molars."""

SECOND_MOLAR = 7
WHOLE_ROW = tuple((place, place + 1) for place in range(3, 8))
PIXEL_MM = 0.03
MARKS_MM = {"true": 0.0, "noisy": 0.15}
TRUE_MARK_SD_MM = 0.01
"""What is said of marks that are exact: less than a third of a pixel."""


def main() -> None:
    """Make what is left to make, and print the tables of all."""
    asked = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    asked.add_argument("--visits", type=int, default=24)
    asked.add_argument("--run", type=int, default=1)
    asked.add_argument("--times", type=float, default=1.0)
    asked.add_argument("--processes", type=int, default=1)
    asked.add_argument("--out", type=Path)
    given = asked.parse_args()
    lines = run_cases(
        given.out,
        [(given.run, number, given.times) for number in range(given.visits)],
        simulated_visit,
        key=lambda case: case[:2],
        key_of=lambda line: (line["run"], line["number"]),
        processes=given.processes,
        told=lambda text: print(text, flush=True),
    )
    print(all_tables(lines))


def simulated_visit(which: tuple[int, int, float]) -> dict[str, Any]:
    """One visit: what is true of each surface, and what the ledger says by both kinds of marks."""
    run, number, times = which
    rng = np.random.default_rng([FIRST_SEED, run, number])
    hand, receptor, mouth, films = drawn_visit(run, number, times, rng)
    truth = truly_read(films, mouth)
    made: dict[str, Any] = {
        "run": run,
        "number": number,
        "hand": hand,
        "times": times,
        "films": len(films),
        "receptor": receptor,
        "teeth": len(present_teeth(mouth)),
    }
    for kind, sd_mm in MARKS_MM.items():
        marked = [marked_film(of, shown, mouth, receptor, sd_mm, rng) for of, shown, _ in films]
        made[kind] = _compared(ledger(marked), truth)
    return made


def visiting_mouth(run: int, number: int) -> Mouth:
    """The mouth of a visit, some without second molars."""
    mouth = population_mouth(FIRST_SEED + RUN_SEEDS * run + number)
    if number % SHORT_JAWS:
        return mouth
    teeth = {
        code: replace(tooth, present=tooth.present and code % 10 < SECOND_MOLAR)
        for code, tooth in mouth.teeth.items()
    }
    return replace(mouth, teeth=teeth)


Film = tuple[View, Landmarks, Scale]


def drawn_visit(
    run: int, number: int, times: float, rng: np.random.Generator
) -> tuple[str, str, Mouth, list[Film]]:
    """Hand, receptor and mouth of a visit, and its films: two or four, as `exposed_film`."""
    hand = HANDS[number % len(HANDS)]
    four = bool((number // len(HANDS)) % 2)
    receptor = RECEPTORS[int(rng.integers(len(RECEPTORS)))]
    zones = ("premolar", "molar") if four else (("premolar", "molar")[int(rng.integers(2))],)
    mouth = visiting_mouth(run, number)
    films = [
        exposed_film(mouth, view(f"{side}-{zone}"), receptor, hand, times, rng)
        for side in ("right", "left")
        for zone in zones
    ]
    return hand, receptor, mouth, films


def exposed_film(
    mouth: Mouth,
    of: View,
    receptor: str,
    hand: str,
    times: float,
    rng: np.random.Generator,
    meant: Setting | None = None,
) -> Film:
    """One film and what the outlines show on it: a hand means a setting, or the best there is."""
    known = packaged_catalogue()
    at: Station = station(
        build_outlines(mouth),
        of.region,
        known.receptor(receptor),
        known.holder("ring-holder"),
        known.tube("rectangular-300"),
    )
    setting = meant or best_aim(of, at).setting
    errors = times * stated_hands()[hand].scatter.draw(rng, 1)
    exposures = slipped(at, setting, errors)
    aimed_at = targets(at.outlines, of.region)
    landmarks, scale = project(exposures, aimed_at)
    want = whole_side(of, present_teeth(mouth))
    return of, landmarks, _of_contacts(scale, [site.pair for site in aimed_at.sites], want, mouth)


def _of_contacts(scale: Scale, sites: Sequence[Pair], want: Wanted, mouth: Mouth) -> Scale:
    """The scale at each pair of neighbours; across a gap, as on the mean over the contacts."""
    columns = [sites.index(pair) if pair in sites else None for pair in want.contacts]

    def taken(values: Floats) -> Floats:
        mean = values.mean(axis=1)
        return np.stack([mean if c is None else values[:, c] for c in columns], axis=1)

    return Scale(
        magnification=taken(scale.magnification),
        cos_obliquity=taken(scale.cos_obliquity),
        enamel_mm=np.array(
            [min(mouth.teeth[code].enamel_contact_mm for code in pair) for pair in want.contacts]
        ),
    )


def present_teeth(mouth: Mouth) -> frozenset[int]:
    """Teeth that are there."""
    return frozenset(code for code, tooth in mouth.teeth.items() if tooth.present)


def truly_read(films: Sequence[Film], mouth: Mouth) -> dict[str, bool]:
    """Whether each surface can be read on any film."""
    most = unreadable_share(Question.ENAMEL)
    truth: dict[str, bool] = {}
    for of, landmarks, scale in films:
        want = whole_side(of, present_teeth(mouth))
        measured = measure(landmarks, scale, want, block_mm=float("nan"))
        shut = {
            name
            for column, pair in enumerate(want.contacts)
            for name in edges(pair)
            if measured.enamel_share[0, column] > most
        }
        for name in want.surfaces:
            is_read = int(landmarks.status_of(name)[0]) == Status.SEEN and name not in shut
            truth[name] = truth.get(name, False) or is_read
    return truth


def marked_film(
    of: View,
    landmarks: Landmarks,
    mouth: Mouth,
    receptor: str,
    sd_mm: float,
    rng: np.random.Generator,
) -> FilmOfVisit:
    """Marks on all that a film shows of its side, not only on what its view is for."""
    common: dict[str, Any] = {"pixel_mm": PIXEL_MM, "image_name": of.name, "receptor": receptor}
    side = replace(of, contacts=WHOLE_ROW)
    if sd_mm:
        marks = marked_by_simulation(landmarks, side, sd_mm=sd_mm, generator=rng, **common)
    else:
        marks = replace(true_marks(landmarks, side, **common), mark_sd_mm=TRUE_MARK_SD_MM)
    usual = {10 * q + place for q in of.region.quadrants for place in range(1, 8)}
    marks = replace(marks, absent_teeth=tuple(sorted(usual - present_teeth(mouth))))
    return FilmOfVisit(name=of.name, marks=marks, view=of, pixel_mm=PIXEL_MM)


def _compared(told: Ledger, truth: dict[str, bool]) -> list[list[Any]]:
    """Of each surface the question needs: its name, the chance and word stated, and the truth."""
    return [
        [row.name, round(row.chance, 4), row.reading.value, truth[row.name]]
        for row in told.rows
        if row.is_needed and row.name in truth
    ]


if __name__ == "__main__":
    main()
