"""What a film shows of solid teeth: their silhouettes' edges in place of the outlines'.

A planner reckons with the outlines' flanks. Here each surface lies where the closed shell of its
crown casts its edge, and overlap is looked for in every row of the image, as on a film. Crests and
cusps are the mouth's own points, which bone and crowns are built to; enamel is the mouth's.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from bitewright.compiled import compiled
from bitewright.exposing.exposure import Exposures, Station
from bitewright.exposing.project import (
    ProjectionMatrices,
    Shapes,
    front_directions,
    project_shapes,
    projection_matrices,
)
from bitewright.exposing.scale import Scale
from bitewright.mouth.crown_lines import ROW_MM
from bitewright.mouth.tooth_forms import is_upper
from bitewright.quality.predicted import Asked, Prediction, rated
from bitewright.quality.questions import AnyQuestion
from bitewright.solids.tooth_shells import tooth_shells
from bitewright.space import ClosedMesh

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SolidCrown:
    """A crown's shell above its neck.

    Parameters
    ----------
    vertices_mouth : (n, 3) float array
        Jaws closed. [mm]
    lines : (m, 2) int array
        The vertices at both ends of each edge of its triangles.
    """

    vertices_mouth: Floats
    lines: Ints


def solid_crowns(at: Station, of: Asked) -> dict[int, SolidCrown]:
    """The crowns of all teeth whose surfaces are asked for, by ISO 3950 code."""
    outlines = at.outlines
    names = of.targets.names[: len(of.targets.flanks_mouth)]
    codes = tuple(sorted({int(name[:2]) for name in names}))
    return {
        each.code: crown_of(
            each.outer,
            outlines.axes_mouth[outlines.row[each.code]],
            outlines.origins_mouth[outlines.row[each.code]],
        )
        for each in tooth_shells(outlines, codes)
    }


def crown_of(outer: ClosedMesh, axes_mouth: Floats, origin_mouth: Floats) -> SolidCrown:
    """The part of a tooth's outside above its neck.

    Parameters
    ----------
    outer : ClosedMesh
        In the mouth frame, jaws closed. [mm]
    axes_mouth, origin_mouth : (3, 3) and (3,) float arrays
        The tooth's axes as rows, and their origin. [mm]
    """
    vertices, triangles = outer.vertices_mm, outer.triangles
    above = (vertices - origin_mouth) @ axes_mouth[2] > 0.0
    kept = triangles[above[triangles].all(axis=1)]
    used, corners = np.unique(kept, return_inverse=True)
    corners = corners.reshape(-1, 3)
    ends = np.concatenate([corners[:, [k, (k + 1) % 3]] for k in range(3)])
    lines = np.unique(np.sort(ends, axis=1), axis=0).astype(np.int64)
    return SolidCrown(vertices_mouth=np.ascontiguousarray(vertices[used]), lines=lines)


def judged_of_solids(
    exposures: Exposures, of: Asked, crowns: Mapping[int, SolidCrown], question: AnyQuestion
) -> Prediction:
    """E exposures of the solids, measured and rated as `quality.predicted.rated` does.

    Parameters
    ----------
    exposures : Exposures
    of : Asked
        Of the same station's mouth.
    crowns : mapping of ISO 3950 code to SolidCrown
    question : AnyQuestion
    """
    targets, count = of.targets, len(exposures)
    surfaces = targets.names[: len(targets.flanks_mouth)]
    matrices = projection_matrices(exposures)
    fronts = front_directions(exposures, matrices)
    on_receptor = np.empty((count, len(surfaces), 3))
    scale = np.empty((2, count, len(targets.sites)))
    for e in range(count):
        depth = float(-matrices.source_receptor[e, 2])
        seen = {code: _rows(crown, code, matrices, e, fronts[e]) for code, crown in crowns.items()}
        places, scale[:, e] = _places(of, surfaces, seen, depth)
        on_receptor[e] = _in_mouth(exposures, matrices, e, fronts[e], places)
    fixed = np.broadcast_to(targets.points_mouth, (count, *targets.points_mouth.shape))
    none = np.zeros((0, 2, 2, 3))
    # A point of the receptor's plane is its own image, whichever jaw it came from.
    as_points = replace(
        targets,
        sites=(),
        flanks_mouth=none,
        outward=np.zeros(0),
        flank_is_lower=np.zeros(0, dtype=bool),
        points_mouth=np.concatenate([on_receptor[0], targets.points_mouth]),
        point_is_lower=np.concatenate([np.zeros(len(surfaces), bool), targets.point_is_lower]),
    )
    points = np.ascontiguousarray(np.concatenate([on_receptor, fixed], axis=1))
    shapes = Shapes(np.broadcast_to(none, (count, *none.shape)).copy(), points)
    landmarks, _ = project_shapes(exposures, as_points, shapes, mouth_of=np.arange(count))
    own = Scale(
        magnification=scale[0],
        cos_obliquity=scale[1],
        enamel_mm=np.array([site.enamel_mm for site in targets.sites]),
    )
    return rated(landmarks, own, of, question=question)


Seen = tuple[int, Floats, Floats, Floats, Floats]
"""First row, then by row: the place of the edge behind and of that in front, along the front, and
the magnification of both."""


def _rows(
    crown: SolidCrown, code: int, matrices: ProjectionMatrices, e: int, front: Floats
) -> Seen:
    matrix = (matrices.upper if is_upper(code) else matrices.lower)[e]
    q = crown.vertices_mouth @ matrix[:, :3].T + matrix[:, 3]
    ratio = -matrices.source_receptor[e, 2] / q[:, 2]
    along = (front[0] * q[:, 0] + front[1] * q[:, 1]) * ratio
    across = (front[0] * q[:, 1] - front[1] * q[:, 0]) * ratio
    first = int(np.ceil(across.min() / ROW_MM))
    count = int(np.floor(across.max() / ROW_MM)) - first + 1
    return (first, *_edges_by_row(along, ratio, across, crown.lines, first, count, ROW_MM))


@compiled
def _edges_by_row(
    along: Floats,
    ratio: Floats,
    across: Floats,
    lines: Ints,
    first: int,
    count: int,
    row_mm: float,
) -> tuple[Floats, Floats, Floats, Floats]:
    """The least and the greatest place along in each row that lines cross, with magnifications."""
    least, greatest = np.full(count, np.inf), np.full(count, -np.inf)
    least_ratio, greatest_ratio = np.ones(count), np.ones(count)
    for k in range(len(lines)):
        a, b = lines[k, 0], lines[k, 1]
        if across[a] > across[b]:
            a, b = b, a
        rise = across[b] - across[a]
        row = int(np.ceil(across[a] / row_mm))
        while row * row_mm < across[b]:
            share = (row * row_mm - across[a]) / rise
            place = along[a] + share * (along[b] - along[a])
            big = ratio[a] + share * (ratio[b] - ratio[a])
            if place < least[row - first]:
                least[row - first], least_ratio[row - first] = place, big
            if place > greatest[row - first]:
                greatest[row - first], greatest_ratio[row - first] = place, big
            row += 1
    return least, greatest, least_ratio, greatest_ratio


def _places(
    of: Asked, surfaces: tuple[str, ...], seen: Mapping[int, Seen], depth: float
) -> tuple[Floats, Floats]:
    """Place along and across of each surface, and magnification and cosine of each contact."""
    places, scale = np.empty((len(surfaces), 2)), np.empty((2, len(of.targets.sites)))
    for c, site in enumerate(of.targets.sites):
        (one, behind, _, mag, _), (other, _, ahead, _, its) = (seen[code] for code in site.pair)
        low, high = max(one, other), min(one + len(behind), other + len(ahead))
        back, front = ahead[low - other : high - other], behind[low - one : high - one]
        # Rows that a crown is not seen in hold infinities, which overlap by less than nothing.
        row = int((back - front).argmax())
        across = (low + row) * ROW_MM
        places[2 * c], places[2 * c + 1] = (front[row], across), (back[row], across)
        scale[0, c] = 0.5 * (mag[low - one + row] + its[low - other + row])
        scale[1, c] = 1.0 / np.hypot(1.0, 0.5 * (front[row] + back[row]) / depth)
    for s in range(2 * len(of.targets.sites), len(surfaces)):
        first, least, greatest, _, _ = seen[int(surfaces[s][:2])]
        in_front = of.targets.outward[s] > 0.0
        row = int(greatest.argmax() if in_front else least.argmin())
        places[s] = (greatest[row] if in_front else least[row]), (first + row) * ROW_MM
    return places, scale


def _in_mouth(
    exposures: Exposures, matrices: ProjectionMatrices, e: int, front: Floats, places: Floats
) -> Floats:
    """The points of the receptor's plane at places along and across, (s, 3). [mm]"""
    source, seat = matrices.source_receptor[e], exposures.seat
    u = source[0] + front[0] * places[:, 0] - front[1] * places[:, 1]
    v = source[1] + front[1] * places[:, 0] + front[0] * places[:, 1]
    axes = seat.axes_mouth[e]
    return np.asarray(seat.centres_mouth[e] + u[:, None] * axes[0] + v[:, None] * axes[1])


__all__ = ["SolidCrown", "crown_of", "judged_of_solids", "solid_crowns"]
