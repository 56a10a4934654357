"""Marks that likely do not lie on what they are named for: by all others, and by the picture.

All other marks of a film foretell a mark's place, some to a third of a millimetre, some hardly; the
picture shows where borders run beside it, and a second look may have seen it elsewhere. All are
weighed together with what hands do.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from bitewright.estimation.allowances import kind_of
from bitewright.estimation.left_out import MarkBeside, MarksLeftOut
from bitewright.marking.picture_borders import PLACES_MM, PictureBorders, SeenAgain
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

DOUBTED_AGAIN = {"outline": 0.03, "cej": 0.035, "crest": 0.035}
"""The same where a second look saw it: so that of good marks about one in a hundred is, and of
those on real crowns one in thirty, on films of eight mouths that are not judged, four of them of
real crowns."""

SHOWN, NOT_SHOWN = 1.0, 0.0
"""Logarithms of likelihood ratios: from the first the picture shows a border at a place, below the
second it shows none. Our choice."""

SEEN_WRONGLY = 0.1
"""How often a second look sees what it is sure of in a wrong place. Our choice: on our own films it
is seldom, and it is shown films that are not ours."""

ELSEWHERE_MM = 3.0
"""A place seen further from its mark than this, either way, is taken for another tooth's. Our
choice. [mm]"""

STUDENT_HEIGHT = 0.375
"""Of Student's t of 4 degrees of freedom and one dimension at its middle (textbook)."""

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
    seen_mm : tuple of float or None
        Where a second look saw it instead, outward along the row of the mark and towards the roots;
        None where it saw it no further away than `OFF_MM`, or not. Of an edge, along the row: its
        height is left out. [mm]
    """

    name: str
    chance: float
    border_mm: float | None = None
    seen_mm: tuple[float, float] | None = None

    @property
    def is_shown_elsewhere(self) -> bool:
        """Whether the picture shows another place for it."""
        return self.border_mm is not None or self.seen_mm is not None

    @property
    def outward_mm(self) -> float | None:
        """How much further out an edge likely lies than it was marked; None if nothing shows it."""
        if self.border_mm is not None or self.seen_mm is None:
            return self.border_mm
        return self.seen_mm[0]


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
        limit = _limit(kind_of(name), seen)
        if off > limit:
            border = None if seen is None else _border_elsewhere(name, chances, seen)
            again = None if seen is None else _seen_elsewhere(name, seen)
            doubted = DoubtfulMark(name=name, chance=off, border_mm=border, seen_mm=again)
            found.append((off / limit, doubted))
    return tuple(mark for _, mark in sorted(found, key=lambda each: -each[0]))


def _limit(kind: str, seen: PictureBorders | None) -> float:
    if seen is None:
        return DOUBTED[kind]
    return (DOUBTED_SEEN if seen.again is None else DOUBTED_AGAIN)[kind]


def place_chances(
    name: str, mark: MarkBeside, front_sign: float, seen: PictureBorders | None = None
) -> Floats:
    """How likely a mark's true place is each of `AWAY_MM` outward (rows) and towards the roots.

    Our model: a careful hand's noise or, seldom, a slip; what other marks foretell as Student's t;
    the picture's likelihoods by their weight; where a second look saw it. Multiplied (Bayes' rule).

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
        if seen.again is not None:
            likely += _seen_there(seen.again, outward, rootward, is_edge=kind_of(name) == "outline")
    chances = np.exp(likely - likely.max())
    return np.asarray(chances / chances.sum())


def _foretold(apart: Floats, covariance: Floats) -> Floats:
    """Logarithm of Student's t of places ``apart`` (2, N, N) from the foretold, but a constant."""
    squared = np.einsum("iab,ij,jab->ab", apart, np.linalg.inv(covariance), apart)
    steep = 0.5 * (FREEDOM + 2.0) * np.log1p(squared / FREEDOM)
    return np.asarray(-steep - 0.5 * np.linalg.slogdet(covariance)[1])


def _seen_there(again: SeenAgain, outward: Floats, rootward: Floats, *, is_edge: bool) -> Floats:
    """Logarithm of how likely a second look saw it where it did, were it at each place, (N, N).

    Heavy tails, as of what other marks foretell. A crown's side runs on: of an edge its height
    tells nothing. [mm^-2]
    """
    if max(abs(again.outward_mm), abs(again.rootward_mm)) > ELSEWHERE_MM:
        return np.zeros_like(outward)
    squared = np.square((outward - again.outward_mm) / again.sd_mm)
    field_mm = 2.0 * ELSEWHERE_MM
    if is_edge:
        steep = 0.5 * (FREEDOM + 1.0)
        height = STUDENT_HEIGHT / (again.sd_mm * field_mm)
    else:
        squared = squared + np.square((rootward - again.rootward_mm) / again.sd_mm)
        steep = 0.5 * (FREEDOM + 2.0)
        height = 1.0 / (2.0 * np.pi * again.sd_mm**2)
    there = height * np.power(1.0 + squared / FREEDOM, -steep)
    return np.log((1.0 - SEEN_WRONGLY) * there + SEEN_WRONGLY / field_mm**2)


def _seen_elsewhere(name: str, seen: PictureBorders) -> tuple[float, float] | None:
    again = seen.again
    if again is None or max(abs(again.outward_mm), abs(again.rootward_mm)) > ELSEWHERE_MM:
        return None
    rootward_mm = 0.0 if kind_of(name) == "outline" else again.rootward_mm
    is_off = max(abs(again.outward_mm), abs(rootward_mm)) > OFF_MM
    return (again.outward_mm, rootward_mm) if is_off else None


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
