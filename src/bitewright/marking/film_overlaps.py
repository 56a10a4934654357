"""How wide a film's contacts may overlap, all together, given what was marked at them.

A tube that comes from too far to the front or the back overlaps neighbouring contacts of both jaws
alike, a good aim leaves all of them narrow. So what the other contacts of a film show tells what
this one is: a single wide one among narrow ones is oftener a mark that is off.
"""

import tomllib
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files

import numpy as np
from numpy.typing import NDArray
from scipy.special import gammaln

from bitewright.quality.wanted import Pair

Floats = NDArray[np.float64]

STEPS = 800
"""In how many steps overlaps are looked at. Our choice."""

FIRST_AHEAD, LAST_AHEAD = 3, 7
"""Places of the tooth ahead of a contact, canine to second molar: a table's columns."""

BEYOND_SD, BEYOND_MM = 6.0, 3.0
"""How far beyond the widest mark overlaps are looked at, at least so far. Our choice."""

LEAST_SD_MM = 0.01
"""A mark surer than this counts as this sure: finer than the steps. Our choice."""

TINY = 1e-300


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class OverlapKinds:
    """K kinds of film, by how wide their contacts overlap before anything is marked.

    Within one kind each contact is as wide as a gamma distribution above the least overlap tells,
    each for itself.

    Parameters
    ----------
    least_mm : float
        Crowns that touch overlap by no less. [mm]
    shares : (K,) float array
        How many films are of each kind.
    shapes : (K,) float array
        Of the gamma distributions.
    usual_mm : (K, 5) float array
        Their means, of contacts 3-4 to 7-8. [mm]
    """

    least_mm: float
    shares: Floats
    shapes: Floats
    usual_mm: Floats

    def log_densities(self, above_mm: Floats, place: int) -> Floats:
        """Of overlaps so far above the least (G,) at a contact, up to a constant, (K, G)."""
        shape, usual = self.shapes[:, None], self.usual_mm[:, place, None]
        scale = usual / shape
        return np.asarray(
            (shape - 1.0) * np.log(above_mm)
            - above_mm / scale
            - shape * np.log(scale)
            - gammaln(shape)
        )


@lru_cache(maxsize=1)
def overlap_kinds() -> OverlapKinds:
    """The kinds of the packaged table."""
    text = (files("bitewright.marking") / "tables" / "film_overlaps.toml").read_text("utf-8")
    table = tomllib.loads(text)
    return OverlapKinds(
        least_mm=float(table["least_mm"]),
        shares=np.array([row["share"] for row in table["kinds"]]),
        shapes=np.array([row["shape"] for row in table["kinds"]]),
        usual_mm=np.array([row["usual_mm"] for row in table["kinds"]]),
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FilmOverlaps:
    """How wide the C contacts of one marked film may overlap, together.

    Parameters
    ----------
    edges_mm : (G,) float array
        Overlaps, rising. [mm]
    kinds : (K,) float array
        How likely the film is of each kind.
    below : (K, C, G) float array
        How likely each contact is no wider than each overlap, in a film of each kind.
    """

    edges_mm: Floats
    kinds: Floats
    below: Floats

    def chance_within(self, contact: int, limits_mm: Floats) -> Floats:
        """How likely a contact overlaps by no more than each limit, (n,) as the limits."""
        of_kinds = [np.interp(limits_mm, self.edges_mm, each[contact]) for each in self.below]
        return np.asarray(self.kinds @ np.array(of_kinds))

    def drawn(self, count: int, generator: np.random.Generator) -> Floats:
        """So many films' overlaps, (count, C). [mm]"""
        kind = generator.choice(len(self.kinds), size=count, p=self.kinds)
        tails = generator.uniform(size=(count, self.below.shape[1]))
        overlaps = np.empty_like(tails)
        for k in np.unique(kind):
            of = kind == k
            for c, below in enumerate(self.below[k]):
                overlaps[of, c] = np.interp(tails[of, c], below, self.edges_mm)
        return overlaps


def film_overlaps(overlap_mm: Floats, sd_mm: Floats, contacts: tuple[Pair, ...]) -> FilmOverlaps:
    """Overlaps normal about what was marked, times what films are like.

    Parameters
    ----------
    overlap_mm, sd_mm : (C,) float arrays
        As marked; NaN where a contact is not: what the others tell of it is known all the same.
        [mm]
    contacts : tuple of C pairs of ISO 3950 codes
    """
    kinds = overlap_kinds()
    is_marked = np.isfinite(overlap_mm)
    marked = np.where(is_marked, overlap_mm, 0.0)[:, None]
    sd = np.maximum(np.where(is_marked, sd_mm, 1.0), LEAST_SD_MM)[:, None]
    widest = (marked + BEYOND_SD * sd)[is_marked].max(initial=BEYOND_MM)
    edges = np.linspace(0.0, float(widest) - kinds.least_mm, STEPS + 1)
    above = 0.5 * (edges[1:] + edges[:-1])
    fit = np.where(is_marked[:, None], -0.5 * ((kinds.least_mm + above - marked) / sd) ** 2, 0.0)
    places = [min(max(ahead % 10, FIRST_AHEAD), LAST_AHEAD) for ahead, _ in contacts]
    before = [kinds.log_densities(above, place - FIRST_AHEAD) for place in places]
    both = fit + np.stack(before, axis=1)
    top = both.max(axis=(0, 2), keepdims=True)
    likely = np.exp(both - top)
    total = likely.sum(axis=2)
    of_kind = np.log(kinds.shares) + np.log(total[:, is_marked] + TINY).sum(axis=1)
    chances = np.exp(of_kind - of_kind.max())
    below = np.cumsum(likely, axis=2) / np.maximum(total, TINY)[:, :, None]
    return FilmOverlaps(
        edges_mm=kinds.least_mm + edges,
        kinds=chances / chances.sum(),
        below=np.concatenate([np.zeros((*below.shape[:2], 1)), below], axis=2),
    )


__all__ = ["FilmOverlaps", "OverlapKinds", "film_overlaps", "overlap_kinds"]
