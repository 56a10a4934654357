"""Drawn teeth settle against each other: neighbours that cannot meet are set straighter.

Necks that face each other settle, too: where they lie too far apart in height, the deeper one's
crown gets shorter and the other one's longer.
"""

from collections.abc import Iterable
from dataclasses import replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from bitewright.mouth.arches import contact_between, place_arches
from bitewright.mouth.jaws import ArchParts
from bitewright.mouth.mouth import LIMITS, Mouth, Tooth
from bitewright.mouth.tooth_forms import is_right, is_upper

Floats = NDArray[np.float64]

CLOSE_MM = 0.01
"""Every contact comes as near the gap that it shall have."""

STRAIGHTER = 0.7
"""Of what sets them apart from how teeth usually stand, two neighbours that do not meet keep so
much; then it is tried again. Our choice."""

ROUNDS = 12
STANCES = ("rotation_deg", "tip_deg", "torque_deg", "out_of_line_mm")
LEANS = ("tip_deg", "torque_deg")

CROWN_LENGTHS_MM = LIMITS["crown_length_mm"][:2]

DEPTHS_MM = np.array([-2.0, -4.0, -6.0, -8.0, -10.0])
SPREAD_ROOTS = 0.46
"""Roots of molars reach as far to each side at any depth, as a share of the neck's width."""

APART_MM = 0.4
"""Roots stand at least so far apart, for the bone between them. Our choice."""

NECK_STEP_MM = 3.5
"""The necks of two neighbours, where they face each other, differ by no more in height. In the
standard mouth they do by up to 1.8, between lower canines and incisors. Our choice: a crown much
longer than the next, in a deep curve of Spee, set them 6 apart."""


def with_settled_teeth(mouth: Mouth, usual: Mouth) -> Mouth:
    """The same mouth with every neighbour in contact, or apart by its gap, roots apart, necks near.

    Parameters
    ----------
    mouth : Mouth
    usual : Mouth
        With every tooth of it as such teeth stand in the mean.
    """
    for _ in range(ROUNDS):
        arches = place_arches(mouth)
        loose, crossed, longer = set[int](), set[int](), dict[int, float]()
        for part in (arches.upper, arches.lower):
            loose |= _loose(mouth, part)
            crossed |= _crossed(mouth, part)
            longer |= _longer_mm(mouth, part)
        if not loose and not crossed and not longer:
            break
        teeth = dict(mouth.teeth)
        for code in loose | crossed:
            stances = STANCES if code in loose else LEANS
            teeth[code] = _straighter(teeth[code], usual.teeth[code], stances)
        for code, more_mm in longer.items():
            length = float(np.clip(teeth[code].crown_length_mm + more_mm, *CROWN_LENGTHS_MM))
            teeth[code] = replace(teeth[code], crown_length_mm=length)
        mouth = replace(mouth, teeth=teeth)
    return mouth


def _loose(mouth: Mouth, part: ArchParts) -> set[int]:
    """Teeth of an arch of which a contact is not as wide as it shall be."""
    loose = set[int]()
    for pair, gap_mm in zip(pairwise(part.codes), part.placed.gaps_mm, strict=True):
        if not abs(gap_mm - contact_between(mouth, *pair).gap_mm) <= CLOSE_MM:
            loose |= set(pair)
    return loose


def _crossed(mouth: Mouth, part: ArchParts) -> set[int]:
    """Neighbours of an arch whose roots come too near one another."""
    crossed = set[int]()
    for i, pair in enumerate(pairwise(part.codes)):
        right, left = (mouth.teeth[code] for code in pair)
        if not (right.present and left.present):
            continue
        across = part.placed.normals_arch[i]
        ends = [_root_side_mm(part, i, right, across), _root_side_mm(part, i + 1, left, -across)]
        # Levels of both roots are compared where both reach.
        level = ends[0][0]
        other = np.interp(level, *_rising(ends[1]), left=-np.inf, right=-np.inf)
        if (ends[0][1] + other).max() > -APART_MM:
            crossed |= set(pair)
    return crossed


def _longer_mm(mouth: Mouth, part: ArchParts) -> dict[int, float]:
    """By how much crowns of an arch shall be longer, so that necks come nearer in height. [mm]"""
    longer = dict[int, float]()
    depth = _neck_heights_mm(mouth, part) * (1.0 if is_upper(part.codes[0]) else -1.0)
    for i, (right, left) in enumerate(pairwise(part.codes)):
        if not (mouth.teeth[right].present and mouth.teeth[left].present):
            continue
        step = depth[i, 0 if is_right(right) else 1] - depth[i + 1, 1 if is_right(left) else 0]
        if abs(step) > NECK_STEP_MM:
            half = 0.5 * (1.0 - STRAIGHTER) * float(step)
            longer[right] = longer.get(right, 0.0) - half
            longer[left] = longer.get(left, 0.0) + half
    return longer


def _neck_heights_mm(mouth: Mouth, part: ArchParts) -> Floats:
    """Heights (T, 2) of the mesial and distal neck of an arch's teeth. [mm]"""
    teeth = [mouth.teeth[code] for code in part.codes]
    height = np.array([(tooth.cej_curve_mesial_mm, tooth.cej_curve_distal_mm) for tooth in teeth])
    row = part.sections.at(np.arange(len(teeth))[:, None], height)
    mesial = row[..., 0] + np.array([1.0, -1.0]) * row[..., 1]
    local = np.stack([mesial, row[..., 2], height], axis=-1)
    rise = (local * part.placed.axes_arch[:, None, :, 2]).sum(axis=-1)
    return np.asarray(part.placed.origins_arch[:, None, 2] + rise)


def _root_side_mm(part: ArchParts, row: int, tooth: Tooth, way: Floats) -> tuple[Floats, Floats]:
    """Heights (D,) of places down a root, and how far it reaches along a direction there. [mm]"""
    depths = DEPTHS_MM[-0.9 * tooth.root_length_mm < DEPTHS_MM]
    half = part.sections.at(np.full(len(depths), row), depths)[:, 1]
    if part.codes[row] % 10 >= 6:
        half = np.maximum(half, SPREAD_ROOTS * tooth.md_cervix_mm)
    middles = part.placed.origins_arch[row] + depths[:, None] * part.placed.axes_arch[row, 2]
    return middles[:, 2], middles @ way + half


def _rising(side: tuple[Floats, Floats]) -> tuple[Floats, Floats]:
    order = np.argsort(side[0])
    return side[0][order], side[1][order]


def _straighter(tooth: Tooth, usual: Tooth, stances: Iterable[str]) -> Tooth:
    changed = {
        name: getattr(usual, name) + STRAIGHTER * (getattr(tooth, name) - getattr(usual, name))
        for name in stances
    }
    return replace(tooth, **changed)


__all__ = ["with_settled_teeth"]
