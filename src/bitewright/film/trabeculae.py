"""Trabeculae: a network fixed in each jaw and marched along every ray, so it moves with the tube.

Model: level sets of two Gaussian fields. A random band-pass field is near zero on wavy sheets about
half a wavelength apart, and where two such sheets cross there are rods. Trabeculae are sheets in
one place and rods in another, with all between; the network is stretched along and across the jaw,
drawn aside over millimetres so that struts change direction, softer next to cortex and deep inside
wide bone. Sizes were fitted to one real plate's septa. Our choice throughout.
"""

from dataclasses import astuple, dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from bitewright.compiled import compiled_loosely
from bitewright.exposing.exposure import Exposures
from bitewright.film.receptor_grid import ReceptorGrid
from bitewright.film.shells import ShellGroup
from bitewright.mouth.jaws import opened
from bitewright.row_bands import ALONE, Threads, in_row_bands
from bitewright.solids.fixed_noise import scrambled
from bitewright.solids.spongiosa import SpongiosaField

Floats = NDArray[np.float64]
Floats32 = NDArray[np.float32]

CELLS = 64
WAVE_CELLS = 8.0
BAND_SHARE = 0.40
HARMONIC = 0.40
"""The field's cube, its wavelength, the relative width of its band, its finer second band."""

FINE_STEP_MM = 0.2
COARSE_STEP_MM = 0.4
FINEST_PIXEL_MM = 0.09
COARSE_FROM_MM = 0.1
"""Rays are marched this finely for a full film, and half as finely for pixels from this size on."""

BONE_IN_SPONGIOSA = 0.2
"""Share of solid bone in the packaged material, from its calcium and its density."""

WARP_CELLS = 1.5
RODS, RODS_VARY = 0.5, 0.35
FADING = 0.5
SLOW_STEPS = 2
"""Over millimetres the network is drawn aside, sheets give way to rods and edges grow soft, each so
much for one deviation of a slow swell, which is looked up for every so many steps."""

AT_WALL, WIDE_MM, DEEPER = 1.0, 1.2, 4.0
"""How much softer it is next to cortex, and for each millimetre deeper inside than so many."""

AT_ROOTS, ROOT_MM = 0.6, 2.0
"""Where a ray also meets so much of a root, what bone lies beside it is plates rather than struts,
and its texture weaker by this share. Our choice."""

LEAST_MM = 0.4
OUTSIDE_MM = 0.15
SURE_SHARE = 0.6
"""The texture fades over this much on both sides of the spongiosa's surface; further outside a ray
runs on by this share of the distance, which is only about right, without asking again."""

DEEP_MM = -1.6
"""Deeper than this the cortex has no say."""

NO_WAY = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Grain:
    """The network of one jaw.

    Parameters
    ----------
    spacing_mm : (3,) tuple
        Between sheets: along the row, towards the cheek, upright. [mm]
    bone_share : float
        Share of bone aimed at away from cortex.
    softness : float
        Width of the edges of sheets and rods against the field's deviation.
    at_cortex : float
        Bone added next to cortex, against that inside.
    """

    spacing_mm: tuple[float, float, float]
    bone_share: float
    softness: float
    at_cortex: float


GRAINS = {
    False: Grain(spacing_mm=(0.62, 2.6, 0.54), bone_share=0.215, softness=0.55, at_cortex=0.10),
    True: Grain(spacing_mm=(0.49, 2.05, 0.44), bone_share=0.27, softness=0.48, at_cortex=0.12),
}
"""By whether the jaw is the lower."""


