"""Project outlines to landmarks: many exposures at once.

Each flank is a grid of points; the image edge of a crown at a height is the outermost place of its
projected lines there. Overlap is looked for at the height where it is widest, as on a real film.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bitewright.compiled import compiled
from bitewright.exposing.exposure import Exposures
from bitewright.exposing.landmarks import Landmarks, Origin, Status
from bitewright.exposing.scale import Scale
from bitewright.exposing.targets import Targets
from bitewright.row_bands import ALONE, Threads, in_row_bands

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

NEAR_EDGE_MM = 0.5
"""Lines of a flank further than this inside its row's outermost point cannot become the edge."""


def project(
    exposures: Exposures, wanted: Targets, *, threads: Threads = ALONE
) -> tuple[Landmarks, Scale]:
    """Landmarks and scale of E exposures, shared among threads if there are any.

    Returns
    -------
    Landmarks of E exposures, and the Scale at the C contacts of ``wanted``.
    """
    return project_shapes(exposures, wanted, Shapes.of(wanted), threads=threads)


@dataclass(frozen=True, slots=True, eq=False)
class Shapes:
    """Where the structures of M mouths lie that are alike in what they have.

    Parameters
    ----------
    flanks_mouth : (M, S, K, L, 3) float array
        As `Targets.flanks_mouth`, for each mouth. [mm]
    points_mouth : (M, P, 3) float array
        As `Targets.points_mouth`. [mm]
    """

    flanks_mouth: Floats
    points_mouth: Floats

    @classmethod
    def of(cls, wanted: Targets) -> "Shapes":
        """The one mouth of some targets."""
        return cls(wanted.flanks_mouth[None], wanted.points_mouth[None])


def project_shapes(
    exposures: Exposures,
    wanted: Targets,
    shapes: Shapes,
    *,
    mouth_of: Ints | None = None,
    threads: Threads = ALONE,
) -> tuple[Landmarks, Scale]:
    """As `project`, of several mouths.

    ``wanted`` gives names and order; where things lie is taken from ``shapes``. ``mouth_of`` (E,)
    says which mouth each exposure is of; left out, all are of the first.
    """
    whose = np.zeros(len(exposures), dtype=np.int64) if mouth_of is None else mouth_of
    matrices = projection_matrices(exposures)
    at = exposures.station
    active = np.array([at.half_width_mm, at.half_height_mm, at.receptor.corner_radius_mm])
    count, named, contacts = len(exposures), len(wanted.names), len(wanted.sites)
    points, margins = np.empty((count, named, 2)), np.empty((2, count, named))
    magnification, cosine = np.empty((count, contacts)), np.empty((count, contacts))
    arguments = (
        matrices.upper,
        matrices.lower,
        matrices.source_receptor,
        front_directions(exposures, matrices),
        field_axes(exposures),
        field_opening(exposures),
        active,
        whose,
        shapes.flanks_mouth,
        wanted.outward,
        wanted.flank_is_lower,
        shapes.points_mouth,
        wanted.point_is_lower,
        points,
        magnification,
        cosine,
        *margins,
    )
    in_row_bands(lambda first, end: _project_some(first, end, *arguments), np.ones(count), threads)
    frame_margin, beam_margin = margins
    status = np.where(
        frame_margin < 0, Status.OUTSIDE, np.where(beam_margin < 0, Status.CUT, Status.SEEN)
    ).astype(np.int8)
    landmarks = Landmarks(
        names=wanted.names,
        points_receptor=points,
        status=status,
        origin=Origin.PROJECTED,
        frame_margin_mm=frame_margin,
        beam_margin_mm=beam_margin,
        front_sign=at.region.front_sign,
        half_size_mm=active[:2],
        corner_radius_mm=at.receptor.corner_radius_mm,
    )
    enamel = np.array([site.enamel_mm for site in wanted.sites])
    return landmarks, Scale(magnification=magnification, cos_obliquity=cosine, enamel_mm=enamel)


