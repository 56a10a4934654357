"""The textbook formulae of projection from a point or a small focal spot.

Distances: source to receptor (SID), source to object (SOD), object to receptor (OID = SID - SOD).
Source of all: plane similar triangles; worked cases of this form are in every radiology textbook.
"""

import numpy as np

from bitewright.errors import BitewrightError


class ImpossibleDistanceError(BitewrightError):
    """The object does not lie between the source and the receptor."""

    def __init__(self, source_receptor_mm: float, object_receptor_mm: float) -> None:
        self.source_receptor_mm = source_receptor_mm
        self.object_receptor_mm = object_receptor_mm
        super().__init__(
            f"The object was placed {object_receptor_mm:g} mm before the receptor and the source "
            f"{source_receptor_mm:g} mm; the object must lie between them "
            "(0 <= object < source). Check the distances and that both are in mm."
        )


def magnification(*, source_receptor_mm: float, object_receptor_mm: float) -> float:
    """Image size over object size, object parallel to the receptor: SID / SOD.

    Raises
    ------
    ImpossibleDistanceError
        If the object is not between source and receptor.
    """
    source_object_mm = _source_object_mm(source_receptor_mm, object_receptor_mm)
    return source_receptor_mm / source_object_mm


def true_size_mm(image_mm: float, magnification: float) -> float:
    """Size of the object from the size of its image: image / M. [mm]"""
    return image_mm / magnification


def geometric_unsharpness_mm(
    *, focal_spot_mm: float, source_receptor_mm: float, object_receptor_mm: float
) -> float:
    """Width of the penumbra of a sharp edge on the receptor: F x OID / SOD [mm].

    Raises
    ------
    ImpossibleDistanceError
        If the object is not between source and receptor.
    """
    source_object_mm = _source_object_mm(source_receptor_mm, object_receptor_mm)
    return focal_spot_mm * object_receptor_mm / source_object_mm


def foreshortened_mm(length_mm: float, *, tilt_deg: float) -> float:
    """Image of a length tilted from the receptor, beam square to the receptor: L cos(tilt) [mm]."""
    return float(length_mm * np.cos(np.deg2rad(tilt_deg)))


def parallax_mm(*, depth_difference_mm: float, turn_deg: float) -> float:
    """How far two points part on the receptor when the beam turns: depth x tan(turn).

    ``depth_difference_mm`` is the difference of their distances before the receptor; of the two,
    the farther from the receptor (buccal) moves against the tube. [mm]
    """
    return float(depth_difference_mm * np.tan(np.deg2rad(turn_deg)))


def _source_object_mm(source_receptor_mm: float, object_receptor_mm: float) -> float:
    if not 0.0 <= object_receptor_mm < source_receptor_mm:
        raise ImpossibleDistanceError(source_receptor_mm, object_receptor_mm)
    return source_receptor_mm - object_receptor_mm


__all__ = [
    "ImpossibleDistanceError",
    "foreshortened_mm",
    "geometric_unsharpness_mm",
    "magnification",
    "parallax_mm",
    "true_size_mm",
]
