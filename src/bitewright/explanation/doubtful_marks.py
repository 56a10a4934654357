"""Marks that likely do not lie on what they are named for: by all others, and by the picture.

All other marks of a film foretell a mark's place, some to a third of a millimetre, some hardly; the
picture shows where borders run beside it. Both are weighed together with what hands do.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from bitewright.estimation.allowances import kind_of
from bitewright.estimation.left_out import MarkBeside, MarksLeftOut
from bitewright.marking.picture_borders import PLACES_MM, PictureBorders
from bitewright.mouth.tooth_forms import is_upper

Floats = NDArray[np.float64]

OFF_MM = 0.5
"""A mark further from its place than this, either way, is off. Our choice. [mm]"""

HAND_SD_MM, SLIPS, SLIP_MM = 0.2, 0.05, 0.8
"""How far marks lie from their places, the share that slips instead, and how far half of these do,
any way and with heavy tails. Our choice. [mm]"""

FURTHEST_MM = 4.0
AWAY_MM = np.linspace(-FURTHEST_MM, FURTHEST_MM, 81)
"""A mark's true place is looked for as far from it, outward and towards the roots. [mm]"""

BONE_ELSEWHERE, BONE_SD_MM = 0.2, 2.5
"""Share of crests whose height no other mark foretells, for bone is lost by millimetres, and how
widely these lie. Our choice. [mm]"""

FREEDOM = 4.0
"""How heavy the tails are of what other marks foretell, as Student's t has them. Our choice."""

PICTURE_WEIGHT = 0.5
"""What the picture says counts half of what was counted: where one slope is steep, others beside it
are too, of which the count knows nothing. In full it hid what the other marks told of junctions:
fewer were noticed at as many good ones doubted. Chosen on films of four mouths that are not judged.
"""

DOUBTED = {"outline": 0.045, "cusp": 0.06, "cej": 0.06, "crest": 0.07}
DOUBTED_SEEN = {"outline": 0.026, "cej": 0.045, "crest": 0.043}
"""Chance of being off from which a mark is named, where the picture tells nothing of it and where
it does, by kind: so that of good marks about one in forty is, on films of neither run nor mouths
that are judged."""

SHOWN, NOT_SHOWN = 1.0, 0.0
"""Logarithms of likelihood ratios: from the first the picture shows a border at a place, below the
second it shows none. Our choice."""

