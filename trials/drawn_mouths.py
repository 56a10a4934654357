"""Mouths drawn from the population beside it: contacts, crowns and places, in number."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bitewright.mouth.mouth import Mouth
from bitewright.mouth.outlines import Outlines, build_outlines
from bitewright.mouth.population_mouth import Regularity, population_mouth
from bitewright.mouth.tooth_forms import is_upper
from trials.crown_forms import cusp_places_mm
from trials.crown_population import CrownPopulation
from trials.population_contacts import BACK_PAIRS, Pair, drawn_open_deg

Floats = NDArray[np.float64]
Kind = tuple[bool, int]
"""Whether upper, and the place from the midline; of a contact, of the tooth in front."""

CROWNS = 150
OTHER_SEED = 91_000
"""Real crowns are drawn by other numbers than those their tables were measured on."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class DrawnMouths:
    """Figures of N drawn mouths; missing teeth and their contacts are NaN.

    Parameters
    ----------
    open_deg, real_open_deg : (N, 16) float arrays
        Where contacts of `BACK_PAIRS` are open, in the outlines and with real crowns in the same
        places (NaN where those were not asked for). [deg]
    width_mm, breadth_mm, buccal_ahead_mm, turn_deg, offset_mm : (N, 28) float arrays
        Crowns by ``codes``; how far cheek cusps stand ahead of tongue cusps; turn and offset about
        the mean of all mouths, arches laid on one another.
    codes : tuple of 28 int
    gap_error_mm : (N,) float array
        How far the worst contact's gap lies from what it shall be. [mm]
    """

    open_deg: Floats
    real_open_deg: Floats
    width_mm: Floats
    breadth_mm: Floats
    buccal_ahead_mm: Floats
    turn_deg: Floats
    offset_mm: Floats
    codes: tuple[int, ...]
    gap_error_mm: Floats

    def of_kind(self, values: Floats, kind: Kind) -> Floats:
        """All values of one kind of tooth, both sides, those missing left out."""
        columns = [k for k, code in enumerate(self.codes) if (is_upper(code), code % 10) == kind]
        found = values[:, columns].ravel()
        return np.asarray(found[np.isfinite(found)])


def contacts_of_kind(values: Floats, kind: Kind) -> Floats:
    """All values (N, 16) of one kind of contact, both sides, those missing left out."""
    columns = [k for k, (code, _) in enumerate(BACK_PAIRS) if (is_upper(code), code % 10) == kind]
    found = values[:, columns].ravel()
    return np.asarray(found[np.isfinite(found)])


def neighbour_correlation(values: Floats, kind: Kind) -> float:
    """Correlation of a kind of contact with the next one behind, both sides together."""
    pairs = []
    for k, (code, _) in enumerate(BACK_PAIRS):
        if (is_upper(code), code % 10) == kind:
            pairs.append(values[:, [k, k + 1]])
    both: Floats = np.concatenate(pairs)
    both = both[np.isfinite(both).all(axis=1)]
    return float(np.asarray(np.corrcoef(both.T))[0, 1])


