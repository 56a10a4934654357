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
CHEEK_MM = (3.0, 16.0)
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
    codes = tuple(c for c in outlines.codes if c // 10 in region.quadrants)
    parts: list[FilmPart] = []
    for tooth in tooth_shells(outlines, codes):
        lower = tooth.code // 10 in (3, 4)
        parts += [
            FilmPart(mesh=mesh, group=group, is_lower=lower)
            for mesh, group in (
                (tooth.outer, ShellGroup.TOOTH),
                (tooth.dentine, ShellGroup.DENTINE),
                (tooth.pulp, ShellGroup.PULP),
                (tooth.socket, ShellGroup.SOCKET),
                (tooth.lamina, ShellGroup.LAMINA),
            )
        ]
    for quadrant in region.quadrants:
        bone = bone_shells(outlines, quadrant)
        if bone is not None:
            parts += [
                FilmPart(mesh=bone.cortex, group=ShellGroup.BONE, is_lower=bone.is_lower),
                FilmPart(mesh=bone.spongiosa, group=ShellGroup.SPONGIOSA, is_lower=bone.is_lower),
            ]
    parts.append(
        FilmPart(mesh=_cheek(outlines, region), group=ShellGroup.SOFT_TISSUE, is_lower=False)
    )
    return FilmMouth(parts=tuple(parts), hinge_mm=outlines.hinge_mm)


def _cheek(outlines: Outlines, region: Region) -> ClosedMesh:
    """A wedge beside the teeth, thin at the corner of the mouth, thick behind."""
    frame = region_frame(outlines, region)
    out = -frame.tongue_mouth
    rings = []
    for along, thickness in ((34.0, 0.3), (14.0, CHEEK_MM[0]), (-12.0, 9.0), (-45.0, CHEEK_MM[1])):
        inner = frame.middle_mouth + along * frame.front_mouth + CHEEK_GAP_MM * out
        corners = [(0.0, -45.0), (thickness, -45.0), (thickness, 45.0), (0.0, 45.0)]
        rings.append([inner + t * out + np.array([0.0, 0.0, z]) for t, z in corners])
    return loft(np.array(rings))


__all__ = ["FilmMouth", "FilmPart", "film_mouth"]
