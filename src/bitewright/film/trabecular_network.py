"""The network of trabeculae as level sets of a random field, and how rays are marched through it.

Our model: a random band-pass field is near zero on wavy sheets about half a wavelength apart, and
where two such sheets cross there are rods. Trabeculae are sheets in one place and rods in another,
with all between. Figures: ``tables/trabeculae.toml``.
"""

from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from bitewright.compiled import compiled_loosely
from bitewright.figure_tables import figures_of
from bitewright.solids.fixed_noise import scrambled

Floats = NDArray[np.float64]
Floats32 = NDArray[np.float32]

CELLS = 64
"""Cells along each side of the field's cube, which repeats for ever; a power of two."""

WAVE_CELLS = 8.0
"""The field's wavelength in cells."""

SLOW_STEPS = 2
"""What changes slowly is looked up for every so many steps."""

SLOW_FROM_CELLS = (31.0, 57.0, 11.0)
"""It is taken from the same cube this far off, where it has nothing to do with the network."""

SURE_SHARE = 0.6
"""Outside the spongiosa a ray runs on by this share of the distance to it, which is only about
right, without asking again."""

WITHIN_DEVIATION = 0.78
"""A Gaussian lies within t deviations of its middle for about t times this, t small. Our choice."""

BEFORE_LAST = 1.001
"""A place is looked up between two cells, so it lies this far before the end of a block."""

LEAST_WAY = 1e-9
"""A ray whose way along an axis of a block is less than this runs beside it. [cells/mm]"""


@lru_cache(maxsize=1)
def network_cube() -> Floats32:
    """Two cubes of band-pass noise side by side that join themselves at their faces, deviation 1.

    One is the other with its axes exchanged: at one place they have nothing to do with each other.

    Returns
    -------
    (C, C, C, 2) float32 array
        C is `CELLS`.
    """
    white = np.fft.rfftn(scrambled((CELLS, CELLS, CELLS)).astype(np.float32))
    k, last = np.fft.fftfreq(CELLS), np.fft.rfftfreq(CELLS)
    size = np.sqrt(k[:, None, None] ** 2 + k[None, :, None] ** 2 + last**2).astype(np.float32)
    power = white.real**2 + white.imag**2
    power[..., 1:-1] *= 2.0  # these stand for their mirrored waves too
    power[0, 0, 0] = 0.0
    middle, form = np.float32(1.0 / WAVE_CELLS), TRABECULAE.band
    kept = np.zeros_like(size)
    for band, share in ((middle, 1.0), (2.0 * middle, form.harmonic_share)):
        passed = np.exp(-0.5 * ((size - band) / (form.width_share * band)) ** 2)
        deviation = np.sqrt((power * passed**2).sum(dtype=np.float64))
        kept += passed * np.float32(share / deviation)
    field = np.fft.irfftn(white * kept, s=(CELLS,) * 3, axes=(0, 1, 2))
    field /= field.std()
    return np.stack([field, field.transpose(2, 0, 1)], axis=-1).astype(np.float32)


@compiled_loosely
def march(
    rays: Floats,
    cells: Floats,
    distance_mm: Floats32,
    cube: Floats32,
    marching: "Marching",
    asked: NDArray[np.bool_],
    band: tuple[int, int],
    extra_mm: Floats32,
) -> None:
    """Fill the rows of a band with the bone met beyond the even material's.

    Parameters
    ----------
    rays : (4, 3) float array
        Source, first pixel, and the ways from it to the next to the right and down. [mm]
    cells : (6, 4) float array
        Rows 0 to 2 lead from the mouth to cells of the distances, 3 to 5 to cells of the cube.
    distance_mm : (X, Y, Z) float32 array
        To the spongiosa's surface, negative inside. [mm]
    cube : (C, C, C, 2) float32 array
        As `network_cube` makes it.
    marching : Marching
    asked : (rows, columns) bool array
        Which rays are marched.
    band : tuple
        First row and the row after the last.
    extra_mm : (rows, columns) float32 array
        Filled. [mm]
    """
    step_mm, fade_mm = marching.step_mm, marching.figures.surface.fade_mm
    even = marching.figures.material.bone_share
    start, way = np.empty(6), np.empty(6)
    for row in range(band[0], band[1]):
        for column in range(asked.shape[1]):
            if not asked[row, column]:
                continue
            long = along_ray(rays, cells, row, column, start, way)
            enter, leave = block_crossing(distance_mm.shape, start, way, long)
            number, total = int(np.ceil(enter / step_mm)), 0.0
            look_again, slow = 0, (0.0, 0.0, 0.0, 0.0, 0.0)
            while number * step_mm < leave:
                t = number * step_mm
                far = trilinear(
                    distance_mm,
                    start[0] + t * way[0],
                    start[1] + t * way[1],
                    start[2] + t * way[2],
                )
                if far > fade_mm:
                    number += max(1, int(SURE_SHARE * far / step_mm))
                    continue
                x, y, z = (
                    start[3] + t * way[3],
                    start[4] + t * way[4],
                    start[5] + t * way[5],
                )
                if number >= look_again:
                    slow = look_round(cube, x, y, z, marching)
                    look_again = number + SLOW_STEPS
                number += 1
                inside = min(0.5 - far / (2.0 * fade_mm), 1.0)
                bone = bone_share(cube, x, y, z, far, slow, marching)
                total += inside * (bone - even)
            extra_mm[row, column] += total * step_mm / (1.0 - even)


