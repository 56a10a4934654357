"""How long bone takes to build and its texture to march, on this machine.

Run: python -m benchmarks.bone_and_grain [repeats]
Prints the least time of each, for it says what the program needs; a busy machine adds to it.
"""

import sys
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor

import numpy as np

from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.exposing.aim import Aim
from bitewright.exposing.exposure import expose, station
from bitewright.exposing.placement import Placement
from bitewright.film.film_mouth import film_mouth
from bitewright.film.predicted_film import film_lengths
from bitewright.film.receptor_grid import ReceptorGrid
from bitewright.film.shells import ShellGroup
from bitewright.film.trabeculae import add_trabeculae
from bitewright.mouth.outlines import build_outlines
from bitewright.mouth.standard_mouth import standard_mouth
from bitewright.quality.views import view
from bitewright.row_bands import ALONE, Threads
from bitewright.solids.bone_shells import bone_shells
from bitewright.solids.tooth_shells import tooth_shells

PIXELS_MM = {"full film": 0.030, "still preview": 0.125}


def least_s(act: Callable[[], object], repeats: int) -> float:
    """Least time of several runs after one that is not counted. [s]"""
    act()
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        act()
        times.append(time.perf_counter() - start)
    return min(times)


def main(repeats: int) -> None:
    """Print both tables."""
    outlines = build_outlines(standard_mouth())
    pair = 0.0
    for quadrant in (1, 4):
        codes = tuple(c for c in outlines.codes if c // 10 == quadrant)
        teeth = [tooth.outer for tooth in tooth_shells(outlines, codes)]
        taken = least_s(lambda q=quadrant, t=teeth: bone_shells(outlines, q, t), repeats)
        print(f"bone and gum of quadrant {quadrant}: {taken:.2f} s")
        pair += taken
    print(f"both jaws of a side: {pair:.2f} s")
    known = packaged_catalogue()
    region = view("right-molar").region
    at = station(
        outlines,
        region,
        known.receptor("plate-2"),
        known.holder("ring-holder"),
        known.tube("rectangular-300"),
    )
    exposure = expose(at, Placement(lingual_mm=5.0), Aim(ring_offset_deg=3.0, vertical_deg=6.0))
    mouth = film_mouth(outlines, region)
    with ThreadPoolExecutor(2) as pool:
        workers = {"one thread": ALONE, "two threads": Threads(count=2, map=pool.map)}
        for name, pixel_mm in PIXELS_MM.items():
            grid = ReceptorGrid.covering(
                width_mm=2.0 * at.half_width_mm,
                height_mm=2.0 * at.half_height_mm,
                pixel_mm=pixel_mm,
            )
            lengths = film_lengths(exposure, mouth, grid).lengths_mm
            bony = float(np.mean(lengths[ShellGroup.SPONGIOSA] > 0.0))
            for said, threads in workers.items():
                taken = least_s(
                    lambda at=(lengths, grid, threads): add_trabeculae(
                        at[0].copy(), exposure, at[1], mouth.spongiosa, threads=at[2]
                    ),
                    repeats,
                )
                print(f"texture, {name}, {said}: {1e3 * taken:.0f} ms ({bony:.0%} of rays)")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 3)
