"""Flanks: the proximal surfaces of the crowns as rows of points, with the contact facets cut."""

import numpy as np
from numpy.typing import NDArray

from bitewright.compiled import compiled
from bitewright.mouth.crown_sections import CrownSections

Floats = NDArray[np.float64]

MESIAL, DISTAL = 0, 1

FLANK_ROWS_MM = np.array([-2.0, -1.3, -0.7, -0.3, 0.0, 0.3, 0.8, 1.5])
"""Heights of a flank's rows above its contact. [mm]"""

_EVEN = np.linspace(-1.0, 1.0, 15)

FLANK_BREADTHS = 0.88 * np.sign(_EVEN) * np.abs(_EVEN) ** 0.85
"""Places across a flank as shares of the section's half-breadth, the same to both sides.

Wider apart in the middle, which facets cut flat, than beside it, where a beam 5 to 30 degrees off
the open direction meets the crown's edge. Our choice.
"""

LIFT = 1.0 / 24.0
"""How far places stand off their curve, of its bend there times the squared step beside it.

A chord sags by an eighth of bend times squared step, and the outermost place of a direction lies
inside the curve by a third of that on average. Lifted by so much, silhouettes are the curve's own
on average.
"""

NO_FACET_MM = 1e6
"""Offset of a facet plane where there is none."""


def crown_flanks(sections: CrownSections, origins: Floats, axes: Floats, planes: Floats) -> Floats:
    """Mesial and distal flanks of placed crowns, facets cut and their corners added.

    Parameters
    ----------
    sections : CrownSections of T teeth
    origins, axes : (T, 3) and (T, 3, 3) float arrays
        Local origins [mm] and axes (rows: mesial, buccal, occlusal).
    planes : (T, 2, 4) float array
        Facet planes: outward normal and offset. [mm]

    Returns
    -------
    (T, 2, K, M + 2, 3) float array [mm]
    """
    rows, turns = flank_sections(sections), flank_turns(sections)
    return flanks_through(rows, turns, origins, axes, planes)


def flank_sections(sections: CrownSections) -> Floats:
    """Heights and sections of every crown's flanks, (T, 2, K, 6).

    Per row: height, then as `CrownSections.table`. [mm]
    """
    tooth = np.arange(len(sections.crown_mm))[:, None, None]
    height = sections.contact_mm[:, :, None] + FLANK_ROWS_MM
    height = np.clip(height, 0.15, sections.crown_mm[:, None, None] - 1.0)
    rows = sections.at(np.broadcast_to(tooth, height.shape), height)
    return np.concatenate([height[..., None], rows], axis=-1)


def flank_turns(sections: CrownSections) -> Floats:
    """Shear and taper of every crown, (T, 2), as in `CrownSections`."""
    return np.column_stack([sections.shear, sections.taper])


def flanks_through(
    rows: Floats, turns: Floats, origins: Floats, axes: Floats, planes: Floats
) -> Floats:
    """Flanks through `flank_sections` and `flank_turns` of placed crowns.

    Every shape as in `crown_flanks`.
    """
    rows = np.ascontiguousarray(rows)
    return _flanks(rows, turns, origins, axes, planes, FLANK_BREADTHS)