@compiled_loosely
def along_ray(
    rays: Floats, cells: Floats, row: int, column: int, start: Floats, way: Floats
) -> float:
    """Fill in source and way per millimetre in both kinds of cells, (6,); the ray's length. [mm]"""
    x = rays[1, 0] + column * rays[2, 0] + row * rays[3, 0] - rays[0, 0]
    y = rays[1, 1] + column * rays[2, 1] + row * rays[3, 1] - rays[0, 1]
    z = rays[1, 2] + column * rays[2, 2] + row * rays[3, 2] - rays[0, 2]
    long = np.sqrt(x * x + y * y + z * z)
    for k in range(6):
        way[k] = (cells[k, 0] * x + cells[k, 1] * y + cells[k, 2] * z) / long
        start[k] = cells[k, 3]
        for c in range(3):
            start[k] += cells[k, c] * rays[0, c]
    return float(long)


@compiled_loosely
def block_crossing(
    shape: tuple[int, int, int], start: Floats, way: Floats, long: float
) -> tuple[float, float]:
    """Where a ray enters and leaves a block of cells (X, Y, Z); leaves first if it misses. [mm]"""
    enter, leave = 0.0, long
    for k in range(3):
        last = shape[k] - BEFORE_LAST
        if abs(way[k]) > LEAST_WAY:
            one, other = -start[k] / way[k], (last - start[k]) / way[k]
            enter = max(enter, min(one, other))
            leave = min(leave, max(one, other))
        elif start[k] < 0.0 or start[k] > last:
            leave = -1.0
    return enter, leave


@compiled_loosely
def look_round(
    cube: Floats32, x: float, y: float, z: float, marching: "Marching"
) -> tuple[float, float, float, float, float]:
    """What changes slowly about a place of the cube (C, C, C, 2).

    Returns
    -------
    tuple
        How far the network is drawn aside and up, in cells; how far sheets are rods, from 0 to 1;
        where they end, in deviations; and how softly.
    """
    slow, share, softness = marching.figures.slow, marching.jaw.bone_share, marching.jaw.softness
    one, other = around(
        cube,
        slow.along_share * x + SLOW_FROM_CELLS[0],
        slow.across_share * y + SLOW_FROM_CELLS[1],
        slow.along_share * z + SLOW_FROM_CELLS[2],
    )
    rod = min(max(slow.rods_share + slow.rods_vary * other, 0.0), 1.0)
    # Two Gaussians lie within a circle of radius t, in deviations, for 1 - exp(-t^2 / 2).
    plate, strut = share / WITHIN_DEVIATION, np.sqrt(-2.0 * np.log(1.0 - share))
    cut = plate + np.sqrt(rod) * (strut - plate)
    aside, up = slow.aside_cells * one, slow.aside_cells * other
    return aside, up, rod, cut, softness * np.exp(slow.fading * other)


@compiled_loosely
def bone_share(
    cube: Floats32,
    x: float,
    y: float,
    z: float,
    far: float,
    slow: tuple[float, float, float, float, float],
    marching: "Marching",
) -> float:
    """Share of bone at a place of the cube (C, C, C, 2), so far outside the spongiosa. [mm]"""
    cortex, wide, jaw = marching.figures.cortex, marching.figures.wide_bone, marching.jaw
    aside, up, rod, cut, softness = slow
    x, z = x + aside, z + up
    sheet, across = around(cube, x, y, z)
    away = np.sqrt(sheet * sheet + rod * across * across)
    off = (far + cortex.beside_mm) / cortex.beside_over_mm
    near = np.exp(-(off**2)) if far > -cortex.reach_mm else 0.0
    softness *= 1.0 + cortex.softer * near + wide.softer_per_mm * max(-far - wide.from_mm, 0.0)
    inside = cut * (1.0 + jaw.at_cortex_share * near) - away
    return float(min(max(0.5 + inside / softness, 0.0), 1.0))


