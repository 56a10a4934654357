"""How far places lie from the surfaces of teeth given as closed meshes."""

from collections.abc import Sequence

import numpy as np
from manifold3d import Manifold, Mesh64, OpType
from numpy.typing import NDArray
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components
from scipy.spatial import cKDTree

from bitewright.space import ClosedMesh
from bitewright.steps import Begin, unwatched

Floats = NDArray[np.float64]

SPACING_MM = 0.3
"""Places taken on a surface lie no further apart than this."""

REACH_MM = 2.6
"""Further off than this no tooth shapes the bone."""

DEEP_MM = 1.6
"""Points inside a tooth and beyond reach of its surface lie further within its box than this: reach
less the gaps between the places that are asked."""

BAND_MM = 0.6
"""Further than this from a surface the distance is taken roughly."""

THINNED = 3
"""Roughly is from every so many places."""

TORN_MM = 0.2
"""Further off than this, more places are heard where close and rough asking differ on the side."""

SHARP_COSINE = 0.8
"""Where a corner's mean direction is further from a face's own than this, the face's own holds."""

SLIVER_MM = 0.02
"""Parts of a tooth that do not quite meet leave slivers between them as thin as this."""

FLAT_SHARE = 0.8
"""A nearest place counts as lying straight below if the plane through it is this near."""


def distance_to_teeth(
    points_mouth: Floats, teeth: Sequence[ClosedMesh], *, begin: Begin = unwatched
) -> Floats:
    """Distance of a grid's points to the nearest tooth, negative inside.

    Our model: the distance to the plane through the nearest place taken on the surface, at most
    `REACH_MM`; within 0.02 mm of the surface's own where it curves over millimetres. Further than
    `BAND_MM` from every surface only every second point is asked and the rest interpolated.

    Parameters
    ----------
    points_mouth : (S, N, Z, 3) float array
        [mm]
    teeth : sequence of ClosedMesh
        Outer surfaces in the same frame. [mm]
    begin : Begin
        Told each step.

    Returns
    -------
    (S, N, Z) float array
        [mm]
    """
    if not teeth:
        return np.full(points_mouth.shape[:3], REACH_MM)
    surfaces = [surface_places(one_skin(mesh)) for mesh in teeth]
    every_second = points_mouth[::2, ::2, ::2]
    coarse = np.full(every_second.shape[:3], REACH_MM)
    for mesh, (places, normals) in zip(teeth, surfaces, strict=True):
        begin("bone round the teeth")
        near, inner, deep = _against_box(every_second, mesh.vertices_mm)
        there = _rough(
            every_second[near], inner, deep, cKDTree(places[::THINNED]), normals[::THINNED]
        )
        coarse[near] = np.minimum(coarse[near], there)
    begin("bone close to the teeth")
    distance = doubled(coarse, points_mouth.shape[:3])
    band = np.abs(distance) < BAND_MM
    places, normals = (np.concatenate(each) for each in zip(*surfaces, strict=True))
    tree, close = cKDTree(places), points_mouth[band]
    fine = _asked(close, tree, normals, bound_mm=2.0 * BAND_MM)
    torn = np.isfinite(fine) & (fine * distance[band] < 0.0) & (np.abs(fine) > TORN_MM)
    fine[torn] = np.abs(fine[torn]) * _side(close[torn], tree, normals)
    distance[band] = np.where(np.isfinite(fine), fine, distance[band])
    return distance