def add_trabeculae(
    lengths_mm: Floats32,
    exposures: Exposures,
    grid: ReceptorGrid,
    fields: tuple[SpongiosaField, ...],
    *,
    threads: Threads = ALONE,
) -> None:
    """Change some spongiosa for cortex and back, in these lengths, for the first exposure. [mm]"""
    plain = lengths_mm[ShellGroup.SPONGIOSA]
    if not (plain > 0.0).any():
        return
    coarse = grid.pixel_mm >= COARSE_FROM_MM
    skipped = 1 if coarse else max(round(FINEST_PIXEL_MM / grid.pixel_mm), 1)
    step = COARSE_STEP_MM if coarse else FINE_STEP_MM
    rows, columns = (np.arange(0, n + skipped - 1, skipped) for n in grid.shape)
    taken = np.ix_(np.minimum(rows, grid.rows - 1), np.minimum(columns, grid.columns - 1))
    asked = plain[taken]
    more = np.zeros(asked.shape, dtype=np.float32)
    for field in fields:
        rays = rays_in_jaw(exposures, grid, skipped=skipped, is_lower=field.is_lower)
        more += extra_bone_mm(field, rays, asked, step_mm=step, threads=threads)
    more *= 1.0 - AT_ROOTS * np.clip(lengths_mm[ShellGroup.TOOTH][taken] / ROOT_MM, 0.0, 1.0)
    if skipped > 1:
        more = stretched(stretched(more, skipped).T, skipped).T[: grid.rows, : grid.columns]
    plain -= more * np.clip(plain / np.float32(LEAST_MM), 0.0, 1.0)


def stretched(image: Floats32, times: int) -> Floats32:
    """Straight lines drawn between rows that lie so many rows apart."""
    shares = np.arange(times, dtype=np.float32)[:, None] / np.float32(times)
    between_rows = image[:-1, None] + shares * np.diff(image, axis=0)[:, None]
    return np.concatenate([between_rows.reshape(-1, image.shape[1]), image[-1:]])


def rays_in_jaw(
    exposures: Exposures, grid: ReceptorGrid, *, skipped: int, is_lower: bool
) -> Floats:
    """The first exposure's rays in the frame of a jaw as it is when closed. [mm]

    Returns
    -------
    (4, 3) float array
        The source, the first pixel, and the ways from it to the next taken to the right and down.
    """
    seat = exposures.seat
    axes, centre = seat.axes_mouth[0], seat.centres_mouth[0]
    first = centre + grid.first_u_mm * axes[0] + grid.first_v_mm * axes[1]
    step = skipped * grid.pixel_mm
    ends = np.stack(
        [exposures.beam.sources_mouth[0], first, first + step * axes[0], first + step * axes[1]]
    )
    if is_lower:
        opening = float(seat.opening_deg[0])
        ends = opened(ends, exposures.station.outlines.hinge_mm, -opening)
    ends[2:] -= ends[1]
    return ends


def extra_bone_mm(
    field: SpongiosaField,
    rays: Floats,
    spongiosa_mm: Floats32,
    *,
    step_mm: float,
    threads: Threads = ALONE,
) -> Floats32:
    """Bone beyond the even material's along each ray, as a length of cortex, (rows, columns). [mm]

    ``spongiosa_mm`` is the length of spongiosa at the same places; rays without any are left out.
    """
    grain = GRAINS[field.is_lower]
    scale = WAVE_CELLS / (2.0 * np.array(grain.spacing_mm))
    turns = [field.axes_mouth / field.cell_mm, scale[:, None] * field.grain_axes_mouth]
    origins = field.origin_mouth, field.grain_origin_mouth
    cells = np.concatenate(
        [
            np.column_stack([turn, -turn @ origin])
            for turn, origin in zip(turns, origins, strict=True)
        ]
    )
    numbers = np.array([step_mm, *astuple(grain)[1:], BONE_IN_SPONGIOSA])
    asked = np.ascontiguousarray(spongiosa_mm > 0.0)
    extra = np.zeros(asked.shape, dtype=np.float32)

    cube = sheets()  # before threads ask for it at once

    def fill(first_row: int, end_row: int) -> None:
        band = first_row, end_row
        march(rays, cells, field.distance_mm, cube, numbers, asked, band, extra)

    in_row_bands(fill, 1.0 + np.count_nonzero(asked, axis=1), threads)
    return extra