def beam_left_mm(exposures: Exposures) -> Floats:
    """Least beam beyond the active area's edge, on the receptor, (E,); negative is cut off. [mm]

    Taken at the rounded corners, which a straight or a round field leaves last.
    """
    at = exposures.station
    inset = at.receptor.corner_radius_mm * (1.0 - np.sqrt(0.5))
    corner = np.array([at.half_width_mm, at.half_height_mm]) - inset
    field, axes = field_opening(exposures), field_axes(exposures)
    sources = projection_matrices(exposures).source_receptor
    return np.array(
        [
            min(
                _inside_beam(u * corner[0], v * corner[1], sources[e], axes[e], field)
                for u in (-1.0, 1.0)
                for v in (-1.0, 1.0)
            )
            for e in range(len(exposures))
        ]
    )


def field_opening(exposures: Exposures) -> Floats:
    """The opening (4,): half across, half down, whether it is round, source to end. [mm]"""
    beam = exposures.beam
    return np.array([beam.half_across_mm, beam.half_down_mm, float(beam.is_round), beam.end_mm])


def field_axes(exposures: Exposures) -> Floats:
    """The field's axes and central ray in receptor axes, (E, 3, 3)."""
    beam = exposures.beam
    axes = np.stack([beam.across_mouth, beam.down_mouth, beam.rays_mouth], axis=1)
    return np.asarray(np.einsum("eka,eba->ekb", axes, exposures.seat.axes_mouth))


@dataclass(frozen=True, slots=True, eq=False)
class ProjectionMatrices:
    """From mouth points to the receptor: homogeneous rows (E, 3, 4), and sources (E, 3).

    ``q = matrix @ (x, y, z, 1)`` is the point in receptor axes from the source; the image lies at
    ``source_uv + q_uv * depth / q_w`` with depth the source's distance from the receptor plane.
    """

    upper: Floats
    lower: Floats
    source_receptor: Floats


def projection_matrices(exposures: Exposures) -> ProjectionMatrices:
    """Matrices of E exposures; the lower jaw's include its opening."""
    rotation = exposures.seat.axes_mouth
    source = exposures.beam.sources_mouth
    upper = np.concatenate(
        [rotation, -np.einsum("eab,eb->ea", rotation, source)[:, :, None]], axis=2
    )
    angle = np.deg2rad(exposures.seat.opening_deg)
    hinge_y, hinge_z = exposures.station.outlines.hinge_mm
    opening = np.zeros((len(exposures), 4, 4))
    opening[:, 0, 0] = opening[:, 3, 3] = 1.0
    opening[:, 1, 1] = opening[:, 2, 2] = np.cos(angle)
    opening[:, 2, 1] = np.sin(angle)
    opening[:, 1, 2] = -np.sin(angle)
    opening[:, 1, 3] = hinge_y - np.cos(angle) * hinge_y + np.sin(angle) * hinge_z
    opening[:, 2, 3] = hinge_z - np.sin(angle) * hinge_y - np.cos(angle) * hinge_z
    seen_from = np.einsum("eab,eb->ea", rotation, source - exposures.seat.centres_mouth)
    return ProjectionMatrices(upper, upper @ opening, seen_from)


def front_directions(exposures: Exposures, matrices: ProjectionMatrices) -> Floats:
    """Unit image direction (E, 2) along the region's bite, towards the front of the mouth."""
    seating = exposures.station.seating
    frame = seating.frame
    reach = 10.0 * (frame.front_mouth + np.array([0.0, 0.0, seating.slope]))
    ends = np.stack([frame.middle_mouth - reach, frame.middle_mouth + reach])
    q = np.einsum("eab,pb->epa", matrices.upper, np.column_stack([ends, [1.0, 1.0]]))
    depth = -matrices.source_receptor[:, 2]
    image = q[:, :, :2] * (depth[:, None] / q[:, :, 2])[:, :, None]
    along = image[:, 1] - image[:, 0]
    return np.asarray(along / np.linalg.norm(along, axis=1)[:, None])


