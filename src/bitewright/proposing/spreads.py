"""How far proposed marks lie off, as measured on films of mouths never learnt from, and widened.

A heat map's own spread is never handed on: on the one real film it was tried on it was 2.4 to 4.2
times too small.
"""

from typing import NamedTuple

import numpy as np

from bitewright.figure_tables import figures_of

GATHERED = (0.5, 0.8)
"""Limits of the three steps of how sure a heat map is: below, between, above. Our choice."""


WIDENED = 2.0
"""What is stated against what was measured: a real film differs from every film learnt from. Our
choice, not measured."""


class Spreads(NamedTuple):
    """By sort of landmark, for the three steps of `GATHERED`. [mm]"""

    edge: tuple[float, ...]
    junction: tuple[float, ...]
    crest: tuple[float, ...]
    cusp: tuple[float, ...]


SPREADS = figures_of(Spreads, "bitewright.proposing", "spreads")


def sure_step(gathered: float) -> int:
    """0 where a heat map is least sure, 2 where it is surest."""
    return int(np.searchsorted(GATHERED, gathered))


def spread_mm(sort: str, gathered: float) -> float:
    """The standard deviation to state of a mark, along x and along y alike. [mm]"""
    of: tuple[float, ...] = getattr(SPREADS, sort)
    return of[sure_step(gathered)]


__all__ = ["GATHERED", "SPREADS", "WIDENED", "Spreads", "spread_mm", "sure_step"]