@lru_cache(maxsize=1)
def sheets() -> Floats32:
    """Two cubes of band-pass noise side by side that join themselves at their faces, deviation 1.

    One is the other with its axes exchanged: at one place they have nothing to do with each other.
    """
    white = np.fft.rfftn(scrambled((CELLS, CELLS, CELLS)).astype(np.float32))
    k, last = np.fft.fftfreq(CELLS), np.fft.rfftfreq(CELLS)
    size = np.sqrt(k[:, None, None] ** 2 + k[None, :, None] ** 2 + last**2).astype(np.float32)
    power = white.real**2 + white.imag**2
    power[..., 1:-1] *= 2.0  # these stand for their mirrored waves too
    power[0, 0, 0] = 0.0
    middle = np.float32(1.0 / WAVE_CELLS)
    kept = np.zeros_like(size)
    for band, share in ((middle, 1.0), (2.0 * middle, HARMONIC)):
        passed = np.exp(-0.5 * ((size - band) / (BAND_SHARE * band)) ** 2)
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
    numbers: Floats,
    asked: NDArray[np.bool_],
    band: tuple[int, int],
    extra_mm: Floats32,
) -> None:
    """Fill the rows of a band with the bone met beyond the even material's.

    Rows 0 to 2 of ``cells`` (6, 4) lead from the mouth to cells of the distances, 3 to 5 to cells
    of the cube. ``numbers`` are the step [mm], a `Grain`'s after its spacing, and the even share.
    """
    step_mm, at_cortex, even = numbers[0], numbers[3], numbers[4]
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
                if far > OUTSIDE_MM:
                    number += max(1, int(SURE_SHARE * far / step_mm))
                    continue
                x, y, z = (
                    start[3] + t * way[3],
                    start[4] + t * way[4],
                    start[5] + t * way[5],
                )
                if number >= look_again:
                    slow = look_round(cube, x, y, z, numbers)
                    look_again = number + SLOW_STEPS
                number += 1
                inside = min(0.5 - far / (2.0 * OUTSIDE_MM), 1.0)
                bone = bone_share(cube, x, y, z, far, slow, at_cortex)
                total += inside * (bone - even)
            extra_mm[row, column] += total * step_mm / (1.0 - even)


@compiled_loosely
def along_ray(
    rays: Floats, cells: Floats, row: int, column: int, start: Floats, way: Floats
) -> float:
    """Source and way per millimetre in both kinds of cells (6,); returns the ray's length. [mm]"""
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
    """Where a ray enters and leaves a block of cells; leaves first if it misses. [mm]"""
    enter, leave = 0.0, long
    for k in range(3):
        last = shape[k] - 1.001
        if abs(way[k]) > NO_WAY:
            one, other = -start[k] / way[k], (last - start[k]) / way[k]
            enter = max(enter, min(one, other))
            leave = min(leave, max(one, other))
        elif start[k] < 0.0 or start[k] > last:
            leave = -1.0
    return enter, leave


@compiled_loosely
def look_round(
    cube: Floats32, x: float, y: float, z: float, numbers: Floats
) -> tuple[float, float, float, float, float]:
    """What changes slowly: two ways off, how far sheets are rods, where they end, how softly."""
    share, softness = numbers[1], numbers[2]
    one, other = around(cube, 0.37 * x + 31.0, 0.2 * y + 57.0, 0.37 * z + 11.0)
    rod = min(max(RODS + RODS_VARY * other, 0.0), 1.0)
    # A Gaussian lies within +-t of its middle for about 0.78 t of the time, t in deviations, and
    # two lie within a circle of radius t for 1 - exp(-t^2 / 2).
    plate, strut = share / 0.78, np.sqrt(-2.0 * np.log(1.0 - share))
    cut = plate + np.sqrt(rod) * (strut - plate)
    return WARP_CELLS * one, WARP_CELLS * other, rod, cut, softness * np.exp(FADING * other)


@compiled_loosely
def bone_share(
    cube: Floats32,
    x: float,
    y: float,
    z: float,
    far: float,
    slow: tuple[float, float, float, float, float],
    at_cortex: float,
) -> float:
    """Share of bone at a place of the cube this far outside the spongiosa's surface."""
    aside, up, rod, cut, softness = slow
    x, z = x + aside, z + up
    sheet, across = around(cube, x, y, z)
    away = np.sqrt(sheet * sheet + rod * across * across)
    near = np.exp(-(((far + 0.45) / 0.5) ** 2)) if far > DEEP_MM else 0.0
    softness *= 1.0 + AT_WALL * near + DEEPER * max(-far - WIDE_MM, 0.0)
    return float(min(max(0.5 + (cut * (1.0 + at_cortex * near) - away) / softness, 0.0), 1.0))


@compiled_loosely
def trilinear(table: Floats32, x: float, y: float, z: float) -> float:
    """A table between its places."""
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
    """Both fields of a cube that repeats for ever, between its places.

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


__all__ = ["GRAINS", "Grain", "add_trabeculae", "extra_bone_mm", "sheets", "stretched"]
