"""A few energies that stand for a whole spectrum, for films that must keep up with a hand.

Figures: ``tables/ray_lengths.toml``.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from bitewright.figure_tables import figures_of
from bitewright.film.shells import Shell, material_from_shell
from bitewright.physics.attenuation import mu_per_cm
from bitewright.physics.detector import Detector
from bitewright.physics.spectrum import Spectrum

Floats = NDArray[np.float64]

SAMPLES = 1024
"""Rays that the energies are fitted to."""

PATIENCE = 10_000
"""Steps that a fit may take at most."""

TISSUES = {"enamel", "dentine", "soft_tissue", "cortical_bone", "mandible_spongiosa"}
"""Materials that a ray may cross together; of the others it crosses one."""

LEAST_SIGNAL = 5e-4
"""Rays that leave less than this of the beam are black on any receptor. Our choice."""


@dataclass(frozen=True, slots=True, eq=False)
class SpectrumNodes:
    """Energies and weights that attenuate as the whole spectrum does.

    Parameters
    ----------
    exponents_per_mm : (nodes, shells) float32 array
        Powers of two: minus attenuation over ln 2. [1/mm]
    weights : (nodes,) float32 array
        They sum to 1.
    worst_error : float
        Greatest difference of -ln of the signal over the rays fitted to.
    """

    exponents_per_mm: NDArray[np.float32]
    weights: NDArray[np.float32]
    worst_error: float


def spectrum_nodes(
    shells: Sequence[Shell], spectrum: Spectrum, detector: Detector, *, count: int = 16
) -> SpectrumNodes:
    """Choose energies of the spectrum and weigh them by least squares of the relative error.

    Our model: a non-negative fit (Lawson and Hanson 1974, from memory), from which the energies
    that are missed least are dropped. The rays fitted to are spread evenly (a Sobol sequence,
    unscrambled, so that the answer is always the same) over lengths in every material, squared so
    that thin layers count too.

    Parameters
    ----------
    shells : sequence of Shell
        In the order of the path lengths.
    spectrum : Spectrum
    detector : Detector
    count : int
        Energies kept; 16 keep the error of -ln T below 0.0005, metals included.
    """
    from scipy.optimize import nnls  # noqa: PLC0415  slow to load, for moving films alone
    from scipy.stats import qmc  # noqa: PLC0415  as above

    materials, matrix = material_from_shell(shells)
    mu = np.stack([mu_per_cm(part, spectrum.energies_kev) / 10.0 for part in materials], axis=1)
    whole = detector.signal_weights(spectrum)
    share = qmc.Sobol(len(materials), scramble=False).random(SAMPLES)
    longest = np.array([_longest_mm(part.name) for part in materials])
    # Rays cross tissues of all kinds and, if any, one of the other materials.
    is_tissue = np.array([part.name in TISSUES for part in materials])
    others = np.where(is_tissue, -1.0, share)
    kept = is_tissue | (others >= others.max(axis=1, keepdims=True))
    kept[::4] = is_tissue
    lengths = np.concatenate([np.zeros((1, len(materials))), kept * share**2 * longest])
    passed = np.exp(-lengths @ mu.T)
    passed = passed[passed @ whole > LEAST_SIGNAL]
    signal = passed @ whole
    relative = passed / signal[:, None]
    chosen = _chosen(relative, count)
    weights = nnls(relative[:, chosen], np.ones(len(relative)), maxiter=PATIENCE)[0]
    weights /= weights.sum()
    error = np.abs(np.log(passed[:, chosen] @ weights) - np.log(signal))
    return SpectrumNodes(
        exponents_per_mm=(-(mu[chosen] @ matrix) / np.log(2.0)).astype(np.float32),
        weights=weights.astype(np.float32),
        worst_error=float(error.max()),
    )


def _longest_mm(material: str) -> float:
    """How far rays run in a material at most."""
    return float(getattr(RAYS.longest, f"{material}_mm", RAYS.other_mm))


def _chosen(relative: Floats, count: int) -> NDArray[np.intp]:
    """Columns of a non-negative fit, those that are missed least dropped down to a count."""
    from scipy.optimize import nnls  # noqa: PLC0415  as above

    # The triangle of a QR factorisation fits as the thousand rays do, in a twentieth of the time.
    rays = np.column_stack([relative, np.ones(len(relative))])
    triangle: Floats = np.asarray(np.linalg.qr(rays, mode="r"))
    relative, target = triangle[:, :-1], triangle[:, -1]
    columns = np.flatnonzero(nnls(relative, target, maxiter=PATIENCE)[0])
    while len(columns) > count:
        missed = [
            nnls(relative[:, np.delete(columns, k)], target, maxiter=PATIENCE)[1]
            for k in range(len(columns))
        ]
        columns = np.delete(columns, int(np.argmin(missed)))
    return columns


class LongestWays(NamedTuple):
    """How far they run in each of some."""

    enamel_mm: float
    dentine_mm: float
    soft_tissue_mm: float
    cortical_bone_mm: float
    amalgam_mm: float
    resin_composite_mm: float
    root_filling_mm: float
    carious_enamel_mm: float
    carious_dentine_mm: float
    calculus_mm: float


class RayLengths(NamedTuple):
    """How far rays run in each material at most."""

    other_mm: float
    longest: LongestWays


RAYS = figures_of(RayLengths, "bitewright.film", "ray_lengths")

__all__ = ["SpectrumNodes", "spectrum_nodes"]
