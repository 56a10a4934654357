"""Films of `training_films` read back from their files, laid on squares, either side alike."""

from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from bitewright.proposing.channels import CHANNEL_COUNT, TOOTH_COUNT, channel_of, tooth_row
from bitewright.proposing.square import SIDE_PX
from builders.training_mouths import HELD_OUT_EVERY


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class KeptFilms:
    """N films on squares, the front of the mouth to the right.

    Parameters
    ----------
    grey : (N, side, side) uint8 array
    size_px : (N, 2) int array
        Rows and columns of each film, in the middle of its square.
    places_px : (N, channels, 2) float32 array
        From the square's corner, to the right and down.
    seen : (N, channels) bool array
    sure : (N, channels) bool array
        Whose places are to be learnt from.
    told : (N, 12) float32 array
        +1 for a tooth that the mouth has, -1 for one that it lacks.
    seeds : (N,) int array
    is_other : (N,) bool array
        With the look and the receptor that are never learnt from.
    is_held_out : (N,) bool array
    """

    grey: NDArray[np.uint8]
    size_px: NDArray[np.int64]
    places_px: NDArray[np.float32]
    seen: NDArray[np.bool_]
    sure: NDArray[np.bool_]
    told: NDArray[np.float32]
    seeds: NDArray[np.int64]
    is_other: NDArray[np.bool_]
    is_held_out: NDArray[np.bool_]


def kept_films(folder: Path, *, most: int | None = None) -> KeptFilms:
    """All films of a folder."""
    rows = []
    for path in sorted(folder.glob("mouth-*.npz"))[:most]:
        with np.load(path, allow_pickle=False) as file:
            arrays = dict(file)
        seed = int(arrays["seed"])
        rows += [(seed, *_film(arrays, n)) for n in range(int(arrays["count"]))]
    seeds, grey, size, places, seen, sure, told, other = (
        np.stack([row[k] for row in rows]) for k in range(8)
    )
    return KeptFilms(
        grey=grey,
        size_px=size,
        places_px=places,
        seen=seen,
        sure=sure,
        told=told,
        seeds=seeds,
        is_other=other,
        is_held_out=seeds % HELD_OUT_EVERY == 0,
    )


def _film(arrays: dict[str, np.ndarray], n: int) -> tuple[np.ndarray, ...]:
    grey = arrays[f"grey_{n}"]
    rows, columns = grey.shape
    spots, names = arrays[f"u_px_{n}"].astype(np.float32), arrays[f"names_{n}"]
    if arrays[f"front_sign_{n}"] < 0:
        grey = grey[:, ::-1]
        spots = np.stack([columns - spots[:, 0], spots[:, 1]], -1)
    top, left = (SIDE_PX - rows) // 2, (SIDE_PX - columns) // 2
    square = np.zeros((SIDE_PX, SIDE_PX), np.uint8)
    square[top : top + rows, left : left + columns] = grey
    places = np.zeros((CHANNEL_COUNT, 2), np.float32)
    seen, sure = np.zeros(CHANNEL_COUNT, bool), np.zeros(CHANNEL_COUNT, bool)
    known = arrays.get(f"sure_{n}", np.ones(len(names), bool))
    for name, spot, is_seen, is_sure in zip(names, spots, arrays[f"seen_{n}"], known, strict=True):
        channel = channel_of(str(name))
        if channel is not None:
            places[channel] = spot + np.array([left, top])
            seen[channel], sure[channel] = is_seen, is_sure
    told = np.ones(TOOTH_COUNT, np.float32)
    for code in arrays[f"absent_{n}"]:
        told[tooth_row(int(code))] = -1
    other = np.bool_(arrays[f"other_{n}"])
    return square, np.array([rows, columns]), places, seen, sure, told, other


__all__ = ["KeptFilms", "kept_films"]