def _against_box(
    points: Floats, vertices: Floats
) -> tuple[NDArray[np.bool_], NDArray[np.bool_], NDArray[np.bool_]]:
    """Which of a grid's points are within reach of the box round a tooth along its own length.

    And which of these lie in that box, and which deep in it.
    """
    middle = vertices.mean(axis=0)
    _, own_axes = np.linalg.eigh(np.cov((vertices - middle).T))
    own = (vertices - middle) @ own_axes
    low, high = own.min(axis=0), own.max(axis=0)
    straight = vertices.min(axis=0) - REACH_MM, vertices.max(axis=0) + REACH_MM
    near = np.ones(points.shape[:3], dtype=bool)
    for k in range(3):
        near &= (points[..., k] > straight[0][k]) & (points[..., k] < straight[1][k])
    asked = (points[near] - middle) @ own_axes
    within = ((asked > low - REACH_MM) & (asked < high + REACH_MM)).all(axis=1)
    near[near] = within
    asked = asked[within]
    inner = ((asked > low) & (asked < high)).all(axis=1)
    deep = ((asked > low + DEEP_MM) & (asked < high - DEEP_MM)).all(axis=1)
    return near, inner, deep


def _rough(
    points: Floats,
    inner: NDArray[np.bool_],
    deep: NDArray[np.bool_],
    tree: cKDTree,
    normals: Floats,
) -> Floats:
    """Distance to one tooth, negative inside; `REACH_MM` where it is more.

    Most points near a tooth's box lie outside it, or beyond reach: only those that may not are
    asked on which side they lie, which takes longest. ``inner`` is true in the box, ``deep`` where
    one beyond reach may be inside.
    """
    there = np.abs(_asked(points, tree, normals, bound_mm=REACH_MM / FLAT_SHARE))
    far = deep & ~np.isfinite(there)
    there[far] = np.abs(_asked(points[far], tree, normals, bound_mm=np.inf))
    doubtful = inner & (deep | (there < REACH_MM))
    there[doubtful] *= _side(points[doubtful], tree, normals)
    return np.minimum(there, REACH_MM)


def _asked(points: Floats, tree: cKDTree, normals: Floats, *, bound_mm: float) -> Floats:
    """Distance to the surface of nearest places, infinite where none is within the bound."""
    straight, index = tree.query(points, distance_upper_bound=bound_mm)
    found = np.isfinite(straight)
    distance = np.full(len(points), np.inf)
    index, straight = index[found], straight[found]
    away = points[found] - tree.data[index]
    level = np.einsum("nc,nc->n", away, normals[index])
    flat = np.abs(level) >= FLAT_SHARE * straight
    distance[found] = np.where(flat, level, np.copysign(straight, level))
    return distance


VOTERS = 25
"""Places that say together on which side of a surface a point lies."""

LEAST_MM = 1e-6
"""Keeps a vote from a division by nothing on the surface itself."""

MOST_PIECES = 24
"""A triangle's side is cut into at most so many pieces."""


def _side(points: Floats, tree: cKDTree, normals: Floats) -> Floats:
    """-1 inside and 1 outside, by what the nearest places say together.

    One place alone may lie: deep in a tooth the nearest is often a furcation's edge, whose
    direction outward stands square to the way there.
    """
    straight, index = tree.query(points, k=VOTERS)
    away = points[:, None] - tree.data[index]
    level = np.einsum("nkc,nkc->nk", away, normals[index])
    votes = (level / np.maximum(straight, LEAST_MM) ** 2).sum(axis=1)
    return np.where(votes < 0.0, -1.0, 1.0)


def doubled(coarse: Floats, shape: tuple[int, ...]) -> Floats:
    """A grid of which every second place along each axis is given, the rest filled in between.

    Parameters
    ----------
    coarse : (ceil(X / 2), ceil(Y / 2), ceil(Z / 2)) float array
    shape : tuple
        (X, Y, Z), the shape wanted.
    """
    full = coarse
    for axis, count in enumerate(shape):
        first = np.moveaxis(full, axis, 0)
        wide = np.empty((count, *first.shape[1:]), dtype=coarse.dtype)
        wide[::2] = first
        after = first[1:] if count % 2 else np.concatenate([first[1:], first[-1:]])
        wide[1::2] = 0.5 * (first[: len(after)] + after)
        full = np.moveaxis(wide, 0, axis)
    return full


