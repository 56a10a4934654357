"""Films and solids of the bench as bytes for a page."""

import numpy as np
from numpy.typing import NDArray

from bitewright.film.film_parts import FilmMouth
from bitewright.film.radiograph import Radiograph
from bitewright.film.shells import ShellGroup
from bitewright.solids.thinned import thinned

IN_SPACE_MM = 0.1
"""How much further surfaces may move for the view in space, which a processor alone may draw."""


def frame_bytes(picture: NDArray[np.uint8], *, seq: int, took_ms: int) -> bytes:
    """A small film: four little-endian numbers, then 8-bit pixels, row by row.

    The numbers are the wish's own, rows, columns, and the milliseconds it took.
    """
    head = np.array([seq, *picture.shape, took_ms], dtype="<u4")
    return head.tobytes() + picture.tobytes()


def film_bytes(film: Radiograph) -> bytes:
    """A whole film: 16-bit pixels, little-endian, row by row."""
    return film.pixels.astype("<u2").tobytes()


def solids_bytes(thin: FilmMouth) -> bytes:
    """A side's teeth for the view in space: upper jaw, then lower.

    Four little-endian counts (vertices and triangles of the upper, then of the lower jaw), then
    float32 vertices in the mouth frame and uint32 triangles of each. [mm]
    """
    counts, arrays = [], []
    for lower in (False, True):
        meshes = [
            thinned(part.mesh, IN_SPACE_MM)
            for part in thin.parts
            if part.is_lower is lower and part.group is ShellGroup.TOOTH
        ]
        starts = np.cumsum([0, *(len(mesh.vertices_mm) for mesh in meshes)])
        vertices = np.concatenate([mesh.vertices_mm for mesh in meshes] or [np.empty((0, 3))])
        triangles = np.concatenate(
            [mesh.triangles + start for mesh, start in zip(meshes, starts, strict=False)]
            or [np.empty((0, 3))]
        )
        counts += [len(vertices), len(triangles)]
        arrays += [vertices.astype("<f4"), triangles.astype("<u4")]
    return np.array(counts, dtype="<u4").tobytes() + b"".join(a.tobytes() for a in arrays)


__all__ = ["film_bytes", "frame_bytes", "solids_bytes"]