@compiled
def _flanks(
    rows: Floats,
    turns: Floats,
    origins: Floats,
    axes: Floats,
    planes: Floats,
    breadths: Floats,
) -> Floats:
    """Every row of every flank, (T, 2, K, M + 2, 3)."""
    teeth, sides, heights = rows.shape[:3]
    count = len(breadths)
    flanks = np.empty((teeth, sides, heights, count + 2, 3))
    shares, ways = np.empty(count), np.empty((3, 3))
    beyond = np.empty((heights, count))
    for t in range(teeth):
        for s in range(sides):
            for k in range(heights):
                row = rows[t, s, k]
                # How a section's half-width grows over its breadth.
                per = turns[t, 1] * row[4]
                for m in range((count + 1) // 2):
                    shares[m] = shares[count - 1 - m] = _share(breadths[m], row[5])
                for m in range(count):
                    shares[m] *= 1.0 + per * breadths[m]
                outward = row[2] if s == 0 else -row[2]
                middle = row[1] + turns[t, 0] * row[3]
                for i in range(3):
                    mesial, buccal = axes[t, 0, i], axes[t, 1, i]
                    ways[0, i] = origins[t, i] + middle * mesial + row[3] * buccal
                    ways[0, i] += row[0] * axes[t, 2, i]
                    ways[1, i] = row[4] * (turns[t, 0] * mesial + buccal)
                    ways[2, i] = outward * mesial
                _cut_row(
                    flanks[t, s, k], ways, row[5], per, planes[t, s], breadths, shares, beyond[k]
                )
            _fill_edges(flanks[t, s], planes[t, s], beyond)
    return flanks


@compiled
def _cut_row(
    out: Floats,
    ways: Floats,
    power: float,
    per: float,
    plane: Floats,
    breadths: Floats,
    shares: Floats,
    reached: Floats,
) -> None:
    """Place a row, press what is beyond its facet plane onto it, and add the facet's corners.

    A place is the first way, its breadth times the second and its share of the section's
    half-width times the third. A row crosses its plane at most twice; where it does not, its
    first point stands again.
    """
    count, corners, before = len(breadths), 0, 0.0
    over = np.zeros(3)
    over[0] = -plane[3]
    for i in range(3):
        for j in range(3):
            over[i] += ways[i, j] * plane[j]
    for m in range(count):
        lift = _lift(shares, breadths, m) if 0 < m < count - 1 else 0.0
        beyond = over[0] + breadths[m] * over[1] + shares[m] * over[2]
        reached[m] = beyond + lift * over[2]
        _put(out[m], ways, breadths[m], shares[m] + lift, plane, max(reached[m], 0.0))
        if m > 0 and corners < 2 and (before < 0.0) != (beyond < 0.0):
            share = before / (before - beyond)
            chord = breadths[m - 1] + share * (breadths[m] - breadths[m - 1])
            corner = _crossing(over, power, per, chord, breadths[m - 1], breadths[m])
            share = _share(corner, power) * (1.0 + per * corner)
            off = over[0] + corner * over[1] + share * over[2]
            _put(out[count + corners], ways, corner, share, plane, off)
            corners += 1
        before = beyond
    for left in range(corners, 2):
        out[count + left] = out[0]


@compiled
def _lift(shares: Floats, breadths: Floats, m: int) -> float:
    """How far a place stands off its curve, as a share of the section's half-width."""
    before, after = breadths[m] - breadths[m - 1], breadths[m + 1] - breadths[m]
    turn = (shares[m] - shares[m - 1]) / before - (shares[m + 1] - shares[m]) / after
    return float(LIFT * turn * (before * before + after * after) / (before + after))


@compiled
def _fill_edges(flank: Floats, plane: Floats, beyond: Floats) -> None:
    """Lift rows just above and below a facet by half of what lines from it to them cut short.

    The facet ends between two rows; a line from its last row to the first beyond lies inside.
    """
    heights, count = beyond.shape
    for k in range(heights):
        for step in (-1, 1):
            if not 0 <= k + step < heights:
                continue
            for m in range(count):
                inside, outside = beyond[k + step, m], -beyond[k, m]
                if inside > 0.0 and outside > 0.0:
                    lift = 0.5 * inside * outside / (inside + outside)
                    for i in range(3):
                        flank[k, m, i] += lift * plane[i]


@compiled
def _put(
    out: Floats, ways: Floats, breadth: float, share: float, plane: Floats, press: float
) -> None:
    """Place one point, moved back along its plane's normal."""
    for i in range(3):
        out[i] = ways[0, i] + breadth * ways[1, i] + share * ways[2, i] - press * plane[i]


@compiled
def _crossing(
    over: Floats, power: float, per: float, chord: float, low: float, high: float
) -> float:
    """Breadth at which the curve itself crosses its plane: one step by Newton from the chord's."""
    wide = 1.0 + per * chord
    gone = abs(chord) ** power
    share = (1.0 - gone) ** (1.0 / power)
    # How fast a superellipse's half-width changes with breadth.
    slope = -gone * share / ((1.0 - gone) * chord) if chord != 0.0 else 0.0
    slope, share = slope * wide + share * per, share * wide
    rise = over[1] + slope * over[2]
    beyond = over[0] + chord * over[1] + share * over[2]
    return float(min(max(chord - beyond / rise, low), high)) if rise != 0.0 else chord


@compiled
def _share(breadth: float, power: float) -> float:
    """A superellipse's half-width at a breadth, both as shares of their largest."""
    return float((1.0 - abs(breadth) ** power) ** (1.0 / power))


__all__ = [
    "DISTAL",
    "FLANK_BREADTHS",
    "FLANK_ROWS_MM",
    "MESIAL",
    "NO_FACET_MM",
    "crown_flanks",
    "flank_sections",
    "flank_turns",
    "flanks_through",
]
