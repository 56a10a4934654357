"""Hands of whom nobody has kept a record: three stated spreads, assumed and said to be."""

import tomllib
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from types import MappingProxyType

import numpy as np

from bitewright.exposing.scatter import AimPart, Scatter


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class StatedHand:
    """A hand by its name, as it is called, and how far its exposures scatter; it has no bias."""

    name: str
    title: str
    scatter: Scatter


MIDDLING = "practised"
"""The hand that set-ups are chosen for where none is known."""


@lru_cache(maxsize=1)
def stated_hands() -> MappingProxyType[str, StatedHand]:
    """The three by name, the least steady first."""
    text = (files("bitewright.planning") / "tables" / "stated_hands.toml").read_text("utf-8")
    return MappingProxyType(
        {
            name: StatedHand(
                name=name,
                title=row["title"],
                scatter=Scatter(
                    contact_error_deg=0.0,
                    vertical_error_deg=0.0,
                    forward_mm=0.0,
                    height_mm=0.0,
                    covariance=np.diag([row[part.value] ** 2 for part in AimPart]),
                ),
            )
            for name, row in tomllib.loads(text).items()
            if isinstance(row, dict)
        }
    )


__all__ = ["MIDDLING", "StatedHand", "stated_hands"]