@compiled_loosely
def trilinear(table: Floats32, x: float, y: float, z: float) -> float:
    """A table (X, Y, Z) between its places, by straight lines."""
    i, j, k = int(x), int(y), int(z)
    a, b, c = x - i, y - j, z - k
    p = table[i, j, k] + c * (table[i, j, k + 1] - table[i, j, k])
    q = table[i, j + 1, k] + c * (table[i, j + 1, k + 1] - table[i, j + 1, k])
    r = table[i + 1, j, k] + c * (table[i + 1, j, k + 1] - table[i + 1, j, k])
    s = table[i + 1, j + 1, k] + c * (table[i + 1, j + 1, k + 1] - table[i + 1, j + 1, k])
    p += b * (q - p)
    r += b * (s - r)
    return float(p + a * (r - p))


@compiled_loosely
def around(cube: Floats32, x: float, y: float, z: float) -> tuple[float, float]:
    """Both fields of a cube (C, C, C, 2) that repeats for ever, between its places.

    Its side is a power of two; the fields lie side by side, so that one look finds both.
    """
    last = cube.shape[0] - 1
    i, j, k = int(np.floor(x)), int(np.floor(y)), int(np.floor(z))
    a, b, c = np.float32(x - i), np.float32(y - j), np.float32(z - k)
    i, j, k = i & last, j & last, k & last
    i1, j1, k1 = (i + 1) & last, (j + 1) & last, (k + 1) & last
    p0 = cube[i, j, k, 0] + c * (cube[i, j, k1, 0] - cube[i, j, k, 0])
    p1 = cube[i, j, k, 1] + c * (cube[i, j, k1, 1] - cube[i, j, k, 1])
    q0 = cube[i, j1, k, 0] + c * (cube[i, j1, k1, 0] - cube[i, j1, k, 0])
    q1 = cube[i, j1, k, 1] + c * (cube[i, j1, k1, 1] - cube[i, j1, k, 1])
    p0 += b * (q0 - p0)
    p1 += b * (q1 - p1)
    r0 = cube[i1, j, k, 0] + c * (cube[i1, j, k1, 0] - cube[i1, j, k, 0])
    r1 = cube[i1, j, k, 1] + c * (cube[i1, j, k1, 1] - cube[i1, j, k, 1])
    s0 = cube[i1, j1, k, 0] + c * (cube[i1, j1, k1, 0] - cube[i1, j1, k, 0])
    s1 = cube[i1, j1, k, 1] + c * (cube[i1, j1, k1, 1] - cube[i1, j1, k, 1])
    r0 += b * (s0 - r0)
    r1 += b * (s1 - r1)
    return p0 + a * (r0 - p0), p1 + a * (r1 - p1)


class NetworkBand(NamedTuple):
    """The waves that the network is made of."""

    width_share: float
    harmonic_share: float


class JawNetwork(NamedTuple):
    """The network of one jaw."""

    along_mm: float
    across_mm: float
    upright_mm: float
    bone_share: float
    softness: float
    at_cortex_share: float


class SlowSwells(NamedTuple):
    """What changes over millimetres."""

    along_share: float
    across_share: float
    aside_cells: float
    rods_share: float
    rods_vary: float
    fading: float


class BesideCortex(NamedTuple):
    """How the network differs next to cortex."""

    beside_mm: float
    beside_over_mm: float
    reach_mm: float
    softer: float


class WideBone(NamedTuple):
    """How it differs deep inside wide bone."""

    from_mm: float
    softer_per_mm: float


class BesideRoots(NamedTuple):
    """How it differs on rays that meet a root."""

    weaker_share: float
    whole_mm: float


class SpongiosaEdge(NamedTuple):
    """How it ends at the spongiosa's surface."""

    fade_mm: float
    least_mm: float


class SpongiosaMaterial(NamedTuple):
    """What the even material holds."""

    bone_share: float


class Trabeculae(NamedTuple):
    """Trabeculae of both jaws."""

    band: NetworkBand
    upper: JawNetwork
    lower: JawNetwork
    slow: SlowSwells
    cortex: BesideCortex
    wide_bone: WideBone
    roots: BesideRoots
    surface: SpongiosaEdge
    material: SpongiosaMaterial


class Marching(NamedTuple):
    """How a jaw's rays are marched: the step, the jaw's own network, and the figures of both."""

    step_mm: float
    jaw: JawNetwork
    figures: Trabeculae


TRABECULAE = figures_of(Trabeculae, "bitewright.film", "trabeculae")

__all__ = ["TRABECULAE", "WAVE_CELLS", "Marching", "Trabeculae", "march", "network_cube"]