def surface_places(mesh: ClosedMesh) -> tuple[Floats, Floats]:
    """Places all over a mesh's outside, at most `SPACING_MM` apart, and directions outward there.

    Returns
    -------
    places, directions : (n, 3) float arrays
        [mm], unit length
    """
    corner_normals = _corner_normals(mesh)
    corners = mesh.vertices_mm[mesh.triangles]
    longest = np.linalg.norm(corners - np.roll(corners, 1, axis=1), axis=2).max(axis=1)
    pieces = np.clip(np.ceil(longest / SPACING_MM).astype(int), 1, MOST_PIECES)
    places, normals = [], []
    for count in np.unique(pieces):
        rows = np.flatnonzero(pieces == count)
        weights = _inner_weights(int(count))
        places.append(np.einsum("wk,tkc->twc", weights, corners[rows]).reshape(-1, 3))
        turned = np.einsum("wk,tkc->twc", weights, corner_normals[rows])
        normals.append(turned.reshape(-1, 3))
    return np.concatenate(places), _unit(np.concatenate(normals))


def _inner_weights(count: int) -> Floats:
    """Barycentric weights of the middles of the small triangles of a finer triangle."""
    i, j = np.meshgrid(np.arange(count), np.arange(count), indexing="ij")
    up = i + j < count
    down = i + j < count - 1
    first = np.column_stack([i[up] + 1 / 3, j[up] + 1 / 3])
    second = np.column_stack([i[down] + 2 / 3, j[down] + 2 / 3])
    two = np.vstack([first, second]) / count
    return np.column_stack([two, 1.0 - two.sum(axis=1)])


def _corner_normals(mesh: ClosedMesh) -> Floats:
    """Directions outward at the corners of every triangle (m, 3, 3), its own at sharp edges."""
    corners = mesh.vertices_mm[mesh.triangles]
    flat = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    at_vertex = np.zeros_like(mesh.vertices_mm)
    for k, c in np.ndindex(3, 3):
        at_vertex[:, c] += np.bincount(mesh.triangles[:, k], flat[:, c], len(at_vertex))
    smooth, own = _unit(at_vertex)[mesh.triangles], _unit(flat)[:, None]
    sharp = (smooth * own).sum(axis=-1, keepdims=True) < SHARP_COSINE
    return np.where(sharp, own, smooth)


def _unit(vectors: Floats) -> Floats:
    return np.asarray(
        vectors / np.maximum(np.linalg.norm(vectors, axis=-1), LEAST_LENGTH)[..., None]
    )


LEAST_LENGTH = 1e-12
"""Keeps a direction without length from a division by nothing."""


def one_skin(mesh: ClosedMesh) -> ClosedMesh:
    """A tooth's outside alone, where it is given as parts that touch along faces inside it."""
    count = len(mesh.vertices_mm)
    rows, columns = np.concatenate([mesh.triangles[:, [0, 1]].T, mesh.triangles[:, [1, 2]].T], 1)
    graph = coo_array((np.ones(len(rows), dtype=bool), (rows, columns)), shape=(count, count))
    parts, label = connected_components(graph, directed=False)
    if parts == 1:
        return mesh
    owner = label[mesh.triangles[:, 0]]
    solids = [_solid(mesh, mesh.triangles[owner == part]) for part in range(parts)]
    whole = Manifold.batch_boolean(solids, OpType.Add)
    kept = max(whole.simplify(SLIVER_MM).decompose(), key=lambda solid: solid.volume()).to_mesh64()
    return ClosedMesh(kept.vert_properties[:, :3], kept.tri_verts.astype(np.int32))


def _solid(mesh: ClosedMesh, triangles: NDArray[np.int32]) -> Manifold:
    used, own = np.unique(triangles, return_inverse=True)
    return Manifold(Mesh64(mesh.vertices_mm[used], own.reshape(-1, 3).astype(np.uint64)))


__all__ = ["REACH_MM", "distance_to_teeth", "doubled", "one_skin", "surface_places"]
