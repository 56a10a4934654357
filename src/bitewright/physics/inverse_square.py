"""The inverse-square law: what a longer or shorter distance does to the exposure.

Assumes a point source and neglects attenuation in air (under 1 % over dental distances).
"""

from bitewright.errors import BitewrightError


class DistanceNotPositiveError(BitewrightError):
    """A distance from the source that is zero or negative."""

    def __init__(self, from_mm: float, to_mm: float) -> None:
        self.from_mm = from_mm
        self.to_mm = to_mm
        super().__init__(
            f"Distances from the source of {from_mm:g} and {to_mm:g} mm were given; both must be "
            "above 0. Measure from the focal spot, not from the end of the tube."
        )


def intensity_ratio(*, from_mm: float, to_mm: float) -> float:
    """Intensity at the second distance over that at the first: (d1 / d2) squared.

    Raises
    ------
    DistanceNotPositiveError
        If a distance is not above 0.
    """
    if not (from_mm > 0 and to_mm > 0):
        raise DistanceNotPositiveError(from_mm, to_mm)
    return (from_mm / to_mm) ** 2


def time_ratio_for_same_density(*, from_mm: float, to_mm: float) -> float:
    """Factor on exposure time (or mAs) that keeps the receptor's dose: (d2 / d1) squared.

    Raises
    ------
    DistanceNotPositiveError
        If a distance is not above 0.
    """
    return 1.0 / intensity_ratio(from_mm=from_mm, to_mm=to_mm)


__all__ = ["DistanceNotPositiveError", "intensity_ratio", "time_ratio_for_same_density"]
