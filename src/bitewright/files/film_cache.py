"""Film mouths and their pieces, kept by content in the platform's cache folder: arrays, never code.

A kept file is trusted only as far as it can be read whole with the shapes it should have; anything
else counts as not there. The folder stays under a size; what was used longest ago goes first.
"""

import os
from collections.abc import Iterator
from contextlib import suppress
from io import BytesIO
from pathlib import Path
from zipfile import BadZipFile

import numpy as np
from numpy.typing import NDArray
from platformdirs import user_cache_path

from bitewright.errors import BitewrightError
from bitewright.film.film_parts import FilmMouth, FilmPart, Standing
from bitewright.film.shells import ShellGroup
from bitewright.keeping.whole_files import FileUnwritableError, why_not, write_file
from bitewright.solids.spongiosa import SpongiosaField
from bitewright.space import ClosedMesh

ENDING = ".film.npz"
MOST_BYTES = 1 << 30
NO_PLACES, NO_TRIANGLES = np.empty((0, 3)), np.empty((0, 3), dtype=np.int32)
FIELDS = (
    "distance_mm",
    "origin_mouth",
    "axes_mouth",
    "grain_axes_mouth",
    "grain_origin_mouth",
)


def cache_folder() -> Path:
    """Where film mouths are kept: BITEWRIGHT_CACHE, else the platform's folder for caches."""
    own = os.environ.get("BITEWRIGHT_CACHE")
    base = Path(own) if own else user_cache_path("bitewright", appauthor=False)
    return base / "films"


def read_film_mouth(key: str) -> FilmMouth | None:
    """The film mouth kept under a key; None if there is none that is whole."""
    path = _path(key)
    try:
        with path.open("rb") as file, np.load(file, allow_pickle=False) as arrays:
            mouth = _mouth({name: arrays[name] for name in arrays.files})
        with suppress(OSError):  # where the cache may only be read
            os.utime(path)
    except (
        OSError,
        ValueError,
        TypeError,
        AttributeError,
        KeyError,
        BadZipFile,
        IndexError,
        EOFError,
    ):
        return None
    return mouth


def keep_film_mouth(key: str, mouth: FilmMouth) -> None:
    """Keep a film mouth; where that cannot be written, nothing is kept and nothing is said."""
    file = BytesIO()
    np.savez(file, allow_pickle=False, **_arrays(mouth))
    try:
        cache_folder().mkdir(parents=True, exist_ok=True)
        write_file(_path(key), file.getvalue())
        _make_room()
    except (OSError, BitewrightError):
        return


def kept_bytes() -> tuple[int, int]:
    """How many film mouths and pieces are kept, and their size. [bytes]"""
    sizes = [size for _, _, size in _kept()]
    return len(sizes), sum(sizes)


def clear_films() -> int:
    """Remove everything kept; how many film mouths and pieces there were.

    Raises
    ------
    FileUnwritableError
        If one of them may not be removed.
    """
    count = 0
    for path, _, _ in list(_kept()):
        try:
            path.unlink(missing_ok=True)
        except OSError as error:
            raise FileUnwritableError(path, why_not(error)) from error
        count += 1
    return count


def _path(key: str) -> Path:
    return cache_folder() / f"{key}{ENDING}"


def _kept() -> Iterator[tuple[Path, float, int]]:
    """Path, last use and size of everything kept."""
    for path in cache_folder().glob(f"*{ENDING}"):
        try:
            told = path.stat()
        except OSError:
            continue
        yield path, told.st_mtime, told.st_size


def _make_room() -> None:
    total = 0
    for path, _, size in sorted(_kept(), key=lambda each: -each[1]):
        total += size
        if total > MOST_BYTES:
            path.unlink(missing_ok=True)


def _arrays(mouth: FilmMouth) -> dict[str, NDArray[np.generic]]:
    """Everything of a film mouth; vertices in float32, within 2e-6 mm."""
    meshes = [part.own for part in mouth.parts]
    arrays: dict[str, NDArray[np.generic]] = {
        "vertices": np.concatenate([NO_PLACES, *(mesh.vertices_mm for mesh in meshes)]).astype(
            np.float32
        ),
        "triangles": np.concatenate([NO_TRIANGLES, *(mesh.triangles for mesh in meshes)]),
        "vertex_counts": np.array([len(mesh.vertices_mm) for mesh in meshes]),
        "triangle_counts": np.array([len(mesh.triangles) for mesh in meshes]),
        "groups": np.array([int(part.group) for part in mouth.parts]),
        "axes": np.array([part.standing.axes_mouth for part in mouth.parts]).reshape(-1, 3, 3),
        "origins": np.array([part.standing.origin_mouth for part in mouth.parts]).reshape(-1, 3),
        "lower": np.array([part.is_lower for part in mouth.parts]),
        "hinge": np.array(mouth.hinge_mm),
        "cells": np.array([field.cell_mm for field in mouth.spongiosa]),
        "spongiosa_lower": np.array([field.is_lower for field in mouth.spongiosa]),
    }
    for number, field in enumerate(mouth.spongiosa):
        arrays |= {f"{name}_{number}": getattr(field, name) for name in FIELDS}
    return arrays


def _mouth(arrays: dict[str, NDArray[np.generic]]) -> FilmMouth:
    vertices = np.asarray(arrays["vertices"], dtype=np.float64)
    triangles = np.asarray(arrays["triangles"], dtype=np.int32)
    if vertices.ndim != 2 or triangles.ndim != 2 or not np.isfinite(vertices).all():
        raise ValueError
    if triangles.size and int(triangles.min()) < 0:
        raise IndexError
    axes, origins = (np.asarray(arrays[name], np.float64) for name in ("axes", "origins"))
    if not (np.isfinite(axes).all() and np.isfinite(origins).all()):
        raise ValueError
    if (axes.shape, origins.shape) != ((*arrays["groups"].shape, 3, 3), (len(axes), 3)):
        raise IndexError
    ends = [np.cumsum(arrays[name]).tolist() for name in ("vertex_counts", "triangle_counts")]
    parts = []
    for number, (group, lower) in enumerate(
        zip(arrays["groups"].tolist(), arrays["lower"].tolist(), strict=True)
    ):
        first = [end[number - 1] if number else 0 for end in ends]
        mesh = ClosedMesh(
            vertices[first[0] : ends[0][number]], triangles[first[1] : ends[1][number]]
        )
        if mesh.triangles.size and int(mesh.triangles.max()) >= len(mesh.vertices_mm):
            raise IndexError
        where = Standing(axes_mouth=axes[number], origin_mouth=origins[number])
        part = FilmPart(own=mesh, group=ShellGroup(group), is_lower=lower, standing=where)
        parts.append(part)
    if sum(ends[0][-1:]) != len(vertices) or sum(ends[1][-1:]) != len(triangles):
        raise IndexError
    hinge = np.asarray(arrays["hinge"], dtype=np.float64)
    return FilmMouth(
        parts=tuple(parts),
        hinge_mm=(float(hinge[0]), float(hinge[1])),
        spongiosa=tuple(
            SpongiosaField(
                **{name: arrays[f"{name}_{number}"] for name in FIELDS},  # type: ignore[arg-type]
                cell_mm=float(cell),
                is_lower=lower,
            )
            for number, (cell, lower) in enumerate(
                zip(arrays["cells"].tolist(), arrays["spongiosa_lower"].tolist(), strict=True)
            )
        ),
    )


__all__ = ["cache_folder", "clear_films", "keep_film_mouth", "kept_bytes", "read_film_mouth"]