def drawn_mouths(
    count: int,
    regularity: Regularity,
    population: CrownPopulation | None = None,
    real: int = 0,
) -> DrawnMouths:
    """Draw and measure mouths; real crowns are set into the first ``real`` of them."""
    found = [_measured(population_mouth(seed, regularity=regularity)) for seed in range(count)]
    first = found[0].codes
    real_open = np.full((count, len(BACK_PAIRS)), np.nan)
    if population is not None:
        for seed in range(real):
            opened = drawn_open_deg(population, found[seed].outlines, OTHER_SEED + seed)
            real_open[seed] = [opened.get(pair, np.nan) for pair in BACK_PAIRS]
    turns, offsets = _places(found)
    return DrawnMouths(
        open_deg=np.array([each.open_deg for each in found]),
        real_open_deg=real_open,
        width_mm=np.array([each.width_mm for each in found]),
        breadth_mm=np.array([each.breadth_mm for each in found]),
        buccal_ahead_mm=np.array([each.buccal_ahead_mm for each in found]),
        turn_deg=turns,
        offset_mm=offsets,
        codes=first,
        gap_error_mm=np.array([each.gap_error_mm for each in found]),
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Measured:
    outlines: Outlines
    codes: tuple[int, ...]
    open_deg: Floats
    width_mm: Floats
    breadth_mm: Floats
    buccal_ahead_mm: Floats
    middles_mouth: Floats
    mesial_mouth: Floats
    gap_error_mm: float


def _measured(mouth: Mouth) -> _Measured:
    outlines = build_outlines(mouth)
    codes = tuple(mouth.teeth)
    values = np.full((len(codes), 7), np.nan)
    for k, code in enumerate(codes):
        if code not in outlines.row:
            continue
        row = outlines.row[code]
        along = outlines.flanks_mouth[row].reshape(-1, 3) @ outlines.axes_mouth[row, 0]
        values[k, 0] = np.ptp(along)
        values[k, 1] = mouth.teeth[code].bl_crown_mm
        values[k, 2] = _buccal_ahead_mm(outlines, row)
        values[k, 3:5] = outlines.crown_middle_mouth(code)[:2]
        values[k, 5:7] = outlines.axes_mouth[row, 0, :2]
    wrong = [abs(s.gap_mm - mouth.contacts[s.pair].gap_mm) for s in outlines.sites]
    found = [
        outlines.site[pair].open_azimuth_deg if pair in outlines.site else np.nan
        for pair in BACK_PAIRS
    ]
    return _Measured(
        outlines=outlines,
        codes=codes,
        open_deg=np.array(found),
        width_mm=values[:, 0],
        breadth_mm=values[:, 1],
        buccal_ahead_mm=values[:, 2],
        middles_mouth=values[:, 3:5],
        mesial_mouth=values[:, 5:7],
        gap_error_mm=max(wrong),
    )


def _buccal_ahead_mm(outlines: Outlines, row: int) -> float:
    """How far the cheek cusps' mean stands ahead of the tongue cusps', NaN without both. [mm]"""
    names = _shown_cusps(outlines.codes[row], outlines.cusps.names[row])
    tips = outlines.cusps.tips_tooth[row, [outlines.cusps.names[row].index(name) for name in names]]
    sides = [tips[sign * tips[:, 1] > 0.0, 0] for sign in (1.0, -1.0)]
    if not all(len(side) for side in sides):
        return float("nan")
    return float(sides[0].mean() - sides[1].mean())


def _shown_cusps(code: int, names: Iterable[str]) -> list[str]:
    """Cusps that are compared: the population's mean upper second molar shows no distolingual."""
    second_upper = is_upper(code) and code % 10 == 7
    return [name for name in names if not (second_upper and name == "distolingual")]


def _places(found: list[_Measured]) -> tuple[Floats, Floats]:
    """Turns and offsets (N, 28) about the mean of all mouths, each arch laid on the mean one."""
    codes = found[0].codes
    turns = np.full((len(found), len(codes)), np.nan)
    offsets = turns.copy()
    for upper in (True, False):
        rows = [k for k, code in enumerate(codes) if is_upper(code) == upper]
        middles = np.array([each.middles_mouth[rows] for each in found])
        mesial = np.array([each.mesial_mouth[rows] for each in found])
        mean = np.nanmean(middles - np.nanmean(middles, axis=1, keepdims=True), axis=0)
        for n, (places, ways) in enumerate(zip(middles, mesial, strict=True)):
            there = np.isfinite(places[:, 0])
            turn, moved = _laid_on(places[there], mean[there])
            middles[n, there], mesial[n, there] = moved, ways[there] @ turn.T
        usual = np.nanmean(mesial, axis=0)
        usual /= np.linalg.norm(usual, axis=1, keepdims=True)
        across = np.column_stack([usual[:, 1], -usual[:, 0]])
        middle = np.nanmean(middles, axis=0)
        offsets[:, rows] = ((middles - middle) * across).sum(axis=-1)
        sine, cosine = ((mesial * way).sum(axis=-1) for way in (across, usual))
        turns[:, rows] = np.rad2deg(np.arctan2(sine, cosine))
    return turns, offsets


def _laid_on(places: Floats, mean: Floats) -> tuple[Floats, Floats]:
    """The turn (2, 2) and the places (n, 2) moved so that they lie nearest others (n, 2)."""
    centred, other = places - places.mean(axis=0), mean - mean.mean(axis=0)
    left, _, right = np.linalg.svd(other.T @ centred)
    turn = left @ np.diag([1.0, np.sign(np.linalg.det(left @ right))]) @ right
    return turn, centred @ turn.T + mean.mean(axis=0)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class RealKind:
    """Real crowns of one kind: mean and deviation of width, breadth, and cheek cusps ahead. [mm]"""

    width_mm: tuple[float, float]
    breadth_mm: tuple[float, float]
    buccal_ahead_mm: tuple[float, float]


def real_kinds(population: CrownPopulation) -> Iterator[tuple[Kind, RealKind]]:
    """Each kind of tooth from the canines back, measured anew on crowns of other numbers."""
    for upper, halves in ((True, (10, 20)), (False, (40, 30))):
        for place in range(3, 8):
            found = [_real_crowns(population, half + place) for half in halves]
            both = np.concatenate(found)
            spread = np.asarray(np.mean([np.nanstd(each, axis=0) ** 2 for each in found], axis=0))
            rows = [population.codes.index(half + place) for half in halves]
            size = float(np.mean(np.diag(population.sizes)[rows]))
            mean = np.asarray(np.nanmean(both, axis=0))
            spread[:2] += size * mean[:2] ** 2
            deviation = np.sqrt(np.asarray(spread)).tolist()
            pairs = list(zip(np.asarray(mean).tolist(), deviation, strict=True))
            yield (
                (upper, place),
                RealKind(width_mm=pairs[0], breadth_mm=pairs[1], buccal_ahead_mm=pairs[2]),
            )


def _real_crowns(population: CrownPopulation, code: int) -> Floats:
    """Widths, breadths and how far cheek cusps stand ahead, (CROWNS, 3). [mm]"""
    scores = np.random.default_rng([OTHER_SEED, code]).standard_normal((CROWNS, 30))
    crowns = population.crowns_tooth(code, scores)
    mean = population.crowns_tooth(code, np.zeros((1, 30)))[0]
    tips = cusp_places_mm(code, crowns, mean)
    sides = [
        [
            tips[name][:, 0]
            for name in _shown_cusps(code, tips)
            if sign * tips[name][:, 1].mean() > 0
        ]
        for sign in (1.0, -1.0)
    ]
    ahead = np.full(CROWNS, np.nan)
    if all(sides):
        ahead = np.mean(sides[0], axis=0) - np.mean(sides[1], axis=0)
    extents = np.ptp(crowns, axis=1)
    return np.column_stack([extents[:, :2], ahead])


__all__ = [
    "DrawnMouths",
    "Kind",
    "Pair",
    "RealKind",
    "contacts_of_kind",
    "drawn_mouths",
    "neighbour_correlation",
    "real_kinds",
]
