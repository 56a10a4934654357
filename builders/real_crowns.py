"""Mouths to film whose crowns are real ones: a population's, an atlas', a scanned person's.

They are read where the shared data lies; nothing of them is part of the project.
"""

import os
from pathlib import Path

from bitewright.mouth.numbering import Side
from bitewright.mouth.outlines import build_outlines
from bitewright.mouth.tooth_forms import is_right
from bitewright.solids.tooth_shells import tooth_shells
from builders.training_mouths import side_of, training_mouth
from trials.compare_anatomy import read_teeth
from trials.crown_population import FOLDER as POPULATION
from trials.crowned_films import shared_population
from trials.crowned_mouths import CrownedMouth, crowned_mouth
from trials.mouth_like import mouth_like
from trials.population_crowns import drawn_crowns, mouth_with_forms, slid_together, stood_crowns
from trials.scanned_films import like_outlines
from trials.scanned_teeth import outermost, scanned_teeth

TOP = Path(__file__).resolve().parents[1]
ATLAS, PERSON = "real/atlas_teeth_ccbysa/teeth_mm", "real/scan_crowns_mit/subject_0"
PLACES = range(3, 8)


def shared_folder() -> Path:
    """Where the real data lies that is used in place."""
    return Path(os.environ.get("BITEWRIGHT_SHARED", TOP.parent / "shared"))


def population_crowned(seed: int) -> CrownedMouth:
    """The mouth of a seed with crowns drawn from the population, canine to second molar.

    Roots, bone, gaps left by lost teeth and what teeth carry are the mouth's; so are third molars,
    which the population lacks.
    """
    population, mouth, side = shared_population(), training_mouth(seed), side_of(seed)
    codes = tuple(
        code
        for code, tooth in mouth.teeth.items()
        if tooth.present and code % 10 in PLACES and is_right(code) == (side is Side.RIGHT)
    )
    crowns = drawn_crowns(population, codes, seed)
    outlines = build_outlines(mouth_with_forms(population, mouth, crowns))
    behind = tuple(code + 1 for code in codes if code % 10 == 7 and code + 1 in outlines.codes)
    own = {each.code: each.outer for each in tooth_shells(outlines, behind)} if behind else {}
    teeth = stood_crowns(population, outlines, crowns, seed, behind=own)
    return crowned_mouth(outlines, teeth, side, have_roots=False, own=own)


def atlas_crowned(seed: int) -> CrownedMouth:
    """The atlas' whole teeth, slid until neighbours touch: in the atlas they reach into others."""
    found = read_teeth(shared_folder() / ATLAS)
    teeth = scanned_teeth({code: outermost(mesh) for code, mesh in found.items()})
    outlines = build_outlines(mouth_like(teeth, name="the atlas' teeth", turned=True))
    teeth = slid_together(like_outlines(teeth, outlines, jaws_related=True), seed)
    return crowned_mouth(outlines, teeth, side_of(seed), have_roots=True)


def person_crowned(seed: int) -> CrownedMouth:
    """The scanned person's crowns as they stand, on roots and in bone of the mouth's own."""
    teeth = scanned_teeth(read_teeth(shared_folder() / PERSON))
    outlines = build_outlines(mouth_like(teeth, name="the scanned person's teeth", turned=True))
    teeth = like_outlines(teeth, outlines, jaws_related=False)
    return crowned_mouth(outlines, teeth, side_of(seed), have_roots=False)


__all__ = [
    "ATLAS",
    "PERSON",
    "POPULATION",
    "atlas_crowned",
    "person_crowned",
    "population_crowned",
    "shared_folder",
]
