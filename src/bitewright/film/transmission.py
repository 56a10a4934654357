"""From path lengths and a spectrum to the share of the open beam's signal in each pixel."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from bitewright.compiled import compiled_loosely
from bitewright.errors import BitewrightError
from bitewright.film.shells import Shell, mu_of_shells_per_mm
from bitewright.physics.detector import Detector
from bitewright.physics.spectrum import Spectrum
from bitewright.row_bands import ALONE, Threads, in_row_bands

Floats32 = NDArray[np.float32]

TILE = 512
"""Pixels taken at a time, so that the working rows stay in the nearest cache."""

LEAST_EXPONENT = np.float32(-100.0)
"""Powers of two are taken down to this one: nothing but a lead safe attenuates as much."""


class ShellCountError(BitewrightError):
    """Path lengths and shells do not pair up."""

    def __init__(self, length_groups: int, shells: int) -> None:
        self.length_groups = length_groups
        self.shells = shells
        super().__init__(
            f"Path lengths for {length_groups} groups were given with {shells} shells; there must "
            "be one shell for each group, in the same order. Add the missing shells, or film "
            "with group_count set."
        )


def transmission(
    lengths_mm: Floats32,
    shells: Sequence[Shell],
    spectrum: Spectrum,
    detector: Detector,
    *,
    threads: Threads = ALONE,
) -> Floats32:
    """Primary signal in each pixel as a share of the open beam's.

    Model: every energy bin is attenuated along the ray by Beer and Lambert's law and weighted by
    the signal it gives in the detector, T = sum_k w_k exp(-sum_g mu_kg L_g). Scatter is left to the
    film. The obliquity of rays in the detector layer and the heel effect are left out. Against
    float64, -ln T is within 1e-6 where T is above 0.01.

    Parameters
    ----------
    lengths_mm : (groups, rows, columns) float32 array
        From `path_lengths`. [mm]
    shells : sequence of Shell
        What fills each group.
    spectrum : Spectrum
    detector : Detector
    threads : Threads
        Workers to share the rows among. The result is the same to the last bit.

    Returns
    -------
    (rows, columns) float32 array
        Exactly 1 where every length is 0.

    Raises
    ------
    ShellCountError
        If there is not one shell for each group.
    """
    if len(lengths_mm) != len(shells):
        raise ShellCountError(len(lengths_mm), len(shells))
    weights = detector.signal_weights(spectrum).astype(np.float32)
    mu_per_mm = mu_of_shells_per_mm(shells, spectrum.energies_kev)
    exponents_per_mm = (-mu_per_mm / np.log(2.0)).astype(np.float32)
    return transmission_at_nodes(lengths_mm, exponents_per_mm, weights, threads=threads)


def transmission_at_nodes(
    lengths_mm: Floats32, exponents_per_mm: Floats32, weights: Floats32, *, threads: Threads = ALONE
) -> Floats32:
    """As `transmission`, for energies whose attenuation is worked out beforehand.

    Parameters
    ----------
    lengths_mm : (groups, rows, columns) float32 array
        [mm]
    exponents_per_mm : (nodes, groups) float32 array
        Minus the attenuation over ln 2: powers of two. [1/mm]
    weights : (nodes,) float32 array
        Share of the open beam's signal that each energy brings.
    threads : Threads
    """
    lengths = np.ascontiguousarray(lengths_mm, dtype=np.float32)
    shares = np.empty(lengths.shape[1:], dtype=np.float32)

    def fill(first_row: int, end_row: int) -> None:
        add_up_spectrum(lengths, exponents_per_mm, weights, first_row, end_row, shares)

    in_row_bands(fill, np.ones(len(shares)), threads)
    return shares


@compiled_loosely
def add_up_spectrum(
    lengths_mm: Floats32,
    exponents_per_mm: Floats32,
    weights: Floats32,
    first_row: int,
    end_row: int,
    shares: Floats32,
) -> None:
    """Fill some rows of the shares: each energy's signal, attenuated, added up.

    Parameters
    ----------
    lengths_mm : (groups, rows, columns) float32 array
        [mm]
    exponents_per_mm : (nodes, groups) float32 array
        Minus the attenuation over ln 2. [1/mm]
    weights : (nodes,) float32 array
    first_row, end_row : int
        The first row and the row after the last.
    shares : (rows, columns) float32 array
        Filled.
    """
    groups, columns = lengths_mm.shape[0], shares.shape[1]
    open_beam = np.float32(0.0)
    for weight in weights:
        open_beam += weight  # summed as each pixel is, so that an open pixel comes to exactly 1
    inside = np.empty((groups, TILE), dtype=np.float32)
    present = np.empty(groups, dtype=np.int64)
    total = np.empty(TILE, dtype=np.float32)
    scratch = np.empty((2, TILE), dtype=np.float32)
    for row in range(first_row, end_row):
        for start in range(0, columns, TILE):
            count = min(TILE, columns - start)
            found = 0
            for group in range(groups):
                if load_run(lengths_mm[group, row], start, count, inside[found]):
                    present[found] = group
                    found += 1
            total[:] = np.float32(0.0)
            for k in range(weights.shape[0]):
                add_bin(inside, present[:found], exponents_per_mm[k], weights[k], scratch, total)
            for i in range(count):
                shares[row, start + i] = total[i] / open_beam


@compiled_loosely
def load_run(line_mm: Floats32, start: int, count: int, run_mm: Floats32) -> bool:
    """Copy a run of pixels, the rest filled up with 0, and tell whether any is not 0.

    Parameters
    ----------
    line_mm : (columns,) float32 array
        [mm]
    start, count : int
        Which of them.
    run_mm : (TILE,) float32 array
        Filled. [mm]
    """
    greatest = np.float32(0.0)
    for i in range(count):
        run_mm[i] = line_mm[start + i]
        greatest = max(greatest, abs(run_mm[i]))
    run_mm[count:] = np.float32(0.0)
    return bool(greatest > np.float32(0.0))


@compiled_loosely
def add_bin(
    inside_mm: Floats32,
    present: NDArray[np.int64],
    per_mm: Floats32,
    weight: np.float32,
    scratch: Floats32,
    total: Floats32,
) -> None:
    """Add one energy's share of the signal to a run of pixels.

    Parameters
    ----------
    inside_mm : (groups, TILE) float32 array
        Row i holds the lengths in shell group ``present[i]``. [mm]
    present : (groups,) int array
    per_mm : (groups,) float32 array
        Minus the attenuation over ln 2, by shell group. [1/mm]
    weight : float32
    scratch : (2, TILE) float32 array
        Room to work in.
    total : (TILE,) float32 array
        Added to.
    """
    exponents, whole = scratch[0], scratch[1]
    powers = whole.view(np.int32)
    exponents[:] = np.float32(0.0)
    for row in range(present.shape[0]):
        factor = per_mm[present[row]]
        for i in range(TILE):
            exponents[i] += factor * inside_mm[row, i]
    for i in range(TILE):
        exponent = max(exponents[i], LEAST_EXPONENT)
        power = np.floor(exponent + np.float32(0.5))
        exponents[i] = exponent - power
        powers[i] = (np.int32(power) + np.int32(127)) << np.int32(23)
    for i in range(TILE):  # whole is 2^power, written straight into the exponent bits
        total[i] += weight * whole[i] * exp2_near_zero(exponents[i])


@compiled_loosely
def exp2_near_zero(x: np.float32) -> np.float32:
    """2^x for |x| <= 0.5, within 1.7e-7 of itself and exactly 1 at 0.

    Our model: the polynomial of fifth degree whose greatest relative error is least.
    """
    tail = np.float32(0.00967151132) + x * np.float32(0.00132646524)
    tail = np.float32(0.24022242124) + x * (np.float32(0.05550733963) + x * tail)
    return np.float32(1.0) + x * (np.float32(0.69314697753) + x * tail)


__all__ = ["ShellCountError", "transmission", "transmission_at_nodes"]
