"""The film mouth: closed shells of one side's teeth, bone and cheek, ready to be exposed."""

from collections.abc import Sequence
from dataclasses import replace
from functools import partial

from bitewright.exposing.region import Region
from bitewright.film.cheek import cheek
from bitewright.film.film_parts import (
    NO_HINGE_MM,
    Facts,
    FilmMouth,
    FilmPart,
    Piece,
    Standing,
    built_anew,
    film_part,
    one_film_mouth,
    placed_piece,
)
from bitewright.film.shells import ShellGroup
from bitewright.mouth.outlines import Outlines
from bitewright.mouth.tooth_forms import is_upper
from bitewright.solids.bone_shells import bone_shells
from bitewright.solids.jaw_frame import JawFrame
from bitewright.solids.placed_tooth import PlacedTooth, placed_teeth
from bitewright.solids.ridge import ridge_codes
from bitewright.solids.tooth_shells import ToothShells, shells_of
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
        Asked for each tooth in its own axes, and for each quadrant's bone in its jaw's: a tooth
        that merely stands elsewhere is the same piece, and so is a jaw's bone whatever the other
        jaw does. What a tooth carries changes neither its own outside nor the bone, so bone shows
        no tooth's fillings.
    """
    pieces = []
    for quadrant in region.quadrants:
        codes = _with_next_central(outlines, quadrant)
        jaw = JawFrame.of(outlines, upper=quadrant in (1, 2))
        teeth = placed_teeth(outlines, codes)
        built = [
            piece({"piece": "tooth", **tooth.hangs_on()}, partial(_tooth, tooth, begin))
            for tooth in teeth
        ]
        for tooth, made in zip(teeth, built, strict=True):
            pieces.append(placed_piece(made, _where(outlines, tooth.row)))
        facts = _bone_hangs_on(jaw, quadrant, teeth)
        bone = piece(facts, partial(_bone, jaw, quadrant, teeth, built, begin))
        pieces.append(_in_mouth(bone, jaw))
    soft = film_part(cheek(outlines, region), ShellGroup.SOFT_TISSUE, is_lower=False)
    pieces.append(FilmMouth(parts=(soft,), hinge_mm=outlines.hinge_mm))
    return one_film_mouth(pieces, outlines.hinge_mm)


def _where(outlines: Outlines, row: int) -> Standing:
    """Where a tooth stands."""
    return Standing(axes_mouth=outlines.axes_mouth[row], origin_mouth=outlines.origins_mouth[row])


def _tooth(placed: PlacedTooth, begin: Begin) -> FilmMouth:
    """One tooth in its own axes, its outside first, and what it carries."""
    begin(f"tooth {placed.code}")
    return tooth_piece(shells_of(placed))


def tooth_piece(tooth: ToothShells) -> FilmMouth:
    """One tooth's surfaces in its own axes as a piece of a film mouth, its outside first."""
    meshes = (
        (tooth.outer, ShellGroup.TOOTH),
        (tooth.dentine, ShellGroup.DENTINE),
        (tooth.pulp, ShellGroup.PULP),
        *((mesh, PART_GROUPS[name]) for name, mesh in tooth.parts),
    )
    parts = (film_part(mesh, group, is_lower=not is_upper(tooth.code)) for mesh, group in meshes)
    return FilmMouth(parts=tuple(parts), hinge_mm=NO_HINGE_MM)


def _bone_hangs_on(jaw: JawFrame, quadrant: int, teeth: Sequence[PlacedTooth]) -> Facts:
    """Where the row runs and its crest, and the outsides it is built round."""
    outsides = []
    for placed in teeth:
        outside = placed.hangs_on()
        outside["tooth"] = {**outside["tooth"], "parts": ()}  # type: ignore[dict-item]
        outsides.append(outside)
    return {
        "piece": "bone",
        "quadrant": quadrant,
        "row": jaw.bone_hangs_on(ridge_codes(jaw.outlines, quadrant)),
        "teeth": outsides,
        "standing": jaw.bone_hangs_on(tuple(placed.code for placed in teeth)),
    }


def _bone(
    jaw: JawFrame,
    quadrant: int,
    teeth: Sequence[PlacedTooth],
    built: Sequence[FilmMouth],
    begin: Begin,
) -> FilmMouth:
    """One quadrant's bone and gum in its jaw's axes, round teeth; nothing where there is none."""
    seen = jaw.outlines
    outsides = [
        tooth.parts[0].own.in_axes(seen.axes_mouth[placed.row], seen.origins_mouth[placed.row])
        for placed, tooth in zip(teeth, built, strict=True)
    ]
    bone = bone_shells(seen, quadrant, outsides, begin=begin)
    if bone is None:
        return FilmMouth(parts=(), hinge_mm=NO_HINGE_MM)
    meshes = (
        (bone.gum, ShellGroup.SOFT_TISSUE),
        (bone.bone, ShellGroup.BONE),
        (bone.spongiosa, ShellGroup.SPONGIOSA),
    )
    parts = (film_part(mesh, group, is_lower=bone.is_lower) for mesh, group in meshes)
    return FilmMouth(parts=tuple(parts), hinge_mm=NO_HINGE_MM, spongiosa=(bone.texture,))


def _in_mouth(bone: FilmMouth, jaw: JawFrame) -> FilmMouth:
    """Bone where its jaw stands, the jaws closed."""
    stood = placed_piece(bone, Standing.of(jaw.mouth_from_jaw))
    texture = tuple(each.moved(jaw.mouth_from_jaw) for each in bone.spongiosa)
    return replace(stood, spongiosa=texture)


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


__all__ = ["FilmMouth", "FilmPart", "film_mouth", "film_mouth_steps", "tooth_piece"]
