"""From fractions of the way from source to pixel to millimetres."""

import numpy as np
from numpy.typing import NDArray

from bitewright.compiled import compiled


@compiled
def to_millimetres(
    depths: NDArray[np.float32],
    is_touched: NDArray[np.bool_],
    view: NDArray[np.float64],
    first_row: int,
    end_row: int,
) -> None:
    """Turn some rows' fractions of the way from source to pixel into millimetres, in place.

    Rows of a group that nothing was added to are passed over: their memory is not even fetched.

    Parameters
    ----------
    depths : (groups, rows, columns) float32 array
        Fractions; then lengths. [mm]
    is_touched : (groups, rows) bool array
        Whether a row of a group was added to.
    view : (6,) float array
        Source u, v, w, centre of the first pixel u, v, and size of a pixel. [mm]
    first_row, end_row : int
        The first row and the row after the last.
    """
    whole_mm = np.empty(depths.shape[2], dtype=np.float32)
    for row in range(first_row, end_row):
        v = view[4] + view[5] * row - view[1]
        aside = v * v + view[2] * view[2]
        for column in range(depths.shape[2]):
            u = view[3] + view[5] * column - view[0]
            whole_mm[column] = np.sqrt(u * u + aside)
        for group in range(depths.shape[0]):
            if not is_touched[group, row]:
                continue
            for column in range(depths.shape[2]):
                depths[group, row, column] *= whole_mm[column]


__all__ = ["to_millimetres"]
