"""Frames, poses and closed meshes: the one place that knows axes, signs and handedness."""

from bitewright.space.mesh import ClosedMesh, OpenMeshError
from bitewright.space.pose import NotARotationError, Pose, rotation_about_axis

__all__ = ["ClosedMesh", "NotARotationError", "OpenMeshError", "Pose", "rotation_about_axis"]
