"""The penumbra of a focal spot.

Distances: source to receptor (SID), source to object (SOD), object to receptor (OID = SID - SOD).
Source: plane similar triangles; worked cases of this form are in every radiology textbook.
"""

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


def _source_object_mm(source_receptor_mm: float, object_receptor_mm: float) -> float:
    if not 0.0 <= object_receptor_mm < source_receptor_mm:
        raise ImpossibleDistanceError(source_receptor_mm, object_receptor_mm)
    return source_receptor_mm - object_receptor_mm


__all__ = ["ImpossibleDistanceError", "geometric_unsharpness_mm"]
