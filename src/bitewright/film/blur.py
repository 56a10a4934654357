"""Gaussian blur of an image, the rows shared among threads."""

import numpy as np
from numpy.typing import NDArray

from bitewright.compiled import compiled_loosely
from bitewright.row_bands import ALONE, Threads, in_row_bands

Image = NDArray[np.float32]

REACH_SIGMAS = 4.0
"""A Gaussian is cut off at so many deviations."""

LEAST_SIGMA_PX = 1e-6
"""Keeps a blur of no width from a division by nothing."""


def blurred(
    image: Image, sigma_px: float, *, down_px: float | None = None, threads: Threads = ALONE
) -> Image:
    """An image blurred by a Gaussian cut off at 4 deviations, edges continued as they are.

    Parameters
    ----------
    image : (rows, columns) float32 array
    sigma_px : float
        Standard deviation; 0 leaves the image.
    down_px : float or None
        That down the columns, where it is another.
    threads : Threads
        The result is the same to the last bit.
    """
    image = np.ascontiguousarray(image, dtype=np.float32)
    across = gaussian(sigma_px)
    down = across if down_px is None else gaussian(down_px)
    if len(across) == len(down) == 1:
        return image.copy()
    out = np.empty_like(image)

    def fill(first_row: int, end_row: int) -> None:
        blur_rows(image, across, down, first_row, end_row, out)

    in_row_bands(fill, np.ones(len(image)), threads)
    return out


def gaussian(sigma_px: float) -> Image:
    """Weights of a Gaussian cut off at `REACH_SIGMAS`, an array (weights,) that sums to 1.

    Their number is odd; the middle one is the pixel's own.
    """
    reach = int(REACH_SIGMAS * sigma_px + 0.5)
    places = np.arange(-reach, reach + 1) / max(sigma_px, LEAST_SIGMA_PX)
    weights = np.exp(-0.5 * places**2)
    return np.asarray(weights / weights.sum(), dtype=np.float32)


@compiled_loosely
def blur_rows(
    image: Image, across: Image, down: Image, first_row: int, end_row: int, out: Image
) -> None:
    """Fill some rows of a blur: down the columns first, then along the row.

    Parameters
    ----------
    image, out : (rows, columns) float32 arrays
        What is blurred, and what is filled.
    across, down : (weights,) float32 arrays
        As `gaussian` gives them.
    first_row, end_row : int
        The first row and the row after the last.
    """
    rows, columns = image.shape
    reach, below = len(across) // 2, len(down) // 2
    line = np.empty(columns + 2 * reach, dtype=np.float32)
    inner = line[reach : reach + columns]
    for row in range(first_row, end_row):
        inner[:] = np.float32(0.0)
        for k in range(len(down)):
            weight, source = down[k], image[min(max(row + k - below, 0), rows - 1)]
            for column in range(columns):
                inner[column] += weight * source[column]
        line[:reach] = line[reach]
        line[reach + columns :] = line[reach + columns - 1]
        made = out[row]
        made[:] = np.float32(0.0)
        for k in range(len(across)):
            weight, source = across[k], line[k : k + columns]
            for column in range(columns):
                made[column] += weight * source[column]


def block_means(image: Image, block: int) -> Image:
    """Means of square blocks of an image, those at the lower and right edges cut short.

    Parameters
    ----------
    image : (rows, columns) float32 array
    block : int
        Side of a block. [pixels]

    Returns
    -------
    (rows / block, columns / block) float32 array
        Rounded up.
    """
    starts = [np.arange(0, n, block) for n in image.shape]
    sums = np.add.reduceat(np.add.reduceat(image, starts[0], axis=0), starts[1], axis=1)
    counts = [np.diff(s, append=n) for s, n in zip(starts, image.shape, strict=True)]
    return np.asarray(sums / np.outer(*counts), dtype=np.float32)


def between_blocks(means: Image, block: int, shape: tuple[int, ...]) -> Image:
    """An image on straight lines between the middles of blocks, beyond the outermost as there.

    Parameters
    ----------
    means : (rows / block, columns / block) float32 array
        As `block_means` gives them.
    block : int
        Side of a block. [pixels]
    shape : tuple
        Rows and columns of the image.

    Returns
    -------
    (rows, columns) float32 array
    """
    image = np.empty(shape, dtype=np.float32)
    rows, columns = (_places(n, block) for n in shape)
    stretch(means, rows, columns, image)
    return image


def _places(pixels: int, block: int) -> Image:
    """Where each pixel lies among the blocks, counted from the middle of the first."""
    starts = np.arange(0, pixels, block)
    middles = starts + (np.diff(starts, append=pixels) - 1) / 2.0
    places = np.interp(np.arange(pixels), middles, np.arange(len(middles)))
    return np.asarray(places, dtype=np.float32)


@compiled_loosely
def stretch(means: Image, row_places: Image, column_places: Image, image: Image) -> None:
    """Fill an image with what lies at given places of a small one, on straight lines between.

    Parameters
    ----------
    means : (r, c) float32 array
        The small image.
    row_places, column_places : (rows,) and (columns,) float32 arrays
        Where each row and column of the image lies in the small one.
    image : (rows, columns) float32 array
        Filled.
    """
    line = np.empty(means.shape[1], dtype=np.float32)
    for row in range(image.shape[0]):
        k = min(int(row_places[row]), max(means.shape[0] - 2, 0))
        share = row_places[row] - np.float32(k)
        below = means[min(k + 1, means.shape[0] - 1)]
        for column in range(means.shape[1]):
            line[column] = means[k, column] + share * (below[column] - means[k, column])
        for column in range(image.shape[1]):
            k = min(int(column_places[column]), max(means.shape[1] - 2, 0))
            share = column_places[column] - np.float32(k)
            image[row, column] = line[k] + share * (line[min(k + 1, len(line) - 1)] - line[k])


__all__ = ["between_blocks", "block_means", "blurred", "gaussian"]