ON_IT_MM = 0.3
"""A border as near is the one that was marked. Our choice. [mm]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class DoubtfulMark:
    """A mark to check.

    Parameters
    ----------
    name : str
    chance : float
        That it lies more than `OFF_MM` off.
    border_mm : float or None
        Where the picture shows the border instead, outward along the row of the mark, or of a crest
        towards the roots; None where it shows it at the mark, or does not show it for sure. [mm]
    """

    name: str
    chance: float
    border_mm: float | None = None


NO_PICTURE: Mapping[str, PictureBorders] = {}


def doubtful_marks(
    beside: MarksLeftOut, front_sign: float, borders: Mapping[str, PictureBorders] = NO_PICTURE
) -> tuple[DoubtfulMark, ...]:
    """The marks to check, the one that stands out most first.

    Parameters
    ----------
    beside : MarksLeftOut
        What all other marks of the film say of each.
    front_sign : float
        As in `Landmarks`.
    borders : mapping of landmark name to PictureBorders
        What the picture says of them, where there is one.
    """
    found = []
    for name, mark in beside.marks.items():
        seen = borders.get(name)
        chances = place_chances(name, mark, front_sign, seen)
        off = _chance_off(name, chances)
        limit = (DOUBTED if seen is None else DOUBTED_SEEN)[kind_of(name)]
        if off > limit:
            border = None if seen is None else _border_elsewhere(name, chances, seen)
            found.append((off / limit, DoubtfulMark(name=name, chance=off, border_mm=border)))
    return tuple(mark for _, mark in sorted(found, key=lambda each: -each[0]))


def place_chances(
    name: str, mark: MarkBeside, front_sign: float, seen: PictureBorders | None = None
) -> Floats:
    """How likely a mark's true place is each of `AWAY_MM` outward (rows) and towards the roots.

    Our model: a careful hand's noise or, seldom, a slip; what other marks foretell as Student's t;
    the picture's likelihoods by their weight. Multiplied (Bayes' rule).

    Returns
    -------
    (N, N) float array, summing to 1
    """
    outward, rootward = np.meshgrid(AWAY_MM, AWAY_MM, indexing="ij")
    signs = np.array([_outward(name, front_sign), _rootward(name)])
    apart = np.stack([outward, rootward]) + (signs * mark.off_mm)[:, None, None]
    covariance = mark.covariance * np.outer(signs, signs)
    foretold = _foretold(apart, covariance)
    if kind_of(name) == "crest":
        lost = _foretold(apart, covariance + np.diag([0.0, BONE_SD_MM**2]))
        foretold = np.logaddexp(
            np.log(1.0 - BONE_ELSEWHERE) + foretold, np.log(BONE_ELSEWHERE) + lost
        )
    likely = _of_hands() + foretold
    if seen is not None:
        likely += PICTURE_WEIGHT * (_away(seen.outward)[:, None] + _away(seen.rootward))
    chances = np.exp(likely - likely.max())
    return np.asarray(chances / chances.sum())


def _foretold(apart: Floats, covariance: Floats) -> Floats:
    """Logarithm of Student's t of places ``apart`` (2, N, N) from the foretold, but a constant."""
    squared = np.einsum("iab,ij,jab->ab", apart, np.linalg.inv(covariance), apart)
    steep = 0.5 * (FREEDOM + 2.0) * np.log1p(squared / FREEDOM)
    return np.asarray(-steep - 0.5 * np.linalg.slogdet(covariance)[1])


@cache
def _of_hands() -> Floats:
    """Logarithm of how often hands set a mark as far off its place, (N, N). [mm^-2]"""
    far = np.square(AWAY_MM[:, None]) + np.square(AWAY_MM)
    careful = np.exp(-0.5 * far / HAND_SD_MM**2) / (2.0 * np.pi * HAND_SD_MM**2)
    slipped = SLIP_MM / (2.0 * np.pi * np.power(far + SLIP_MM**2, 1.5))
    return np.asarray(np.log((1.0 - SLIPS) * careful + SLIPS * slipped))


def _away(told: Floats) -> Floats:
    """What the picture says at `AWAY_MM`; nothing beyond where it was looked at."""
    return np.interp(AWAY_MM, PLACES_MM, told, left=0.0, right=0.0)


def _chance_off(name: str, chances: Floats) -> float:
    """How likely a mark is off; of an edge, along the row: its height tells nothing."""
    far = np.abs(AWAY_MM) > OFF_MM
    off = np.broadcast_to(far[:, None], chances.shape)
    if kind_of(name) != "outline":
        off = off | far
    return float(chances[off].sum())


def _border_elsewhere(name: str, chances: Floats, seen: PictureBorders) -> float | None:
    """Where the picture shows a border that is likely the mark's, if it shows none at the mark."""
    is_crest = kind_of(name) == "crest"
    told = seen.rootward if is_crest else seen.outward
    away = np.abs(AWAY_MM) > OFF_MM
    place = float(AWAY_MM[np.argmax(np.where(away, chances.sum(axis=0 if is_crest else 1), 0.0))])
    here = told[np.abs(PLACES_MM) <= ON_IT_MM].max()
    if abs(place) > PLACES_MM[-1] or here > NOT_SHOWN or np.interp(place, PLACES_MM, told) < SHOWN:
        return None
    return place


def _outward(name: str, front_sign: float) -> float:
    """Which way is outward on the receptor; of a cusp either will do."""
    return front_sign if ".mesial" in name else -front_sign


def _rootward(name: str) -> float:
    return -1.0 if is_upper(int(name[:2])) else 1.0


__all__ = ["NO_PICTURE", "DoubtfulMark", "doubtful_marks", "place_chances"]
