"""Cross-sections of every tooth at once: the shape from which outlines and meshes are both made.

Local axes: mesial, buccal, occlusal, height zero at the buccal cemento-enamel junction. [mm]
A section is a superellipse; its four half-extents are monotone curves of height through knots.
The curves' knots are our choice, made beside a real radiograph; the sizes they pass through are
the mouth's.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bitewright.compiled import compiled
from bitewright.mouth.mouth import Tooth
from bitewright.mouth.tooth_forms import is_upper, tooth_form

Floats = NDArray[np.float64]

ROOT_DEPTHS = np.array([1.0, 0.93, 0.80, 0.50, 0.20, 0.06])
ROOT_WIDTHS = np.array([0.20, 0.42, 0.58, 0.80, 0.94, 0.985])
ROOT_EXPONENT = 2.15
HEIGHT_STEP_MM = 0.25


@dataclass(frozen=True, slots=True, eq=False)
class CrownSections:
    """Sections of T teeth, tabulated on one regular grid of heights.

    Parameters
    ----------
    codes : tuple of int
        ISO 3950 codes, in the order of the arrays.
    lowest_mm : (T,) float array
        Height of the first table row, just above the root end. [mm]
    table : (T, G, 5) float array
        Per height: mesial centre, mesiodistal half-width, buccal centre, buccolingual half-width
        [mm] and exponent.
    shear : (T,) float array
        Mesial shift per mm towards buccal (upper molars are rhomboid).
    crown_mm, contact_mm : (T,) and (T, 2) float arrays
        Crown height, and heights of the mesial and distal contacts. [mm]
    taper : (T,) float array
        Share by which a section is wider for each mm from its middle towards buccal.
    """

    codes: tuple[int, ...]
    lowest_mm: Floats
    table: Floats
    shear: Floats
    crown_mm: Floats
    contact_mm: Floats
    taper: Floats

    def at(self, tooth: NDArray[np.intp], height_mm: Floats) -> Floats:
        """Section rows by linear interpolation, shape (..., 5); constant beyond the ends."""
        heights = np.ascontiguousarray(height_mm, dtype=np.float64)
        if tooth.shape != heights.shape:
            tooth = np.broadcast_to(tooth, heights.shape)
        teeth = np.ascontiguousarray(tooth)
        rows = _rows_at(teeth.ravel(), heights.ravel(), self.lowest_mm, self.table)
        return rows.reshape(*heights.shape, 5)

    def take(self, rows: list[int]) -> "CrownSections":
        """The sections of some of the teeth."""
        if rows == list(range(len(self.codes))):
            return self
        chosen = np.array(rows, dtype=np.intp)
        return CrownSections(
            tuple(self.codes[row] for row in rows),
            self.lowest_mm[chosen],
            self.table[chosen],
            self.shear[chosen],
            self.crown_mm[chosen],
            self.contact_mm[chosen],
            self.taper[chosen],
        )


def crown_sections(
    codes: Sequence[int],
    teeth: Sequence[Tooth],
    facets_mm: Floats,
    *,
    contact_mm: Floats,
    deepest_mm: float | None = None,
) -> CrownSections:
    """Tabulate the sections of teeth.

    Parameters
    ----------
    codes : sequence of T ISO 3950 codes
    teeth : sequence of T Tooth
    facets_mm : (T, 2) float array
        Facet width of the mesial and the distal contact; crowns are widened by what the facets
        cut away, so that the finished crown has the tooth's own width. [mm]
    contact_mm : (T, 2) float array
        Heights of the mesial and distal contacts. [mm]
    deepest_mm : float, optional
        Tabulate no deeper than this below the cemento-enamel junction; all of the root if left
        out. [mm]
    """
    sizes = _Sizes.of(codes, teeth, contact_mm)
    knots, values = _width_knots(sizes)
    reach = 0.5 * sizes.md_crown + _facet_depth(sizes, facets_mm).mean(axis=1)
    values[:, :, 6:] *= (
        np.where(np.arange(6, 12) >= 8, (reach / (0.5 * sizes.md_crown))[:, None], 1.0)[:, None, :]
        ** _WIDTH_ROWS
    )
    lowest = -0.97 * sizes.root
    if deepest_mm is not None:
        lowest = np.maximum(lowest, -deepest_mm)
    rows = int(np.ceil((sizes.crown - lowest).max() / HEIGHT_STEP_MM)) + 2
    heights = lowest[:, None] + HEIGHT_STEP_MM * np.arange(rows)
    curves = monotone_cubic(
        knots.reshape(-1, 12), values.reshape(-1, 12), np.repeat(heights, 4, axis=0)
    ).reshape(len(sizes.crown), 4, rows)
    mesial, distal, buccal, lingual = np.moveaxis(curves, 1, 0)
    rise = np.clip(heights / (sizes.contact.mean(axis=1))[:, None], 0.0, 1.0)
    exponent = ROOT_EXPONENT + (sizes.exponent[:, None] - ROOT_EXPONENT) * rise**2 * (3 - 2 * rise)
    table = np.stack(
        [
            0.5 * (mesial - distal),
            0.5 * (mesial + distal),
            0.5 * (buccal - lingual),
            0.5 * (buccal + lingual),
            exponent,
        ],
        axis=-1,
    )
    shear, taper = _flank_turns(teeth, reach)
    return CrownSections(
        tuple(codes), lowest, table, sizes.shear + shear, sizes.crown, sizes.contact, taper
    )


def usual_contacts_mm(codes: Sequence[int], crown_mm: Floats) -> Floats:
    """Heights (T, 2) of the mesial and distal contact by the standard shares of the crown. [mm]"""
    forms = [tooth_form(code) for code in codes]
    shares = np.array([(f.contact_height_mesial, f.contact_height_distal) for f in forms])
    return np.asarray(shares * crown_mm[:, None])


def usual_shear(code: int) -> float:
    """Mesial shift per mm towards buccal of a usual crown: upper molars are rhomboid."""
    return 0.10 if is_upper(code) and code % 10 >= 6 else 0.0


def joined_sections(parts: Sequence[CrownSections]) -> CrownSections:
    """The sections of several arches as one table, shorter ones filled with their last row."""
    rows = max(part.table.shape[1] for part in parts)
    tables = [
        np.concatenate(
            [part.table, np.repeat(part.table[:, -1:], rows - part.table.shape[1], axis=1)], axis=1
        )
        for part in parts
    ]
    return CrownSections(
        tuple(code for part in parts for code in part.codes),
        np.concatenate([part.lowest_mm for part in parts]),
        np.concatenate(tables),
        np.concatenate([part.shear for part in parts]),
        np.concatenate([part.crown_mm for part in parts]),
        np.concatenate([part.contact_mm for part in parts]),
        np.concatenate([part.taper for part in parts]),
    )


def facet_depth_mm(
    half_width: Floats, half_breadth: Floats, exponent: Floats, facet: Floats
) -> Floats:
    """How much a facet of given width cuts off a superellipse's flank, each (T,). [mm]

    Exact: the depth at which the curve ``|x/a|^n + |y/b|^n = 1`` is as wide as the facet.
    """
    share = np.clip(facet / (2.0 * half_breadth), 0.0, 0.5)
    return np.asarray(half_width * (1.0 - (1.0 - share**exponent) ** (1.0 / exponent)))


@compiled
def _rows_at(teeth: NDArray[np.intp], heights: Floats, lowest: Floats, table: Floats) -> Floats:
    """Table rows (n, 5) of teeth at heights, by linear interpolation."""
    rows = np.empty((len(heights), 5))
    for n in range(len(heights)):
        tooth = teeth[n]
        place = (heights[n] - lowest[tooth]) / HEIGHT_STEP_MM
        place = min(max(place, 0.0), table.shape[1] - 1.000001)
        k = int(place)
        share = place - k
        for field in range(5):
            low = table[tooth, k, field]
            rows[n, field] = low + share * (table[tooth, k + 1, field] - low)
    return rows


@compiled
def monotone_cubic(knots: Floats, values: Floats, at: Floats) -> Floats:
    """Piecewise cubic through knots without overshoot, many curves at once.

    Fritsch and Carlson's limiter with Butland's weighted harmonic mean, as
    `scipy.interpolate.PchipInterpolator` (tested against it), for N curves of P knots.

    Parameters
    ----------
    knots, values : (N, P) float array
        Knots increasing along each row.
    at : (N, K) float array
        Where to evaluate, increasing along each row; clipped to the knots' range.

    Returns
    -------
    (N, K) float array
    """
    count, last = knots.shape[0], knots.shape[1] - 1
    result = np.empty(at.shape)
    slope = np.empty(last + 1)
    for n in range(count):
        x, y = knots[n], values[n]
        for p in range(1, last):
            h0, h1 = x[p] - x[p - 1], x[p + 1] - x[p]
            d0, d1 = (y[p] - y[p - 1]) / h0, (y[p + 1] - y[p]) / h1
            w0, w1 = 2 * h1 + h0, h1 + 2 * h0
            slope[p] = (w0 + w1) / (w0 / d0 + w1 / d1) if d0 * d1 > 0 else 0.0
        slope[0] = _end_slope(x[1] - x[0], x[2] - x[1], y[1] - y[0], y[2] - y[1])
        slope[last] = _end_slope(
            x[last] - x[last - 1],
            x[last - 1] - x[last - 2],
            y[last] - y[last - 1],
            y[last - 1] - y[last - 2],
        )
        cell = 0
        for k in range(at.shape[1]):
            here = min(max(at[n, k], x[0]), x[last])
            while cell < last - 1 and here >= x[cell + 1]:
                cell += 1
            h = x[cell + 1] - x[cell]
            t = (here - x[cell]) / h
            m0, m1, rise = slope[cell] * h, slope[cell + 1] * h, y[cell + 1] - y[cell]
            bend = 3 * rise - 2 * m0 - m1
            result[n, k] = y[cell] + t * (m0 + t * (bend + t * (m0 + m1 - 2 * rise)))
    return result


@compiled
def _end_slope(h0: float, h1: float, rise0: float, rise1: float) -> float:
    """Slope at an end from its two nearest steps, kept from overshooting."""
    d0, d1 = rise0 / h0, rise1 / h1
    slope = ((2 * h0 + h1) * d0 - h0 * d1) / (h0 + h1)
    if slope * d0 <= 0.0:
        return 0.0
    if d0 * d1 < 0.0 and abs(slope) > 3 * abs(d0):
        return 3 * d0
    return slope


@dataclass(frozen=True, slots=True, eq=False)
class _Sizes:
    crown: Floats
    root: Floats
    md_crown: Floats
    md_cervix: Floats
    bl_crown: Floats
    bl_cervix: Floats
    contact: Floats
    exponent: Floats
    top: Floats
    is_lower: NDArray[np.bool_]
    place: NDArray[np.int_]
    shear: Floats

    @classmethod
    def of(cls, codes: Sequence[int], teeth: Sequence[Tooth], contact_mm: Floats) -> "_Sizes":
        forms = [tooth_form(code) for code in codes]
        crown = np.array([t.crown_length_mm for t in teeth])
        place = np.array([code % 10 for code in codes])
        is_lower = np.array([not is_upper(code) for code in codes])
        return cls(
            crown=crown,
            root=np.array([t.root_length_mm for t in teeth]),
            md_crown=np.array([t.md_crown_mm for t in teeth]),
            md_cervix=np.array([t.md_cervix_mm for t in teeth]),
            bl_crown=np.array([t.bl_crown_mm for t in teeth]),
            bl_cervix=np.array([t.bl_cervix_mm for t in teeth]),
            contact=contact_mm,
            exponent=np.array(
                [f.section_exponent + t.squareness for f, t in zip(forms, teeth, strict=True)]
            ),
            top=np.array([f.occlusal_width_share for f in forms]),
            is_lower=is_lower,
            place=place,
            shear=np.array([usual_shear(code) for code in codes]),
        )


# The facet widens only the two mesiodistal curves (rows: mesial, distal, buccal, lingual).
_WIDTH_ROWS = np.array([1.0, 1.0, 0.0, 0.0])[None, :, None]


def _width_knots(sizes: _Sizes) -> tuple[Floats, Floats]:
    """Knots (T, 4, 12): heights and half-extents towards mesial, distal, buccal, lingual."""
    count = len(sizes.crown)
    knots = np.empty((count, 4, 12))
    values = np.empty((count, 4, 12))
    knots[:, :, :6] = (-ROOT_DEPTHS * sizes.root[:, None])[:, None, :]
    values[:, :2, :6] = (0.5 * sizes.md_cervix[:, None] * ROOT_WIDTHS)[:, None, :]
    values[:, 2:, :6] = (0.5 * sizes.bl_cervix[:, None] * ROOT_WIDTHS)[:, None, :]
    c, cv = 0.5 * sizes.md_crown, 0.5 * sizes.md_cervix
    for side in (0, 1):
        u = sizes.contact[:, side]
        heights = [0 * u, 0.35 * u, 0.7 * u, u, 0.5 * (u + sizes.crown), sizes.crown]
        widths = [
            cv,
            cv + 0.41 * (c - cv),
            cv + 0.83 * (c - cv),
            c,
            c * (0.545 + 0.5 * sizes.top),
            c * sizes.top,
        ]
        knots[:, side, 6:] = np.stack(heights, axis=1)
        values[:, side, 6:] = np.stack(widths, axis=1)
    for row, (contour, top) in enumerate(zip(*_breadth_shape(sizes), strict=True)):
        bulge, neck = 0.5 * sizes.bl_crown, 0.5 * sizes.bl_cervix
        share = np.stack(
            [
                0 * contour,
                0.5 * contour,
                contour,
                0.5 + 0.35 * contour,
                0.8 + 0 * contour,
                1 + 0 * contour,
            ],
            axis=1,
        )
        end = top * neck
        levels = [neck, neck + 0.75 * (bulge - neck), bulge]
        levels += [end + f * (bulge - end) for f in (0.80, 0.42)] + [end]
        knots[:, 2 + row, 6:] = share * sizes.crown[:, None]
        values[:, 2 + row, 6:] = np.stack(levels, axis=1)
    return knots, values


def _breadth_shape(sizes: _Sizes) -> tuple[list[Floats], list[Floats]]:
    """Height of contour (share of crown) and top (share of neck), for buccal and lingual."""
    front = sizes.place <= 3
    contour_b = np.full(len(front), 0.22)
    contour_l = np.where(sizes.is_lower, 0.5, 0.4)
    contour_l = np.where(front, 0.25, contour_l)
    top_b = np.where(front, 0.34, np.where(sizes.is_lower, 0.54, 0.70))
    top_l = np.where(front, -0.06, np.where(sizes.is_lower, 0.86, 0.72))
    return [contour_b, contour_l], [top_b, top_l]


def _flank_turns(teeth: Sequence[Tooth], half_width_mm: Floats) -> tuple[Floats, Floats]:
    """Shear and taper (T,) beyond the usual that turn the flanks of teeth as they say."""
    degrees = np.array([(t.mesial_flank_deg, t.distal_flank_deg) for t in teeth])
    mesial, distal = np.tan(np.deg2rad(degrees)).T
    return 0.5 * (mesial + distal), 0.5 * (mesial - distal) / half_width_mm


def _facet_depth(sizes: _Sizes, facets_mm: Floats) -> Floats:
    half_breadth = 0.48 * sizes.bl_crown[:, None]
    return facet_depth_mm(
        0.5 * sizes.md_crown[:, None], half_breadth, sizes.exponent[:, None], facets_mm
    )


__all__ = [
    "CrownSections",
    "crown_sections",
    "facet_depth_mm",
    "joined_sections",
    "monotone_cubic",
    "usual_contacts_mm",
    "usual_shear",
]
