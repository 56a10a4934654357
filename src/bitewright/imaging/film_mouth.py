"""The film mouth: closed shells of one side's teeth, bone and cheek, ready to be exposed."""

from dataclasses import dataclass

from bitewright.dentition.bone_shells import BoneShells, bone_shells
from bitewright.dentition.jaws import opened
from bitewright.dentition.outlines import Outlines
from bitewright.dentition.spongiosa import SpongiosaField
from bitewright.dentition.tooth_shells import ToothShells, tooth_shells
from bitewright.imaging.cheek import cheek
from bitewright.imaging.region import Region
from bitewright.imaging.shells import ShellGroup
from bitewright.space import ClosedMesh


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
    spongiosa: tuple[SpongiosaField, ...] = ()

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
    """The side of a region: its teeth, both jaws' bone and gum, cheek and lips."""
    parts: list[FilmPart] = []
    spongiosa = []
    for quadrant in region.quadrants:
        is_lower = quadrant in (3, 4)
        teeth = tooth_shells(outlines, _with_next_central(outlines, quadrant))
        parts += _tooth_parts(teeth, is_lower=is_lower)
        bone = bone_shells(outlines, quadrant, [tooth.outer for tooth in teeth])
        if bone is not None:
            parts += _bone_parts(bone)
            spongiosa.append(bone.texture)
    parts.append(
        FilmPart(mesh=cheek(outlines, region), group=ShellGroup.SOFT_TISSUE, is_lower=False)
    )
    return FilmMouth(parts=tuple(parts), hinge_mm=outlines.hinge_mm, spongiosa=tuple(spongiosa))


def _with_next_central(outlines: Outlines, quadrant: int) -> tuple[int, ...]:
    """Teeth of a quadrant and the central incisor beside it, as far as present."""
    beside = {1: 21, 2: 11, 3: 41, 4: 31}[quadrant]
    return tuple(c for c in outlines.codes if c // 10 == quadrant or c == beside)


def _tooth_parts(teeth: tuple[ToothShells, ...], *, is_lower: bool) -> list[FilmPart]:
    return [
        FilmPart(mesh=mesh, group=group, is_lower=is_lower)
        for tooth in teeth
        for mesh, group in (
            (tooth.outer, ShellGroup.TOOTH),
            (tooth.dentine, ShellGroup.DENTINE),
            (tooth.pulp, ShellGroup.PULP),
            *((mesh, PART_GROUPS[name]) for name, mesh in tooth.parts),
        )
    ]


PART_GROUPS = {
    "amalgam": ShellGroup.FILLING,
    "composite": ShellGroup.COMPOSITE,
    "filling-in-dentine": ShellGroup.FILLING_IN_DENTINE,
    "carious-enamel": ShellGroup.CARIOUS_ENAMEL,
    "carious-dentine": ShellGroup.CARIOUS_DENTINE,
    "calculus": ShellGroup.CALCULUS,
    "root-filling": ShellGroup.ROOT_FILLING,
}


def _bone_parts(bone: BoneShells) -> list[FilmPart]:
    return [
        FilmPart(mesh=mesh, group=group, is_lower=bone.is_lower)
        for mesh, group in (
            (bone.gum, ShellGroup.SOFT_TISSUE),
            (bone.bone, ShellGroup.BONE),
            (bone.spongiosa, ShellGroup.SPONGIOSA),
        )
    ]


__all__ = ["FilmMouth", "FilmPart", "film_mouth"]
