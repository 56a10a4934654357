"""How long path lengths and transmission take, preview and full size, at about 200,000 triangles.

Reference, timed in the same run: the numpy float64 brute force of the tests, which takes every ray
against every triangle, their cross products made once; timed on some pixels and scaled.

    python -m benchmarks.path_lengths
"""

import os
import sys
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from statistics import median
from time import perf_counter

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from bitewright.film.path_lengths import PathLengths
from bitewright.film.receptor_grid import ReceptorGrid
from bitewright.film.shell_stack import ShellStack, path_lengths_of_stack
from bitewright.film.shells import mouth_shells
from bitewright.film.transmission import transmission
from bitewright.physics.detector import detector
from bitewright.physics.spectrum import tube_spectrum
from bitewright.row_bands import ALONE, Threads
from bitewright.space import ClosedMesh
from tests.brute_force_paths import brute_force_lengths_mm
from tests.closed_meshes import superellipsoid

FRAMES = {
    "preview": ReceptorGrid.centred(columns=325, rows=250, pixel_mm=0.126),
    "full": ReceptorGrid.centred(columns=1300, rows=1000, pixel_mm=0.0315),
}
REPEATS = {"preview": 40, "full": 15}
TARGETS_MS = {"preview": 10.0, "full": 40.0}
REFERENCE_PIXELS = 40
GROUPS = 3


def main() -> None:
    """Print one line a frame and number of threads."""
    stack = ShellStack.of(*teeth())
    print(f"{len(stack.triangles):,} triangles in {GROUPS} groups; medians of repeated runs")
    cores = min(os.cpu_count() or 1, 4)
    with ThreadPoolExecutor(cores) as pool:
        for name, grid in FRAMES.items():
            per_pixel_s = reference_s_per_pixel(stack, grid)
            reference_ms = 1000.0 * per_pixel_s * grid.columns * grid.rows
            print(f"{name}, numpy float64 brute force: about {reference_ms / 1000.0:,.0f} s")
            for threads in (ALONE, Threads(count=cores, map=pool.map)):
                lengths_ms, film = lengths_median_ms(stack, grid, REPEATS[name], threads)
                shares_ms = transmission_median_ms(film, REPEATS[name], threads)
                print(
                    f"{name}, {threads.count} thread(s): lengths {lengths_ms:.1f} ms, "
                    f"target {TARGETS_MS[name]:g} "
                    f"({reference_ms / lengths_ms:,.0f} times quicker), "
                    f"transmission of {len(tube_spectrum(70.0).energies_kev)} energies "
                    f"{shares_ms:.1f} ms, unbalanced pixels {film.unbalanced_pixels}"
                )


def teeth() -> tuple[list[ClosedMesh], list[int]]:
    """Twelve teeth of three nested surfaces each and three fillings: 199,680 triangles."""
    generator = np.random.default_rng(2)
    meshes, groups = [], []
    for k in range(12):
        place = np.array([-15.0 + 6.0 * (k % 6), 7.5 if k < 6 else -7.5, -14.0])
        place += generator.uniform(-0.5, 0.5, 3)
        for group, share in enumerate((1.0, 0.8, 0.25)):
            half_axes_mm = np.array([2.9, 7.0, 4.5]) * share
            meshes.append(superellipsoid(place, half_axes_mm, 2.6, 4))
            groups.append(group)
        if k < 3:
            meshes.append(superellipsoid(place, (1.0, 1.0, 2.0), 2.6, 4))
            groups.append(0)
    return meshes, groups


def source_mm(step: int) -> np.ndarray:
    """Another place for the tube in every frame."""
    return np.array([20.0 - step, -40.0 + 0.5 * step, -310.0])


def lengths_median_ms(
    stack: ShellStack, grid: ReceptorGrid, repeats: int, threads: Threads
) -> tuple[float, PathLengths]:
    """Median time, and the last film."""
    film = path_lengths_of_stack(stack, source_mm(0), grid, threads=threads)
    steps = iter(range(repeats))
    taken = median_ms(
        lambda: path_lengths_of_stack(stack, source_mm(next(steps)), grid, threads=threads),
        repeats,
    )
    return taken, film


def transmission_median_ms(film: PathLengths, repeats: int, threads: Threads) -> float:
    """Median time for enamel, dentine and pulp at 70 kV."""
    shells, beam, plate = mouth_shells()[:GROUPS], tube_spectrum(70.0), detector("phosphor_plate")
    return median_ms(
        lambda: transmission(film.lengths_mm, shells, beam, plate, threads=threads), repeats
    )


def reference_s_per_pixel(stack: ShellStack, grid: ReceptorGrid) -> float:
    """Seconds a pixel for brute force, which must agree with the kernel there."""
    film = path_lengths_of_stack(stack, source_mm(0), grid)
    generator = np.random.default_rng(8)
    rows = generator.integers(grid.rows, size=REFERENCE_PIXELS)
    columns = generator.integers(grid.columns, size=REFERENCE_PIXELS)
    pixels = np.stack([grid.u_mm[columns], grid.v_mm[rows], np.zeros(REFERENCE_PIXELS)], axis=1)
    begun = perf_counter()
    found, _ = brute_force_lengths_mm(stack.vertices_mm, corners_of(stack), source_mm(0), pixels)
    taken = perf_counter() - begun
    worst_mm = np.abs(film.lengths_mm.sum(axis=0)[rows, columns] - found).max()
    print(f"worst difference from brute force on {REFERENCE_PIXELS} pixels: {worst_mm:.1e} mm")
    return taken / REFERENCE_PIXELS


def corners_of(stack: ShellStack) -> np.ndarray:
    """Triangles whose corners are counted through all pieces."""
    firsts = np.concatenate([[0], stack.ends[:-1, 0]])
    counts = np.diff(stack.ends[:, 1], prepend=0)
    return stack.triangles + np.repeat(firsts, counts)[:, None]


def median_ms(act: Callable[[], object], repeats: int) -> float:
    """Median wall-clock time of repeated calls."""
    act_times = []
    for _ in range(repeats):
        begun = perf_counter()
        act()
        act_times.append(1000.0 * (perf_counter() - begun))
    return median(act_times)


if __name__ == "__main__":
    main()