@compiled
def _project_some(
    first: int,
    end: int,
    upper: Floats,
    lower: Floats,
    sources: Floats,
    fronts: Floats,
    field_axes: Floats,
    field: Floats,
    active: Floats,
    mouth_of: Ints,
    flanks: Floats,
    outward: Floats,
    flank_lower: NDArray[np.bool_],
    points: Floats,
    point_lower: NDArray[np.bool_],
    image: Floats,
    magnification: Floats,
    cosine: Floats,
    frame_margin: Floats,
    beam_margin: Floats,
) -> None:
    """Fill the rows first to end of the last five arrays."""
    surfaces, named, contacts = flanks.shape[1], image.shape[1], magnification.shape[1]
    edge = np.empty((surfaces, flanks.shape[2], 3))
    row_image = np.empty((flanks.shape[2], flanks.shape[3], 3))
    for e in range(first, end):
        mouth = mouth_of[e]
        depth = -sources[e, 2]
        for s in range(surfaces):
            matrix = lower[e] if flank_lower[s] else upper[e]
            _edge_rows(matrix, depth, fronts[e], flanks[mouth, s], outward[s], row_image, edge[s])
        for c in range(contacts):
            ahead, back, height, mag = _widest_row(edge[2 * c], edge[2 * c + 1])
            _place(image[e, 2 * c], ahead, height, fronts[e], sources[e])
            _place(image[e, 2 * c + 1], back, height, fronts[e], sources[e])
            magnification[e, c] = mag
            # The ray's lean along the row of teeth, against the receptor's normal.
            lean = 0.5 * (ahead + back) / depth
            cosine[e, c] = 1.0 / np.sqrt(1.0 + lean * lean)
        for s in range(2 * contacts, surfaces):
            k = _outermost(edge[s], outward[s])
            _place(image[e, s], edge[s, k, 0], edge[s, k, 1], fronts[e], sources[e])
        for p in range(points.shape[1]):
            matrix = lower[e] if point_lower[p] else upper[e]
            u, v, w = _seen(matrix, points[mouth, p])
            image[e, surfaces + p, 0] = sources[e, 0] + u * depth / w
            image[e, surfaces + p, 1] = sources[e, 1] + v * depth / w
        for n in range(named):
            u, v = image[e, n, 0], image[e, n, 1]
            frame_margin[e, n] = _inside_rounded(u, v, active)
            beam_margin[e, n] = _inside_beam(u, v, sources[e], field_axes[e], field)


@compiled
def _seen(matrix: Floats, p: Floats) -> tuple[float, float, float]:
    """A point in receptor axes from the source."""
    u = matrix[0, 0] * p[0] + matrix[0, 1] * p[1] + matrix[0, 2] * p[2] + matrix[0, 3]
    v = matrix[1, 0] * p[0] + matrix[1, 1] * p[1] + matrix[1, 2] * p[2] + matrix[1, 3]
    w = matrix[2, 0] * p[0] + matrix[2, 1] * p[1] + matrix[2, 2] * p[2] + matrix[2, 3]
    return u, v, w


@compiled
def _edge_rows(
    matrix: Floats,
    depth: float,
    front: Floats,
    flank: Floats,
    outward: float,
    image: Floats,
    edge: Floats,
) -> None:
    """The crown's image edge at each row's height: place along the front, height, magnification.

    A row of the flank is not a row of the image: the beam's slant shifts near and far points
    against each other. So each line of points down the flank is followed to the wanted height,
    and the outermost line counts.
    """
    rows, count = flank.shape[0], flank.shape[1]
    for k in range(rows):
        for m in range(count):
            u, v, w = _seen(matrix, flank[k, m])
            ratio = depth / w
            image[k, m, 0] = (front[0] * u + front[1] * v) * ratio
            image[k, m, 1] = (front[0] * v - front[1] * u) * ratio
            image[k, m, 2] = ratio
    middle = (count - 2) // 2
    turn = 1.0 if image[rows - 1, middle, 1] > image[0, middle, 1] else -1.0
    for k in range(rows):
        height = image[k, middle, 1]
        edge[k] = image[k, middle]
        furthest = image[k, middle, 0] * outward
        for m in range(count):
            furthest = max(furthest, image[k, m, 0] * outward)
        # A facet's corners come last in a row, and where they are the edge little else is asked.
        for m in range(count - 1, -1, -1):
            if image[k, m, 0] * outward < furthest - NEAR_EDGE_MM:
                continue
            j = k
            while j > 0 and turn * image[j, m, 1] > turn * height:
                j -= 1
            while j < rows - 2 and turn * image[j + 1, m, 1] < turn * height:
                j += 1
            j = min(j, rows - 2)
            low, high = image[j, m], image[j + 1, m]
            if max(low[0] * outward, high[0] * outward) <= edge[k, 0] * outward:
                continue
            rise = high[1] - low[1]
            share = (height - low[1]) / rise if rise * turn > 1e-9 else 0.0
            if share < 0.0 or share > 1.0:
                continue
            along = low[0] + share * (high[0] - low[0])
            if along * outward > edge[k, 0] * outward:
                edge[k, 0] = along
                edge[k, 2] = low[2] + share * (high[2] - low[2])


