"""Small closed meshes to film: boxes, spheres, superellipsoids and an awkward lattice."""

import manifold3d
import numpy as np
from numpy.typing import ArrayLike, NDArray

from bitewright.space import ClosedMesh

GOLDEN = (1.0 + 5.0**0.5) / 2.0

BOX_TRIANGLES = [
    *[(0, 2, 1), (1, 2, 3), (4, 5, 6), (5, 7, 6), (0, 1, 4), (1, 5, 4)],
    *[(2, 6, 3), (3, 6, 7), (0, 4, 2), (2, 4, 6), (1, 3, 5), (3, 7, 5)],
]

ICOSAHEDRON_TRIANGLES = [
    *[(0, 11, 5), (0, 5, 1), (0, 1, 7), (0, 7, 10), (0, 10, 11), (1, 5, 9), (5, 11, 4)],
    *[(11, 10, 2), (10, 7, 6), (7, 1, 8), (3, 9, 4), (3, 4, 2), (3, 2, 6), (3, 6, 8)],
    *[(3, 8, 9), (4, 9, 5), (2, 4, 11), (6, 2, 10), (8, 6, 7), (9, 8, 1)],
]


def box(centre_mm: ArrayLike, size_mm: ArrayLike, rotation: ArrayLike | None = None) -> ClosedMesh:
    """A box of 12 triangles, turned about its centre."""
    corners = np.array([(x, y, z) for z in (-1, 1) for y in (-1, 1) for x in (-1, 1)], float)
    vertices = 0.5 * corners * np.asarray(size_mm, float)
    turned = vertices if rotation is None else vertices @ np.asarray(rotation, float).T
    return ClosedMesh(turned + np.asarray(centre_mm, float), np.array(BOX_TRIANGLES, np.int32))


def icosphere(centre_mm: ArrayLike, radius_mm: float, subdivisions: int = 3) -> ClosedMesh:
    """A sphere of 20 x 4^subdivisions triangles, vertices on the sphere."""
    directions, triangles = unit_icosphere(subdivisions)
    return ClosedMesh(directions * radius_mm + np.asarray(centre_mm, float), triangles)


def superellipsoid(
    centre_mm: ArrayLike, half_axes_mm: ArrayLike, exponent: float, subdivisions: int = 3
) -> ClosedMesh:
    """|x/a|^n + |y/b|^n + |z/c|^n = 1, vertices on the surface."""
    directions, triangles = unit_icosphere(subdivisions)
    scaled = np.abs(directions / np.asarray(half_axes_mm, float)) ** exponent
    radii_mm = scaled.sum(axis=1) ** (-1.0 / exponent)
    return ClosedMesh(directions * radii_mm[:, None] + np.asarray(centre_mm, float), triangles)


def unit_icosphere(subdivisions: int) -> tuple[NDArray[np.float64], NDArray[np.int32]]:
    """Vertices on the unit sphere, and triangles."""
    signs = [(-1, 1), (1, 1), (-1, -1), (1, -1)]
    vertices = np.array(
        [(i, j * GOLDEN, 0) for i, j in signs]
        + [(0, i, j * GOLDEN) for i, j in signs]
        + [(i * GOLDEN, 0, j) for j, i in signs],
        float,
    )
    triangles = np.array(ICOSAHEDRON_TRIANGLES)
    for _ in range(subdivisions):
        vertices, triangles = split(vertices, triangles)
    return vertices / np.linalg.norm(vertices, axis=1)[:, None], triangles.astype(np.int32)


def split(
    vertices: NDArray[np.float64], triangles: NDArray[np.int64]
) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """Every triangle into four, at the middles of its edges."""
    a, b, c = triangles.T
    edges = np.sort(
        np.concatenate([triangles[:, [0, 1]], triangles[:, [1, 2]], triangles[:, [2, 0]]])
    )
    unique, place = np.unique(edges, axis=0, return_inverse=True)
    ab, bc, ca = place.reshape(3, -1) + len(vertices)
    middles = 0.5 * (vertices[unique[:, 0]] + vertices[unique[:, 1]])
    parts = [(a, ab, ca), (b, bc, ab), (c, ca, bc), (ab, bc, ca)]
    quarters = np.concatenate([np.stack(part, axis=1) for part in parts])
    return np.concatenate([vertices, middles]), quarters


def lattice_frustum(
    cells: int, pixels_per_cell: int, pixel_mm: float, source_w_mm: float
) -> ClosedMesh:
    """A slab whose every edge passes through pixel centres, seen from a source on the axis.

    Its sides lie along the rays. It reaches from a quarter to half of the way to the receptor, and
    its corner is at the receptor frame's origin: with powers of two nothing is rounded.
    """
    n = cells + 1
    at = pixels_per_cell * pixel_mm * np.arange(n)
    u, v = (grid.ravel() for grid in np.meshgrid(at, at))
    layers = [
        np.stack([t * u, t * v, np.full(n * n, (1.0 - t) * source_w_mm)], axis=1)
        for t in (0.25, 0.5)
    ]
    i, j = (grid.ravel() for grid in np.meshgrid(np.arange(cells), np.arange(cells)))
    corner = j * n + i
    front = np.concatenate(
        [
            np.stack([corner, corner + n, corner + 1], axis=1),
            np.stack([corner + 1, corner + n, corner + n + 1], axis=1),
        ]
    )
    back = front[:, ::-1] + n * n
    faces = np.concatenate([front, back])
    return ClosedMesh(np.concatenate(layers), np.concatenate([faces, walls(faces, n * n)]))


def walls(faces: NDArray[np.int64], layer: int) -> NDArray[np.int64]:
    """Triangles that join the rims of two layers, each rim's edges running once."""
    edges = np.concatenate([faces[:, [k, (k + 1) % 3]] for k in range(3)])
    front_edges = {(int(a), int(b)) for a, b in edges if a < layer}
    rim = [(a, b) for a, b in front_edges if (b, a) not in front_edges]
    return np.array([t for a, b in rim for t in ((b, a, a + layer), (b, a + layer, b + layer))])


def mirrored(mesh: ClosedMesh, axis: int) -> ClosedMesh:
    """The mirror image across the plane through the origin, still wound outward."""
    signs = np.where(np.arange(3) == axis, -1.0, 1.0)
    return ClosedMesh(mesh.vertices_mm * signs, mesh.triangles[:, ::-1])


def scaled(mesh: ClosedMesh, factor: float) -> ClosedMesh:
    """The mesh blown up about the origin."""
    return ClosedMesh(mesh.vertices_mm * factor, mesh.triangles)


def without_triangles(mesh: ClosedMesh, dropped: int) -> ClosedMesh:
    """The mesh with a hole: its first triangles are gone."""
    return ClosedMesh(mesh.vertices_mm, mesh.triangles[dropped:])


def manifold(mesh: ClosedMesh) -> manifold3d.Manifold:
    """The mesh as a solid that can be cut and joined."""
    triangles = np.ascontiguousarray(mesh.triangles, dtype=np.uint64)
    made = manifold3d.Manifold(manifold3d.Mesh64(mesh.vertices_mm, triangles))
    assert made.status() == manifold3d.Error.NoError
    return made
