"""The film mouth: closed shells of one side's teeth, bone and cheek, ready to be exposed."""

from collections.abc import Sequence
from functools import partial

from bitewright.dentition.bone_shells import bone_shells
from bitewright.dentition.outlines import Outlines
from bitewright.dentition.placed_tooth import PlacedTooth, placed_teeth
from bitewright.dentition.tooth_shells import shells_of
from bitewright.imaging.cheek import cheek
from bitewright.imaging.film_parts import (
    FilmMouth,
    FilmPart,
    Piece,
    built_anew,
    film_part,
    joined,
)
from bitewright.imaging.region import Region
from bitewright.imaging.shells import ShellGroup
from bitewright.steps import Begin, unwatched

BONE_STEPS = 3
"""Steps of one jaw's bone beyond those it takes for every tooth."""


def film_mouth_steps(outlines: Outlines, region: Region) -> int:
    """How many steps `film_mouth` tells; fewer where a jaw has no bone to build."""
    teeth = sum(len(_with_next_central(outlines, quadrant)) for quadrant in region.quadrants)
    return 2 * teeth + BONE_STEPS * len(region.quadrants)


def film_mouth(
    outlines: Outlines,
    region: Region,
    *,
    begin: Begin = unwatched,
    piece: Piece = built_anew,
) -> FilmMouth:
    """The side of a region: its teeth, both jaws' bone and gum, cheek and lips.

    Parameters
    ----------
    outlines : Outlines
    region : Region
        Only its side counts: all views of a side are of the same pieces, but for the cheek.
    begin : Begin
        Told each step of what is built.
    piece : Piece
        Asked for each tooth, "tooth 16", and each quadrant's bone, "bone 1". What a tooth carries
        changes neither its own outside nor the bone, so bone shows no tooth's fillings.
    """
    pieces = []
    for quadrant in region.quadrants:
        teeth = []
        for placed in placed_teeth(outlines, _with_next_central(outlines, quadrant)):
            build = partial(_tooth, placed, outlines, begin)
            teeth.append(piece(f"tooth {placed.code}", (placed.code,), build))
        build = partial(_bone, outlines, quadrant, teeth, begin)
        pieces += [*teeth, piece(f"bone {quadrant}", (), build)]
    soft = film_part(cheek(outlines, region), ShellGroup.SOFT_TISSUE, is_lower=False)
    pieces.append(FilmMouth(parts=(soft,), hinge_mm=outlines.hinge_mm))
    return joined(pieces, outlines.hinge_mm)


def _tooth(placed: PlacedTooth, outlines: Outlines, begin: Begin) -> FilmMouth:
    """One tooth, its outside first, and what it carries."""
    begin(f"tooth {placed.code}")
    tooth = shells_of(placed)
    meshes = (
        (tooth.outer, ShellGroup.TOOTH),
        (tooth.dentine, ShellGroup.DENTINE),
        (tooth.pulp, ShellGroup.PULP),
        *((mesh, PART_GROUPS[name]) for name, mesh in tooth.parts),
    )
    parts = (film_part(mesh, group, is_lower=not placed.is_upper) for mesh, group in meshes)
    return FilmMouth(parts=tuple(parts), hinge_mm=outlines.hinge_mm)


def _bone(outlines: Outlines, quadrant: int, teeth: Sequence[FilmMouth], begin: Begin) -> FilmMouth:
    """One quadrant's bone and gum, round the outsides of teeth; nothing where there is none."""
    outsides = [tooth.parts[0].mesh for tooth in teeth]
    bone = bone_shells(outlines, quadrant, outsides, begin=begin)
    if bone is None:
        return FilmMouth(parts=(), hinge_mm=outlines.hinge_mm)
    meshes = (
        (bone.gum, ShellGroup.SOFT_TISSUE),
        (bone.bone, ShellGroup.BONE),
        (bone.spongiosa, ShellGroup.SPONGIOSA),
    )
    parts = (film_part(mesh, group, is_lower=bone.is_lower) for mesh, group in meshes)
    return FilmMouth(parts=tuple(parts), hinge_mm=outlines.hinge_mm, spongiosa=(bone.texture,))


def _with_next_central(outlines: Outlines, quadrant: int) -> tuple[int, ...]:
    """Teeth of a quadrant and the central incisor beside it, as far as present."""
    beside = {1: 21, 2: 11, 3: 41, 4: 31}[quadrant]
    return tuple(c for c in outlines.codes if c // 10 == quadrant or c == beside)


PART_GROUPS = {
    "amalgam": ShellGroup.FILLING,
    "composite": ShellGroup.COMPOSITE,
    "filling-in-dentine": ShellGroup.FILLING_IN_DENTINE,
    "carious-enamel": ShellGroup.CARIOUS_ENAMEL,
    "carious-dentine": ShellGroup.CARIOUS_DENTINE,
    "calculus": ShellGroup.CALCULUS,
    "root-filling": ShellGroup.ROOT_FILLING,
}


__all__ = ["FilmMouth", "FilmPart", "film_mouth", "film_mouth_steps"]
