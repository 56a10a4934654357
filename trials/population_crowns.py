"""Real crowns of a population, stood in the places of a drawn mouth's teeth: meshes to film.

Shapes are drawn from the population's statistics; each crown stands where the outlines of a mouth
have that tooth, turned and leaning as that does. Crowns are then slid along the row, from the
canine back, until neighbours are as close as scanned ones.
"""

from collections.abc import Mapping
from dataclasses import replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import ConvexHull

from bitewright.mouth.crown_sections import usual_shear
from bitewright.mouth.mouth import LIMITS, Mouth
from bitewright.mouth.open_direction import azimuth_along_deg, box_middle, overlaps_mm
from bitewright.mouth.outlines import Outlines
from bitewright.mouth.population_table import crown_kind
from bitewright.mouth.tooth_forms import is_right, is_upper
from bitewright.space import ClosedMesh
from trials.crown_forms import crown_forms, upright_axes
from trials.crown_population import CrownPopulation
from trials.scanned_teeth import ScannedTeeth

Floats = NDArray[np.float64]

STREAM = 130
"""Keeps these draws apart from others of the same seed."""

APART_MM = (0.1, 0.1)
"""Mean and deviation of the gap between crowns, as between scanned neighbours that touch (0.05 to
0.25 mm); below nought they reach into one another, as an atlas' do. Our choice."""

ROUNDS = 2
"""How often each gap is set; the second time mends what the first turned. Our choice."""

ABOUT_DEG = np.arange(-30.0, 30.1, 2.0)
"""Where a contact's least overlap is looked for, about square to its crowns. Our choice."""


def drawn_crowns(
    population: CrownPopulation, codes: tuple[int, ...], seed: int
) -> dict[int, Floats]:
    """Crowns (P, 3) in the tooth's axes by code, their shapes drawn by a seed. [mm]"""
    ways = population.ways_mouth.shape[1]
    return {
        code: population.crowns_tooth(
            code, np.random.default_rng([seed, STREAM, code]).standard_normal((1, ways))
        )[0]
        for code in codes
    }


def mouth_with_forms(population: CrownPopulation, mouth: Mouth, crowns: dict[int, Floats]) -> Mouth:
    """The same mouth with these crowns' forms, as outlines tell them, in its own teeth's widths.

    A crown broader than a description allows is told as broad as that.
    """
    teeth = dict(mouth.teeth)
    for code, crown in crowns.items():
        own = crown_forms(code, crown[None], mean_crown(population, code)).in_fields(code)[0]
        usual = _usual_form(population, code)
        form = crown_kind(code).mean + own - usual
        tooth = teeth[code]
        size = tooth.md_crown_mm / own[0]
        breadth_mm = min(float(own[1] * size), LIMITS["bl_crown_mm"][1])
        shear = np.tan(np.deg2rad(form[2:4])) - usual_shear(code)
        mesial, distal = np.rad2deg(np.arctan(shear))
        teeth[code] = replace(
            tooth,
            bl_crown_mm=breadth_mm,
            bl_cervix_mm=breadth_mm * tooth.bl_cervix_mm / tooth.bl_crown_mm,
            mesial_flank_deg=float(mesial),
            distal_flank_deg=float(distal),
            squareness=float(np.clip(form[4], -0.6, 1.5)),
            buccal_cusps_mm=float(form[5]) * size,
            lingual_cusps_mm=float(form[6]) * size,
        )
    return replace(mouth, teeth=teeth)


def stood_crowns(
    population: CrownPopulation,
    outlines: Outlines,
    crowns: dict[int, Floats],
    seed: int,
    *,
    behind: Mapping[int, ClosedMesh] | None = None,
) -> ScannedTeeth:
    """Crowns in the places of a mouth's teeth and in their widths, as close as scanned ones.

    Parameters
    ----------
    population : CrownPopulation
    outlines : Outlines
    crowns : dict of code to (P, 3) float array
        As `drawn_crowns`. [mm]
    seed : int
        Of the gaps.
    behind : mapping of code to ClosedMesh, optional
        Teeth of the mouth's own behind them, which are slid with them. [mm]
    """
    placed = {code: _placed(population, outlines, code, each) for code, each in crowns.items()}
    return slid_together(ScannedTeeth(meshes={**placed, **(behind or {})}), seed)


