"""How strongly a receptor answers photons of each energy."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from bitewright.errors import BitewrightError
from bitewright.physics.attenuation import mu_per_cm
from bitewright.physics.materials import Material, material
from bitewright.physics.spectrum import Spectrum


class UnknownDetectorError(BitewrightError):
    """A detector was asked for by a name the packaged table does not hold."""

    def __init__(self, name: str, known: tuple[str, ...]) -> None:
        self.name = name
        self.known = known
        super().__init__(
            f"There is no detector named {name!r}; the table holds {', '.join(known)}. "
            "Choose one of these or make a Detector with its material and thickness."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Detector:
    """A layer that absorbs photons and adds up the energy it absorbs.

    Model: signal per photon is its energy times the chance of interacting in the layer; escape
    of fluorescence and optical gain are left out.

    Parameters
    ----------
    name : str
    material : Material
    thickness_mm : float
        Of the layer that absorbs, along the beam. [mm]
    source : str
    """

    name: str
    material: Material
    thickness_mm: float
    source: str

    def signal_per_photon_kev(self, energies_kev: NDArray[np.float64]) -> NDArray[np.float64]:
        """Mean energy that one photon adds, an array (n,) for energies (n,). [keV]"""
        depth = mu_per_cm(self.material, energies_kev) * self.thickness_mm / 10.0
        return np.asarray(energies_kev * -np.expm1(-depth), dtype=np.float64)

    def signal_weights(self, spectrum: Spectrum) -> NDArray[np.float64]:
        """Share of the open beam's signal that each bin brings; sums to 1. Shape (n,)."""
        signal = spectrum.fluence_weights * self.signal_per_photon_kev(spectrum.energies_kev)
        return np.asarray(signal / signal.sum(), dtype=np.float64)


def detector(name: str) -> Detector:
    """The detector of this name from the packaged table.

    Raises
    ------
    UnknownDetectorError
        If the table holds no such name.
    """
    table = packaged_detectors()
    if name not in table:
        raise UnknownDetectorError(name, tuple(table))
    return table[name]


@lru_cache(maxsize=1)
def packaged_detectors() -> Mapping[str, Detector]:
    """Every detector of the packaged table, by name, read once."""
    text = files("bitewright.physics").joinpath("tables/detectors.toml").read_text("utf-8")
    return MappingProxyType(
        {
            name: Detector(
                name=name,
                material=material(row["material"]),
                thickness_mm=row["thickness_mm"],
                source=row["source"],
            )
            for name, row in tomllib.loads(text)["detector"].items()
        }
    )


__all__ = ["Detector", "UnknownDetectorError", "detector", "packaged_detectors"]
