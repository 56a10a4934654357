"""Poses: rigid movements from one frame to another.

Frames
------
mouth
    Right-handed, axes as DICOM patient space: +x to the patient's left, +y posterior, +z towards
    the head. Origin midway between the upper central incisal edges; z = 0 is the plane through
    that point and the mesiobuccal cusp tips of both upper first molars. [mm]
receptor
    Origin at the centre of the active area, u to the right and v down as displayed,
    w = u x v pointing away from the tube. Images are shown as seen from the tube. [mm]
tooth
    +x mesial, +y buccal, +z occlusal, z = 0 at the buccal cemento-enamel junction. [mm]

A pose named ``receptor_from_mouth`` takes points in the mouth frame to the receptor frame.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bitewright.errors import BitewrightError

ORTHONORMAL_TOLERANCE = 1e-9


class NotARotationError(BitewrightError):
    """A matrix given as a rotation is not one (it stretches, shears or mirrors)."""

    def __init__(self, determinant: float) -> None:
        self.determinant = determinant
        super().__init__(
            f"The matrix given is not a rotation (determinant {determinant:.6f}, must be +1 with "
            "orthonormal rows): give a rigid movement, and mirror the mouth itself, not its pose."
        )


@dataclass(frozen=True, slots=True, eq=False)
class Pose:
    """A rigid movement: ``points @ rotation.T + shift_mm``.

    Parameters
    ----------
    rotation : (3, 3) float array
        Orthonormal, determinant +1 (checked).
    shift_mm : (3,) float array
        Where the old frame's origin lies in the new frame. [mm]

    Raises
    ------
    NotARotationError
        If the matrix is not a rotation or holds a value that is not finite.
    """

    rotation: NDArray[np.float64]
    shift_mm: NDArray[np.float64]

    def __post_init__(self) -> None:
        rotation = np.array(self.rotation, dtype=np.float64).reshape(3, 3)
        shift_mm = np.array(self.shift_mm, dtype=np.float64).reshape(3)
        determinant = float(np.linalg.det(rotation)) if np.isfinite(rotation).all() else np.nan
        off = np.abs(rotation @ rotation.T - np.eye(3)).max()
        if not (off <= ORTHONORMAL_TOLERANCE and determinant > 0 and np.isfinite(shift_mm).all()):
            raise NotARotationError(determinant)
        rotation.setflags(write=False)
        shift_mm.setflags(write=False)
        object.__setattr__(self, "rotation", rotation)
        object.__setattr__(self, "shift_mm", shift_mm)

    @classmethod
    def identity(cls) -> "Pose":
        """The pose that moves nothing."""
        return cls(np.eye(3), np.zeros(3))

    def __matmul__(self, other: "Pose") -> "Pose":
        """Chain two poses: ``c_from_b @ b_from_a`` is ``c_from_a``."""
        return Pose(self.rotation @ other.rotation, self.rotation @ other.shift_mm + self.shift_mm)

    def points(self, points: ArrayLike) -> NDArray[np.float64]:
        """Move points given as rows, shape (..., 3). [mm]"""
        moved = np.asarray(points, dtype=np.float64) @ self.rotation.T + self.shift_mm
        return np.asarray(moved, dtype=np.float64)

    def directions(self, directions: ArrayLike) -> NDArray[np.float64]:
        """Turn directions given as rows, shape (..., 3), without shifting them."""
        turned = np.asarray(directions, dtype=np.float64) @ self.rotation.T
        return np.asarray(turned, dtype=np.float64)

    def inverse(self) -> "Pose":
        """The movement back."""
        return Pose(self.rotation.T, -(self.rotation.T @ self.shift_mm))


def rotation_about_axis(axis: ArrayLike, angle_deg: float) -> NDArray[np.float64]:
    """Right-handed rotation matrix about an axis (Rodrigues' formula).

    Parameters
    ----------
    axis : (3,) float
        Direction of the axis, any length but zero.
    angle_deg : float
        Anticlockwise seen from the axis' tip. [deg]

    Returns
    -------
    (3, 3) float array
    """
    x, y, z = np.asarray(axis, dtype=np.float64) / np.linalg.norm(axis)
    cross = np.array([[0.0, -z, y], [z, 0.0, -x], [-y, x, 0.0]])
    angle_rad = np.deg2rad(angle_deg)
    turned = np.eye(3) + np.sin(angle_rad) * cross + (1 - np.cos(angle_rad)) * cross @ cross
    return np.asarray(turned, dtype=np.float64)


__all__ = ["NotARotationError", "Pose", "rotation_about_axis"]