def slid_together(teeth: ScannedTeeth, seed: int) -> ScannedTeeth:
    """Teeth slid along their rows, from the front back, until as close as scanned neighbours.

    ``seed`` is of the gaps.
    """
    placed = dict(teeth.meshes)
    for _ in range(ROUNDS):
        for code in sorted(placed):
            if code - 1 in placed:
                placed |= _slid(placed, code, seed)
    return ScannedTeeth(meshes=placed)


def mean_crown(population: CrownPopulation, code: int) -> Floats:
    """The mean crown (P, 3) in the tooth's axes. [mm]"""
    ways = population.ways_mouth.shape[1]
    return np.asarray(population.crowns_tooth(code, np.zeros((1, ways)))[0])


@lru_cache(maxsize=32)
def _usual_form(population: CrownPopulation, code: int) -> Floats:
    """The mean crown's form (7,)."""
    mean = mean_crown(population, code)
    return np.asarray(crown_forms(code, mean[None], mean).in_fields(code)[0])


def closing_triangles(mean_tooth: Floats) -> NDArray[np.int32]:
    """Triangles (m, 3) that close a crown's points: those seen from within the mean crown."""
    away = mean_tooth - 0.5 * (mean_tooth.min(axis=0) + mean_tooth.max(axis=0))
    on_ball = away / np.linalg.norm(away, axis=1, keepdims=True)
    faces = ConvexHull(on_ball).simplices
    a, b, c = (on_ball[faces[:, k]] for k in range(3))
    inward = np.einsum("ij,ij->i", np.cross(b - a, c - a), a + b + c) < 0.0
    faces[inward] = faces[inward][:, ::-1]
    return np.asarray(faces, dtype=np.int32)


def _placed(
    population: CrownPopulation, outlines: Outlines, code: int, crown: Floats
) -> ClosedMesh:
    """A crown by its width, its middle and its highest cusp where the outlines have theirs."""
    row = outlines.row[code]
    size = outlines.mouth.teeth[code].md_crown_mm / float(np.ptp(crown[:, 0]))
    points = size * crown @ upright_axes(code).T @ outlines.axes_mouth[row]
    heights = [
        float(point[2])
        for name, point in outlines.points_mouth.items()
        if name.startswith(f"{code}.") and name.endswith(".cusp")
    ]
    highest, own = (
        (min(heights), points[:, 2].min()) if is_upper(code) else (max(heights), points[:, 2].max())
    )
    away = outlines.crown_middle_mouth(code) - box_middle(points)
    points = points + np.array([away[0], away[1], highest - own])
    triangles = closing_triangles(mean_crown(population, code))
    mesh = ClosedMesh(points, triangles)
    return mesh if mesh.volume_mm3 > 0 else ClosedMesh(points, triangles[:, ::-1])


def _slid(placed: dict[int, ClosedMesh], code: int, seed: int) -> dict[int, ClosedMesh]:
    """A tooth and all behind it, slid along the row until it is as close as it shall be."""
    right = is_right(code)
    teeth = ScannedTeeth(meshes={each: placed[each] for each in (code - 1, code)})
    front, back = (teeth.crown_points(each) for each in (code - 1, code))
    chord = box_middle(front)[:2] - box_middle(back)[:2]
    square = azimuth_along_deg(chord, right=right)
    overlap = overlaps_mm(front, back, right=right, azimuths_deg=square + ABOUT_DEG)
    wanted = np.random.default_rng([seed, STREAM, code, 1]).normal(*APART_MM)
    step = (float(overlap.min()) + wanted) * np.append(chord / np.linalg.norm(chord), 0.0)
    behind = [each for each in placed if each // 10 == code // 10 and each >= code]
    return {
        each: ClosedMesh(placed[each].vertices_mm - step, placed[each].triangles) for each in behind
    }


__all__ = [
    "closing_triangles",
    "drawn_crowns",
    "mean_crown",
    "mouth_with_forms",
    "slid_together",
    "stood_crowns",
]
