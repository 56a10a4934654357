"""What x-rays do: materials, attenuation, the tube's spectrum, detectors, textbook formulae."""

from bitewright.physics.attenuation import mu_per_cm
from bitewright.physics.detector import Detector, detector
from bitewright.physics.materials import Material, material, mixed_by_volume
from bitewright.physics.spectrum import Spectrum, tube_spectrum

__all__ = [
    "Detector",
    "Material",
    "Spectrum",
    "detector",
    "material",
    "mixed_by_volume",
    "mu_per_cm",
    "tube_spectrum",
]