@compiled
def _widest_row(ahead: Floats, back: Floats) -> tuple[float, float, float, float]:
    """Edges of the front and the back tooth at the height where they overlap most.

    Returns both places along the front direction, the height, and the mean magnification.
    """
    rows = len(ahead)
    best = -1e9
    found = (0.0, 0.0, 0.0, 1.0)
    step = 1 if back[rows - 1, 1] > back[0, 1] else -1
    start = 0 if step > 0 else rows - 1
    for k in range(rows):
        height = ahead[k, 1]
        j = start
        for _ in range(rows - 2):
            if back[j + step, 1] < height:
                j += step
        low, high = back[j], back[j + step]
        share = (height - low[1]) / (high[1] - low[1])
        share = min(max(share, 0.0), 1.0)
        along = low[0] + share * (high[0] - low[0])
        if along - ahead[k, 0] > best:
            best = along - ahead[k, 0]
            ratio = low[2] + share * (high[2] - low[2])
            found = (ahead[k, 0], along, height, 0.5 * (ahead[k, 2] + ratio))
    return found


@compiled
def _outermost(edge: Floats, outward: float) -> int:
    best = 0
    for k in range(len(edge)):
        if edge[k, 0] * outward > edge[best, 0] * outward:
            best = k
    return best


@compiled
def _place(out: Floats, along: float, across: float, front: Floats, source: Floats) -> None:
    """From places along and across the front direction (seen from the source) to u, v."""
    out[0] = source[0] + front[0] * along - front[1] * across
    out[1] = source[1] + front[1] * along + front[0] * across


@compiled
def _inside_rounded(u: float, v: float, active: Floats) -> float:
    """Distance inside a rectangle with rounded corners; negative outside."""
    radius = active[2]
    du = abs(u) - (active[0] - radius)
    dv = abs(v) - (active[1] - radius)
    outer = np.sqrt(max(du, 0.0) ** 2 + max(dv, 0.0) ** 2)
    return float(radius - outer - min(max(du, dv), 0.0))


@compiled
def _inside_beam(u: float, v: float, source: Floats, axes: Floats, field: Floats) -> float:
    """Distance inside the beam's edge, carried to the receptor; negative outside."""
    du, dv, dw = u - source[0], v - source[1], -source[2]
    across = axes[0, 0] * du + axes[0, 1] * dv + axes[0, 2] * dw
    down = axes[1, 0] * du + axes[1, 1] * dv + axes[1, 2] * dw
    along = axes[2, 0] * du + axes[2, 1] * dv + axes[2, 2] * dw
    grown = along / field[3]
    if field[2] > 0.5:
        return float(field[0] * grown - np.sqrt(across * across + down * down))
    return float(min(field[0] * grown - abs(across), field[1] * grown - abs(down)))


__all__ = [
    "ProjectionMatrices",
    "Shapes",
    "beam_left_mm",
    "field_axes",
    "field_opening",
    "front_directions",
    "project",
    "project_shapes",
    "projection_matrices",
]
