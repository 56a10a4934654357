"""The film mouth: closed shells of one side's teeth, bone and cheek, ready to be exposed."""

from bitewright.dentition.bone_shells import BoneShells, bone_shells
from bitewright.dentition.outlines import Outlines
from bitewright.dentition.tooth_shells import ToothShells, tooth_shells
from bitewright.imaging.cheek import cheek
from bitewright.imaging.film_parts import FilmMouth, FilmPart
from bitewright.imaging.region import Region
from bitewright.imaging.shells import ShellGroup
from bitewright.steps import Begin, unwatched

BONE_STEPS = 3
"""Steps of one jaw's bone beyond those it takes for every tooth."""


def film_mouth_steps(outlines: Outlines, region: Region) -> int:
    """How many steps `film_mouth` tells; fewer where a jaw has no bone to build."""
    teeth = sum(len(_with_next_central(outlines, quadrant)) for quadrant in region.quadrants)
    return 2 * teeth + BONE_STEPS * len(region.quadrants)


def film_mouth(outlines: Outlines, region: Region, *, begin: Begin = unwatched) -> FilmMouth:
    """The side of a region: its teeth, both jaws' bone and gum, cheek and lips."""
    parts: list[FilmPart] = []
    spongiosa = []
    for quadrant in region.quadrants:
        is_lower = quadrant in (3, 4)
        teeth = tooth_shells(outlines, _with_next_central(outlines, quadrant), begin=begin)
        parts += _tooth_parts(teeth, is_lower=is_lower)
        bone = bone_shells(outlines, quadrant, [tooth.outer for tooth in teeth], begin=begin)
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


__all__ = ["FilmMouth", "FilmPart", "film_mouth", "film_mouth_steps"]
