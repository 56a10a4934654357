"""Time what a film costs: its mouth, its path lengths, moving, still and whole, on 1 and 2 threads.

    python -m benchmarks.film [--rounds 7]

Prints medians and the least, in milliseconds, and how much memory the process took at most. The
named reference of every ratio is the row it is set against. What was aimed at stands beside, for
two free cores; nothing is judged.
"""

import argparse
import os
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from statistics import median

import numpy as np

from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.exposing.aim import Aim
from bitewright.exposing.exposure import Station, expose, station
from bitewright.exposing.placement import Placement
from bitewright.film.film_mouth import film_mouth
from bitewright.film.moving_film import moving_film
from bitewright.film.predicted_film import film_lengths, predicted_film
from bitewright.film.receptor_grid import ReceptorGrid
from bitewright.film.thinned_mouth import thinned_mouth
from bitewright.mouth.mouth import Mouth
from bitewright.mouth.outlines import build_outlines
from bitewright.mouth.standard_mouth import standard_mouth
from bitewright.mouth.tooth_parts import ToothPart
from bitewright.quality.views import view
from bitewright.row_bands import ALONE, Threads
from bitewright.solids.tooth_shells import tooth_shells
from bitewright.tasks.film.film_mouths import station_film_mouth, station_thinned_mouth

PREVIEW_MM, FULL_MM = 0.11, 0.03


def main() -> None:
    """Run every timing and print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rounds", type=int, default=7)
    rounds = parser.parse_args().rounds
    with tempfile.TemporaryDirectory() as folder:
        os.environ["BITEWRIGHT_CACHE"] = folder
        run(rounds)


def run(rounds: int) -> None:
    """Everything, in an empty cache."""
    at = station_of(standard_mouth(), "right-molar")
    exposure = expose(at, Placement(lingual_mm=6.0), Aim(ring_offset_deg=3.0, vertical_deg=4.0))
    print(f"load {os.getloadavg()[0]:.1f}, {os.cpu_count()} cores; ms, median (least)")
    codes = tuple(code for code in at.outlines.codes if code // 10 in at.region.quadrants)
    timed("teeth of one side", lambda: tooth_shells(at.outlines, codes), 1)
    timed("mouth of one side, built", lambda: film_mouth(at.outlines, at.region), 1)
    mouth = station_film_mouth(at)
    timed("mouth of one side, from the cache", lambda: station_film_mouth(at), rounds)
    for name, other in pieces_kept():
        timed(name, lambda other=other: station_film_mouth(other), 1)
    timed("thinned", lambda: thinned_mouth(mouth), 1)
    thin = station_thinned_mouth(at, lambda: mouth)
    timed(
        "thinned, from the cache",
        lambda: station_thinned_mouth(at, lambda: station_film_mouth(at)),
        rounds,
    )
    for name, solids in (("whole", mouth), ("thinned", thin)):
        print(f"  {name}: {sum(len(part.mesh.triangles) for part in solids.parts)} triangles")
    moving = moving_film(at, thin)
    one = timed("moving film, 1 thread", lambda: moving.picture(exposure), 5 * rounds, target=8.0)
    longer = 2.0 * max(at.half_width_mm, at.half_height_mm)
    size = {"width_mm": 2 * at.half_width_mm, "height_mm": 2 * at.half_height_mm}
    with ThreadPoolExecutor(2) as pool:
        for count, threads in ((1, ALONE), (2, Threads(count=2, map=pool.map))):
            for columns, target in ((325, 10.0), (1300, 40.0)):
                grid = ReceptorGrid.covering(**size, pixel_mm=longer / columns)
                timed(
                    f"path lengths, thinned mouth, {grid.columns} x {grid.rows}, {count} thr.",
                    lambda grid=grid, threads=threads: film_lengths(
                        exposure, thin, grid, threads=threads
                    ),
                    rounds,
                    target=target,
                )
            for name, pixel_mm in (("preview", PREVIEW_MM), ("full", FULL_MM)):
                grid = ReceptorGrid.covering(**size, pixel_mm=pixel_mm)
                timed(
                    f"path lengths, whole mouth, {name} {grid.columns} x {grid.rows}, {count} thr.",
                    lambda grid=grid, threads=threads: film_lengths(
                        exposure, mouth, grid, threads=threads
                    ),
                    rounds,
                )
            for name, pixel_mm, target in (
                ("still preview", PREVIEW_MM, 60.0),
                ("whole film", FULL_MM, None),
            ):
                timed(
                    f"{name}, everything on, {count} thr.",
                    lambda pixel_mm=pixel_mm, threads=threads: predicted_film(
                        exposure,
                        mouth,
                        pixel_mm=pixel_mm,
                        generator=np.random.default_rng(1),
                        threads=threads,
                    ),
                    rounds,
                    against=one,
                    target=target,
                )
    first_film()
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"{'most memory of this process':58s} {peak:9.0f} MiB")


def station_of(mouth: Mouth, view_name: str) -> Station:
    """Where a view of a mouth is taken."""
    known = packaged_catalogue()
    return station(
        build_outlines(mouth),
        view(view_name).region,
        known.receptor("sensor-2"),
        known.holder("ring-holder"),
        known.tube("rectangular-300"),
    )


def pieces_kept() -> list[tuple[str, Station]]:
    """What needs few new pieces once the standard mouth's right side is kept."""
    base = standard_mouth()
    filling = ToothPart(kind="filling", surface="occlusal", material="amalgam")
    turned = replace(base.teeth[15], rotation_deg=3.0)
    filled = replace(base.teeth[16], parts=(filling,))
    return [
        ("another view of the side, pieces kept", station_of(base, "right-premolar")),
        (
            "a filling in one tooth, other pieces kept",
            station_of(replace(base, teeth={**base.teeth, 16: filled}), "right-molar"),
        ),
        (
            "a tooth turned by 3 degrees, other pieces kept",
            station_of(replace(base, teeth={**base.teeth, 15: turned}), "right-molar"),
        ),
    ]


def first_film() -> None:
    """A film from the command line, in a process of its own, with what is kept by now."""
    command = [sys.executable, "-m", "bitewright", "predict", "--view", "right-molar"]
    with tempfile.TemporaryDirectory() as folder:
        command += ["--receptor", "sensor-2", "--film", f"{folder}/film.png"]
        timed(
            "first film by `bitewright predict`, mouth kept",
            lambda: subprocess.run(command, check=True, stdout=subprocess.DEVNULL),  # noqa: S603
            3,
            target=2000.0,
        )


def timed(
    name: str,
    act: Callable[[], object],
    rounds: int,
    *,
    against: float | None = None,
    target: float | None = None,
) -> float:
    """Time some rounds after one that is not counted; print, and give the median."""
    if rounds > 1:
        act()
    taken = []
    for _ in range(rounds):
        start = time.perf_counter()
        act()
        taken.append(1000.0 * (time.perf_counter() - start))
    ratio = f"   {median(taken) / against:6.1f} x moving" if against else ""
    aim = f"   target {target:g}" if target else ""
    print(f"{name:58s} {median(taken):9.1f} ({min(taken):.1f}){aim}{ratio}")
    return median(taken)


if __name__ == "__main__":
    main()
