"""The film mouth: closed shells of one side's teeth, bone and cheek, ready to be exposed."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bitewright.dentition.bone_shells import bone_shells
from bitewright.dentition.jaws import opened
from bitewright.dentition.lofts import loft
from bitewright.dentition.outlines import Outlines
from bitewright.dentition.tooth_shells import tooth_shells
from bitewright.imaging.region import Region, region_frame
from bitewright.imaging.shells import ShellGroup
from bitewright.space import ClosedMesh

Floats = NDArray[np.float64]

CHEEK_GAP_MM = 9.0
CHEEK_MM = (5.0, 26.0)
"""Cheek and masseter, thickness at the canine and behind the molars. Our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FilmPart:
    """One closed surface in the mouth frame, jaws closed."""

    mesh: ClosedMesh
    group: ShellGroup
    is_lower: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class FilmMouth:
    """All parts that can cast a shadow on a film of one region."""

    parts: tuple[FilmPart, ...]
    hinge_mm: tuple[float, float]

    def opened(self, opening_deg: float) -> list[ClosedMesh]:
        """The parts' meshes with the mandible open."""
        return [
            ClosedMesh(
                opened(part.mesh.vertices_mm, self.hinge_mm, opening_deg), part.mesh.triangles
            )
            if part.is_lower
            else part.mesh
            for part in self.parts
        ]

    @property
    def groups(self) -> list[int]:
        """The shell group of every part."""
        return [int(part.group) for part in self.parts]


def film_mouth(outlines: Outlines, region: Region) -> FilmMouth:
    """Loft the side of a region: its teeth, both jaws' bone, the cheek."""
    parts: list[FilmPart] = []
    for quadrant in region.quadrants:
        parts += _quadrant_parts(outlines, quadrant)
    parts.append(
        FilmPart(mesh=_cheek(outlines, region), group=ShellGroup.SOFT_TISSUE, is_lower=False)
    )
    return FilmMouth(parts=tuple(parts), hinge_mm=outlines.hinge_mm)


def _quadrant_parts(outlines: Outlines, quadrant: int) -> list[FilmPart]:
    lower = quadrant in (3, 4)
    bone = bone_shells(outlines, quadrant)
    made: list[tuple[ClosedMesh, ShellGroup]] = []
    for tooth in tooth_shells(outlines, tuple(c for c in outlines.codes if c // 10 == quadrant)):
        made += [
            (tooth.outer, ShellGroup.TOOTH),
            (tooth.dentine, ShellGroup.DENTINE),
            (tooth.pulp, ShellGroup.PULP),
        ]
        if bone is not None:
            made += zip(tooth.sockets(bone), (ShellGroup.SOCKET, ShellGroup.LAMINA), strict=True)
    if bone is not None:
        made += [
            (bone.cortex.mesh(), ShellGroup.BONE),
            (bone.spongiosa.mesh(), ShellGroup.SPONGIOSA),
        ]
    return [FilmPart(mesh=mesh, group=group, is_lower=lower) for mesh, group in made]


def _cheek(outlines: Outlines, region: Region) -> ClosedMesh:
    """A wedge beside the teeth, thin at the corner of the mouth, thick behind."""
    frame = region_frame(outlines, region)
    out = -frame.tongue_mouth
    rings = []
    for along, thickness in ((34.0, 0.3), (14.0, CHEEK_MM[0]), (-10.0, 16.0), (-45.0, CHEEK_MM[1])):
        inner = frame.middle_mouth + along * frame.front_mouth + CHEEK_GAP_MM * out
        corners = [(0.0, -45.0), (thickness, -45.0), (thickness, 45.0), (0.0, 45.0)]
        rings.append([inner + t * out + np.array([0.0, 0.0, z]) for t, z in corners])
    return loft(np.array(rings))


__all__ = ["FilmMouth", "FilmPart", "film_mouth"]
