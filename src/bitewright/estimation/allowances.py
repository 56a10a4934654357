"""How far real teeth's structures lie from the model's, and what hangs together in that.

Learned from real crowns of a population set beside outlines of the same form, pose and exposure
(``tables/allowances.toml``, which says how); what has no real crown to learn from is our choice.
"""

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

import numpy as np
from numpy.typing import NDArray

from bitewright.mouth.tooth_forms import is_upper

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Allowances:
    """Standard deviations beside a mark's own. [mm at the receptor]

    ``overlap_sd_mm`` and ``overlap_share``: of a contact's overlap, more by a share of the overlap
    marked, so further off the contact's open direction. ``edges_apart_mm`` with its deviation: how
    much further apart than the model's the edges of every contact of a film lie.
    ``contact_sd_mm``: of both edges together along the row; ``free_edge_sd_mm`` of an edge at no
    contact. ``cusp_sd_mm`` of one cusp, ``cusps_sd_mm`` of all of a tooth together.
    ``jaw_sd_mm``: of the whole lower row's height against the upper. ``freedom``: how heavy tails
    are, as Student's t has them.
    """

    overlap_sd_mm: float
    overlap_share: float
    edges_apart_mm: float
    edges_apart_sd_mm: float
    contact_sd_mm: float
    free_edge_sd_mm: float
    cusp_sd_mm: float
    cusps_sd_mm: float
    cusp_height_sd_mm: float
    edge_height_sd_mm: float
    cej_sd_mm: float
    crest_sd_mm: float
    jaw_sd_mm: float
    freedom: float


@cache
def allowances() -> Allowances:
    """The packaged ones."""
    text = (files("bitewright.estimation") / "tables" / "allowances.toml").read_text("utf-8")
    return Allowances(**tomllib.loads(text)["marks"])


def kind_of(name: str) -> str:
    """What a landmark is: "cej", "crest", "cusp", or an "outline" of a crown."""
    last = name.rsplit(".", 1)[1]
    return last if last in ("cej", "crest", "cusp") else "outline"


def allowed_mm(name: str) -> tuple[float, float]:
    """Deviation of one landmark alone, along the row and in height, where nothing else is known.

    [mm at the receptor]
    """
    own = allowances()
    along = {
        "outline": own.free_edge_sd_mm,
        "cej": own.cej_sd_mm,
        "crest": own.crest_sd_mm,
        "cusp": float(np.hypot(own.cusp_sd_mm, own.cusps_sd_mm)),
    }
    height = {
        "outline": own.edge_height_sd_mm,
        "cej": own.cej_sd_mm,
        "crest": own.crest_sd_mm,
        "cusp": own.cusp_height_sd_mm,
    }
    kind = kind_of(name)
    return along[kind], height[kind]


def contacts_of(names: tuple[str, ...]) -> list[tuple[int, int]]:
    """Rows of the two edges of every contact marked at both, the front tooth's first."""
    row = {name: k for k, name in enumerate(names)}
    pairs = []
    for name, k in row.items():
        code, _, surface = name.partition(".")
        behind = row.get(f"{int(code) + 1}.mesial")
        if surface == "distal" and behind is not None:
            pairs.append((k, behind))
    return pairs


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Allowed:
    """What is allowed to L marks beside their own spread.

    Parameters
    ----------
    shift : (2L,) float array
        Of the marks against the model on average. [mm]
    own, together : (2L, 2L) float arrays
        Covariance within groups that share a tail, and of all marks together. [mm2]
    groups : (2L,) int array
        Which coordinates share a tail: a contact's two edges, a cusp's two coordinates.
    """

    shift: Floats
    own: Floats
    together: Floats
    groups: NDArray[np.intp]


def allowed(names: tuple[str, ...], points_receptor: Floats, front_sign: float) -> Allowed:
    """For marks of one film, by their places (L, 2). [mm]"""
    own = allowances()
    size = 2 * len(names)
    spread = np.zeros((size, size))
    together = np.zeros((size, size))
    groups = np.repeat(np.arange(len(names)), 2)
    shift = np.zeros(size)
    for k, name in enumerate(names):
        along, height = allowed_mm(name)
        spread[2 * k, 2 * k], spread[2 * k + 1, 2 * k + 1] = along**2, height**2
        if kind_of(name) == "cusp":
            spread[2 * k, 2 * k] = own.cusp_sd_mm**2
    apart = np.zeros(size)
    for front, back in contacts_of(names):
        marked = float(front_sign * (points_receptor[back, 0] - points_receptor[front, 0]))
        overlap = own.overlap_sd_mm + own.overlap_share * max(marked, 0.0)
        rows = [2 * front, 2 * back]
        half, both = 0.25 * overlap**2, own.contact_sd_mm**2
        spread[np.ix_(rows, rows)] = [[both + half, both - half], [both - half, both + half]]
        groups[[2 * back, 2 * back + 1]] = groups[2 * front]
        apart[rows] = 0.5 * front_sign * np.array([1.0, -1.0])
    shift += own.edges_apart_mm * apart
    together += own.edges_apart_sd_mm**2 * np.outer(apart, apart)
    for code in sorted({name[:2] for name in names}):
        tips = np.zeros(size)
        tips[[2 * k for k, name in enumerate(names) if name[:2] == code and "cusp" in name]] = 1.0
        together += own.cusps_sd_mm**2 * np.outer(tips, tips)
    lower = np.zeros(size)
    lower[[2 * k + 1 for k, name in enumerate(names) if not is_upper(int(name[:2]))]] = 1.0
    together += own.jaw_sd_mm**2 * np.outer(lower, lower)
    return Allowed(shift=shift, own=spread, together=together, groups=groups)


__all__ = ["Allowances", "Allowed", "allowances", "allowed", "allowed_mm", "contacts_of", "kind_of"]
