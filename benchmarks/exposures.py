"""How many exposures a second are placed, projected, measured and rated.

Reference: the same landmarks by a plain loop of matrix products in numpy, one exposure at a time,
for one run's ratio. Needs nothing but the package: ``python -m benchmarks.exposures``.
"""

import os
import statistics
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor

import numpy as np

from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.exposing.aim import Aim
from bitewright.exposing.exposure import Exposures, Station, aimed, station
from bitewright.exposing.placement import Placement
from bitewright.exposing.project import projection_matrices
from bitewright.exposing.seating import seat
from bitewright.exposing.targets import Targets
from bitewright.mouth.outlines import build_outlines
from bitewright.mouth.standard_mouth import standard_mouth
from bitewright.planning.best_aim import best_aim
from bitewright.quality.predicted import asked, predict
from bitewright.quality.views import view
from bitewright.row_bands import Threads

COUNT = 20_000
REFERENCE_COUNT = 60
ROUNDS = 7


def main() -> None:
    """Print the figures."""
    at = _station()
    of = asked(view("right-premolar"), at)
    rng = np.random.default_rng(0)
    seated = seat(at.seating, Placement(forward_mm=rng.normal(0, 3, COUNT), lingual_mm=3.0))
    aims = Aim(ring_offset_deg=rng.normal(0, 6, COUNT), vertical_deg=rng.normal(5, 4, COUNT))
    cores = os.cpu_count() or 1
    with ThreadPoolExecutor(cores) as pool:
        threads = Threads(count=cores, map=pool.map)
        exposures = aimed(at, seated, aims)
        rated = _median(lambda: predict(exposures, of, threads=threads))
        whole = _median(lambda: predict(aimed(at, seated, aims), of, threads=threads))
    alone = _median(lambda: predict(exposures, of))
    few = aimed(at, seat(at.seating, Placement(forward_mm=np.zeros(REFERENCE_COUNT))), Aim())
    loop = _median(lambda: _plain_loop(few, of.targets)) / REFERENCE_COUNT
    mouth = standard_mouth()
    print(f"cores {cores}, {COUNT} exposures of a premolar view, medians of {ROUNDS}")
    print(f"project, measure, rate, 1 thread    {COUNT / alone:10.0f} exposures/s")
    print(f"project, measure, rate, {cores} threads   {COUNT / rated:10.0f} exposures/s")
    print(f"aim, project, measure, rate         {COUNT / whole:10.0f} exposures/s")
    print(f"plain numpy loop, projection only   {1 / loop:10.0f} exposures/s")
    print(f"ratio to the plain loop             {COUNT / rated * loop:10.1f} times")
    built = _median(lambda: build_outlines(mouth))
    print(f"outlines of a 28-tooth mouth        {1e3 * built:10.2f} ms")
    print(f"plan of a view                      {1e3 * _median(lambda: _plan(at)):10.0f} ms")


def _station() -> Station:
    known = packaged_catalogue()
    return station(
        build_outlines(standard_mouth()),
        view("right-premolar").region,
        known.receptor("film-2"),
        known.holder("ring-holder"),
        known.tube("rectangular-300"),
    )


def _plan(at: Station) -> None:
    best_aim(view("right-premolar"), at)


def _plain_loop(exposures: Exposures, targets: Targets) -> None:
    """Project the same points and take the outermost of each row, in plain numpy."""
    matrices = projection_matrices(exposures)
    points = targets.flanks_mouth
    ones = np.ones((*points.shape[:-1], 1))
    homogeneous = np.concatenate([points, ones], axis=-1)
    for e in range(len(exposures)):
        chosen = np.where(
            targets.flank_is_lower[:, None, None], matrices.lower[e], matrices.upper[e]
        )
        q = np.einsum("sab,skmb->skma", chosen, homogeneous)
        along = q[..., 0] / q[..., 2] * targets.outward[:, None, None]
        along.argmax(axis=2)


def _median(act: Callable[[], object]) -> float:
    act()
    times = []
    for _ in range(ROUNDS):
        start = time.perf_counter()
        act()
        times.append(time.perf_counter() - start)
    return statistics.median(times)


if __name__ == "__main__":
    main()
