"""A mouth drawn by a seed, that differs from the standard one as people do."""

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from bitewright.mouth.mouth import USUAL_AGE, ArchForm, Mouth, Tooth, textbook_mouth

SIZE_TOGETHER, SIZE_ALONE = 0.05, 0.015
"""Relative spread of a mouth's tooth sizes together, and of each figure alone."""

ROOT_SHARE, ENAMEL_SHARE, ARCH_SHARE = 0.07, 0.08, 0.03
TURNS = {"rotation_deg": 4.0, "tip_deg": 2.0, "torque_deg": 2.0}
CREST_MM = (1.0, 0.5)
"""Crest below the junction: mean and deviation, at least 0.6. All spreads are our choice."""

SEPTUM_LEVEL = 0.75
"""A septum's crest runs nearly along the line between its teeth's junctions (common practice, no
source): by this share its two sides' depths come together. Our choice."""

AGE_YEARS = (42.0, 14.0)
AGE_LIMITS_YEARS = (18.0, 80.0)
"""Of adults of whom bitewings are taken: mean, deviation, least and most."""

WEAR_MM_PER_YEAR = (0.004, 0.004, 0.005, 0.005, 0.005, 0.007, 0.006, 0.004)
WEAR_FROM_YEARS = (7.0, 8.0, 10.0, 10.5, 11.0, 6.5, 12.5, 18.0)
WEAR_SPREADS = (0.4, 0.25)
MOST_WEAR_MM = 0.8
"""Wear of the highest cusp by place, from when the tooth erupts, and the deviation of its logarithm
from person to person and from tooth to tooth. Contact areas of molars lose 0.029 mm a year, of
premolars 0.015 (Lambrechts et al. 1989, from memory); a facet across the highest tip about a
quarter to a third of it is our choice, as are ages and spreads."""

SIZES = ("md_crown_mm", "md_cervix_mm", "bl_crown_mm", "bl_cervix_mm", "crown_length_mm")


THIRD_MOLAR = 8
"""Teeth of 28 stay as they are where a third molar is drawn, the crest beside it included."""


def drawn_mouth(seed: int, *, spread: float = 1.0, third_molars: bool = False) -> Mouth:
    """Draw a mouth; each tooth has a stream of its own, so that changing one leaves the others.

    Parameters
    ----------
    seed : int
    spread : float
        Times as different as people usually are; 0 gives the standard sizes.
    third_molars : bool
        Whether there are 32 teeth; those of 28 stay as they are.
    """
    whole = np.random.default_rng([seed])
    base = textbook_mouth(third_molars=third_molars)
    together = 1.0 + SIZE_TOGETHER * spread * whole.standard_normal()
    own = np.random.default_rng([seed, 0])
    age = drawn_age(own, spread)
    grinding = float(np.exp(WEAR_SPREADS[0] * own.standard_normal()))
    teeth = {
        code: replace(
            _drawn(tooth, together, np.random.default_rng([seed, code]), spread),
            wear_mm=drawn_wear_mm(
                code, age, spread * grinding, np.random.default_rng([seed, code, 2])
            ),
        )
        for code, tooth in base.teeth.items()
    }
    return replace(
        base,
        name=f"drawn mouth {seed}",
        age_years=age,
        teeth=with_level_septa(teeth),
        upper=_arch(base.upper, together, whole, spread),
        lower=_arch(base.lower, together, whole, spread),
    )


def with_level_septa(teeth: Mapping[int, Tooth]) -> dict[int, Tooth]:
    """The same teeth, the crest at each contact about as deep below one tooth as the other."""
    levelled = dict(teeth)
    for code in teeth:
        behind = code + 1
        if behind not in teeth or behind % 10 == THIRD_MOLAR:
            continue
        ours, theirs = teeth[code].crest_distal_mm, teeth[behind].crest_mesial_mm
        step = 0.5 * SEPTUM_LEVEL * (theirs - ours)
        levelled[code] = replace(levelled[code], crest_distal_mm=ours + step)
        levelled[behind] = replace(levelled[behind], crest_mesial_mm=theirs - step)
    return levelled


def drawn_age(own: np.random.Generator, spread: float) -> float:
    """Whole years; the usual age where there is no spread."""
    drawn = np.clip(AGE_YEARS[0] + AGE_YEARS[1] * own.standard_normal(), *AGE_LIMITS_YEARS)
    return float(np.clip(np.rint(USUAL_AGE + spread * (drawn - USUAL_AGE)), 18.0, 90.0))


def drawn_wear_mm(code: int, age_years: float, grinding: float, own: np.random.Generator) -> float:
    """Of one tooth at an age, in a mouth that grinds so many times as most do."""
    place = code % 10 - 1
    years = max(0.0, age_years - WEAR_FROM_YEARS[place])
    varied = grinding * float(np.exp(WEAR_SPREADS[1] * own.standard_normal()))
    return min(WEAR_MM_PER_YEAR[place] * years * varied, MOST_WEAR_MM)


def _arch(form: ArchForm, together: float, whole: np.random.Generator, spread: float) -> ArchForm:
    return replace(
        form,
        width_mm=form.width_mm * together * _about_one(whole, ARCH_SHARE * spread),
        depth_mm=form.depth_mm * together * _about_one(whole, ARCH_SHARE * spread),
    )


def _drawn(tooth: Tooth, together: float, own: np.random.Generator, spread: float) -> Tooth:
    changed = {
        name: getattr(tooth, name) * together * _about_one(own, SIZE_ALONE * spread)
        for name in SIZES
    }
    changed["root_length_mm"] = tooth.root_length_mm * _about_one(own, ROOT_SHARE * spread)
    changed["enamel_contact_mm"] = tooth.enamel_contact_mm * _about_one(own, ENAMEL_SHARE * spread)
    for name, deviation in TURNS.items():
        changed[name] = getattr(tooth, name) + deviation * spread * own.standard_normal()
    for side in ("crest_mesial_mm", "crest_distal_mm"):
        drawn = CREST_MM[0] + CREST_MM[1] * abs(own.standard_normal())
        changed[side] = max(0.6, (1.0 - spread) * getattr(tooth, side) + spread * drawn)
    return replace(tooth, **changed)


def _about_one(generator: np.random.Generator, deviation: float) -> float:
    return float(max(0.8, min(1.25, 1.0 + deviation * generator.standard_normal())))


__all__ = ["drawn_age", "drawn_mouth", "drawn_wear_mm", "with_level_septa"]
