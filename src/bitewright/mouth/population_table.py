"""Crowns and places of a population of real dentitions: means and how they differ.

Source: ``tables/population.toml``, derived by `builders.population_tables` from statistics of some
130 people's scans (Chen et al., IEEE TVCG 2023, doi 10.1109/TVCG.2023.3277914; MIT licence).
"""

import tomllib
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from typing import Any

import numpy as np
from numpy.typing import NDArray

from bitewright.mouth.mouth import ArchForm, CurveKind
from bitewright.mouth.tooth_forms import arch_name, tooth_size

Floats = NDArray[np.float64]

LAST_PLACE = 7
"""The population has no third molars; they take the second molar's form, in their usual size."""

MEANS = (
    "md_mm",
    "bl_mm",
    "mesial_flank_deg",
    "distal_flank_deg",
    "squareness",
    "buccal_cusps_mm",
    "lingual_cusps_mm",
)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class CrownKind:
    """How crowns of one kind are shaped.

    Parameters
    ----------
    mean : (7,) float array
        Width and breadth [mm], how far the mesial and the distal flank turn to the front on the
        cheek side [degrees], squareness beyond the usual, and how far the cusps of cheek and
        tongue side stand to the front of the usual. [mm]
    directions : (W, 7) float array
        How one standard deviation of each direction moves them, widths and breadths as logarithms
        of their share.
    """

    mean: Floats
    directions: Floats

    def drawn(self, own: np.random.Generator) -> Floats:
        """One crown (7,), as `mean`."""
        moved = own.standard_normal(len(self.directions)) @ self.directions
        return np.concatenate([self.mean[:2] * np.exp(moved[:2]), self.mean[2:] + moved[2:]])


@dataclass(frozen=True, slots=True, kw_only=True)
class KindPlace:
    """How teeth of one kind stand: mean offset from the arch, and deviations. [mm, degrees]

    Deviations hold what whole arches share. ``size_together``, ``size_both_sides`` and
    ``size_alone`` are deviations of its size as shares: with the whole mouth, on both sides, alone.
    """

    out_of_line_mm: float
    turn_sd_deg: float
    tip_sd_deg: float
    torque_sd_deg: float
    offset_sd_mm: float
    size_together: float
    size_both_sides: float
    size_alone: float


@lru_cache(maxsize=32)
def crown_kind(code: int) -> CrownKind:
    """The crowns of an ISO 3950 code's kind."""
    table = _table()[arch_name(code)]["crowns"][str(min(code % 10, LAST_PLACE))]
    mean = np.array([table[name] for name in MEANS])
    if code % 10 > LAST_PLACE:
        own, before = tooth_size(code), tooth_size(code - 1)
        mean[:2] *= own.md_crown_mm / before.md_crown_mm, own.bl_crown_mm / before.bl_crown_mm
    return CrownKind(mean=mean, directions=np.array(table["directions"]))


@lru_cache(maxsize=32)
def kind_place(code: int) -> KindPlace:
    """How teeth of an ISO 3950 code's kind stand."""
    arch, row = arch_name(code), min(code % 10, LAST_PLACE) - 1
    table, sizes = _table()[arch], _table()["sizes"]
    places = ("turn_sd_deg", "tip_sd_deg", "torque_sd_deg", "offset_sd_mm")
    return KindPlace(
        out_of_line_mm=table["out_of_line_mm"][row],
        **{name: table[name][row] for name in places},
        size_together=sizes[f"{arch}_together"][row],
        size_both_sides=sizes[f"{arch}_both_sides"][row],
        size_alone=sizes[f"{arch}_alone"][row],
    )


def mean_arch(*, upper: bool) -> ArchForm:
    """The arch through the mean crowns."""
    table = _table()["maxilla" if upper else "mandible"]
    names = ("width_mm", "depth_mm", "canine_width_mm", "canine_depth_mm")
    return ArchForm(curve=CurveKind.POLYNOMIAL, **{name: table[name] for name in names})


def forget_table() -> None:
    """Read the table anew from now on; for those who write it."""
    for kept in (_table, crown_kind, kind_place):
        kept.cache_clear()


@lru_cache(maxsize=1)
def _table() -> dict[str, Any]:
    text = (files("bitewright.mouth") / "tables" / "population.toml").read_text("utf-8")
    return tomllib.loads(text)


__all__ = [
    "LAST_PLACE",
    "CrownKind",
    "KindPlace",
    "crown_kind",
    "forget_table",
    "kind_place",
    "mean_arch",
]
