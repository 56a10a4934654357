"""Path lengths against gVirtualXRay, an open x-ray simulator on OpenGL: time, and differences.

    GVXR_PYTHON=gvxr/bin/python python -m benchmarks.against_gvxr

Both film the twelve teeth of `benchmarks/path_lengths.py` from the same place on the same pixels.
Aimed at, both on the processor alone: 10 times quicker for a preview, 25 times for a full film,
and 99.9 of 100 pixels within 0.01 mm. What is timed there is one image, whose lengths gVirtualXRay
makes on the way.
"""

import os
import subprocess
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from statistics import median
from time import perf_counter

import numpy as np

FRAMES = {"preview": (325, 250, 0.126), "full": (1300, 1000, 0.0315)}
TARGETS = {"preview": 10.0, "full": 25.0}
SOURCE_MM = (20.0, -40.0, -310.0)
ROUNDS = 7
HOW = (
    "gVirtualXRay is not there: install it into an environment of its own (python -m venv gvxr && "
    "gvxr/bin/pip install gvxr numpy; on Linux also Mesa's EGL and the libraries that importing it "
    "asks for) and name that environment's Python in GVXR_PYTHON."
)


def main() -> None:
    """Film with both and compare."""
    there = os.environ.get("GVXR_PYTHON")
    if there is None:
        print(HOW)
        return
    from path_lengths import teeth  # noqa: PLC0415  the child has no use for it

    meshes, groups = teeth()
    outer = [mesh for mesh, group in zip(meshes, groups, strict=True) if group == 0]
    with tempfile.TemporaryDirectory() as folder:
        arrays = {f"v{k}": mesh.vertices_mm for k, mesh in enumerate(meshes)}
        arrays |= {f"t{k}": mesh.triangles for k, mesh in enumerate(meshes)}
        np.savez(Path(folder) / "meshes.npz", outer=len(outer), groups=groups, **arrays)
        command = [there, str(Path(__file__).resolve()), "--film", folder]
        if subprocess.run(command, check=False, stdout=subprocess.DEVNULL).returncode:  # noqa: S603
            sys.exit(HOW)
        for name in FRAMES:
            with np.load(Path(folder) / f"{name}.npz") as other:
                compare(name, meshes, groups, other["lengths_mm"], float(other["ms"]))


def compare(name: str, meshes: list, groups: list[int], other_mm: np.ndarray, ms: float) -> None:
    """Print both times, their ratio and how far the lengths differ."""
    from bitewright.film.receptor_grid import ReceptorGrid  # noqa: PLC0415
    from bitewright.film.shell_stack import ShellStack, path_lengths_of_stack  # noqa: PLC0415
    from bitewright.row_bands import ALONE, Threads  # noqa: PLC0415

    columns, rows, pixel_mm = FRAMES[name]
    grid = ReceptorGrid.centred(columns=columns, rows=rows, pixel_mm=pixel_mm)
    stack = ShellStack.of(meshes, groups)
    with ThreadPoolExecutor(2) as pool:
        for threads in (ALONE, Threads(count=2, map=pool.map)):
            own_ms, film = timed(
                lambda threads=threads: path_lengths_of_stack(
                    stack, SOURCE_MM, grid, threads=threads
                )
            )
            print(
                f"{name}, {threads.count} thread(s): {own_ms:.1f} ms against {ms:.1f} ms, "
                f"{ms / own_ms:.0f} times quicker (target {TARGETS[name]:g})"
            )
    turned = [other_mm, other_mm[::-1], other_mm[:, ::-1], other_mm[::-1, ::-1]]
    differences = [np.abs(film.lengths_mm[0] - each) for each in turned]
    least = min(differences, key=np.median)  # which corner its image begins at is its own affair
    print(
        f"{name}: 99.9th percentile of differences {np.percentile(least, 99.9):.5f} mm "
        f"(target 0.01), median {np.median(least):.6f}, greatest {least.max():.3f}"
    )


def film_there(folder: Path) -> None:
    """Film with gVirtualXRay, in an environment that need not hold anything of this project."""
    from gvxrPython3 import gvxr  # noqa: PLC0415

    gvxr.createWindow(-1, 0, "EGL")
    gvxr.setSourcePosition(*SOURCE_MM, "mm")
    gvxr.usePointSource()
    gvxr.setMonoChromatic(60.0, "keV", 1)
    gvxr.setDetectorPosition(0.0, 0.0, 0.0, "mm")
    gvxr.setDetectorUpVector(0, -1, 0)
    gvxr.setDetectorRightVector(1, 0, 0)
    with np.load(folder / "meshes.npz") as arrays:
        groups = arrays["groups"].tolist()
        for k in range(len(groups)):
            vertices, triangles = arrays[f"v{k}"], arrays[f"t{k}"]
            gvxr.makeTriangularMesh(f"m{k}", vertices.ravel(), triangles.ravel(), "mm")
            gvxr.setElement(f"m{k}", "Ca")
            gvxr.setDensity(f"m{k}", 1.0, "g/cm3")
            gvxr.addPolygonMeshAsInnerSurface(f"m{k}")
    for name, (columns, rows, pixel_mm) in FRAMES.items():
        gvxr.setDetectorNumberOfPixels(columns, rows)
        gvxr.setDetectorPixelSize(pixel_mm, pixel_mm, "mm")
        ms, _ = timed(gvxr.computeXRayImage)
        outer = [k for k, group in enumerate(groups) if group == 0]
        lengths = sum(np.array(gvxr.computeLBuffer(f"m{k}"), dtype=np.float64) for k in outer)
        np.savez(folder / f"{name}.npz", lengths_mm=10.0 * lengths.reshape(rows, columns), ms=ms)


def timed(act):  # noqa: ANN001, ANN201  any call and what it gives
    """Median time of some calls after one that is not counted [ms], and the last result."""
    act()
    taken = []
    for _ in range(ROUNDS):
        begun = perf_counter()
        result = act()
        taken.append(1000.0 * (perf_counter() - begun))
    return median(taken), result


if __name__ == "__main__":
    if sys.argv[1:2] == ["--film"]:
        film_there(Path(sys.argv[2]))
    else:
        main()
