"""Carious lesions have the shape films show: two cones, one within the enamel, one below it."""

from dataclasses import replace
from functools import cache
from itertools import pairwise

import numpy as np
import pytest
from scipy.spatial import cKDTree

from bitewright.mouth.mouth import textbook_mouth
from bitewright.mouth.outlines import Outlines, build_outlines
from bitewright.mouth.tooth_parts import CARIES_DEPTHS, ToothPart
from bitewright.solids.caries_fields import LAYER_LEVELS
from bitewright.solids.tooth_shells import ToothShells, tooth_shells
from tests.closed_meshes import manifold

DENTINE_THIRDS = CARIES_DEPTHS[2:]


@cache
def carious(code: int, depth: str) -> tuple[Outlines, ToothShells]:
    base = textbook_mouth()
    part = ToothPart(kind="caries", surface="distal", depth=depth)
    outlines = build_outlines(
        replace(base, teeth={**base.teeth, code: replace(base.teeth[code], parts=(part,))})
    )
    return outlines, tooth_shells(outlines, (code,))[0]


def in_tooth(outlines: Outlines, code: int, points_mouth: np.ndarray) -> np.ndarray:
    """Mesial, buccal, height. [mm]"""
    row = outlines.row[code]
    return (points_mouth - outlines.origins_mouth[row]) @ outlines.axes_mouth[row].T


def heights(points: np.ndarray, low: float, high: float) -> float:
    """Extent upwards of what lies between two places along the tooth's mesial axis."""
    own = points[(points[:, 0] > low) & (points[:, 0] < high), 2]
    return float(np.ptp(own)) if len(own) else 0.0


def from_junction(points: np.ndarray) -> np.ndarray:
    """The same with the first coordinate counted inward from the junction at its height."""
    middle = points[np.abs(points[:, 1]) < 0.4]
    rows = np.round(middle[:, 2] / 0.3)
    each = np.unique(rows)
    edge = [middle[rows == row, 0].min() for row in each]
    inward = points[:, 0] - np.interp(points[:, 2], 0.3 * each, edge)
    return np.column_stack([inward, points[:, 1:]])


def layers(made: ToothShells, name: str) -> list[np.ndarray]:
    return [mesh.vertices_mm for each, mesh in made.parts if each == name]


@pytest.mark.parametrize("depth", ["inner-enamel", "middle-dentine"])
def test_layers_lie_inside_one_another(depth: str) -> None:
    _, made = carious(45, depth)
    for tissue in {name for name, _ in made.parts}:
        meshes = [mesh for name, mesh in made.parts if name == tissue]
        assert len(meshes) == len(LAYER_LEVELS)
        for around, within in pairwise(meshes):
            assert within.volume_mm3 < 0.9 * around.volume_mm3
            left = manifold(within) - manifold(around)
            assert left.volume() < 0.02 * within.volume_mm3


def test_in_enamel_the_base_lies_on_the_surface_below_the_contact() -> None:
    outlines, made = carious(45, "inner-enamel")
    points = in_tooth(outlines, 45, layers(made, "carious-enamel")[0])
    outside, inside = points[:, 0].min(), points[:, 0].max()
    assert heights(points, inside - 0.3 * (inside - outside), inside) < 0.7 * np.ptp(points[:, 2])
    contact = outlines.sections.contact_mm[outlines.row[45], 1]
    assert contact - 1.4 < points[:, 2].mean() < contact - 0.4


@pytest.mark.parametrize("depth", DENTINE_THIRDS)
def test_in_dentine_a_wider_base_lies_at_the_junction_and_the_front_points_inward(
    depth: str,
) -> None:
    outlines, made = carious(45, depth)
    enamel = in_tooth(outlines, 45, layers(made, "carious-enamel")[0])
    dentine = from_junction(in_tooth(outlines, 45, layers(made, "carious-dentine")[0]))
    front = dentine[:, 0].max()
    third = front / 3.0
    base = heights(dentine, -1.0, third)
    assert base > heights(enamel, enamel[:, 0].min(), enamel[:, 0].min() + 0.4)
    assert heights(dentine, front - third, front) < 0.8 * base


@pytest.mark.slow
@pytest.mark.parametrize("code", [15, 45, 46])
def test_depths_are_thirds_of_the_dentine(code: int) -> None:
    reached = []
    for depth in DENTINE_THIRDS:
        outlines, made = carious(code, depth)
        points = in_tooth(outlines, code, layers(made, "carious-dentine")[0])
        points = points[np.abs(points[:, 1]) < 0.5]
        pulp = in_tooth(outlines, code, made.pulp.vertices_mm)
        front = points[np.argsort(points[:, 0])[-20:]].mean(axis=0)
        level = points[np.abs(points[:, 2] - front[2]) < 0.3]
        left = cKDTree(pulp).query(points)[0].min()
        gone = front[0] - level[:, 0].min()
        reached.append(round(gone / (gone + left), 2))
    assert 0.1 < reached[0] < 0.38 < reached[1] < 0.67 < reached[2] < 1.0, reached
