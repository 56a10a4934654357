"""How often the intervals of explanations held the truth in simulated films, by view and movement.

The figures were measured, not chosen: the packaged table is written from a run over films of known
exposures. It also keeps what the explanation said of a few of them, so that a test can tell when
the code has changed since.
"""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from types import MappingProxyType

from bitewright.explanation.correction import Part
from bitewright.exposing.region import Format, Region


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownAccuracy:
    """How one movement of one kind of view was estimated, in mouths that were not known.

    Parameters
    ----------
    films, held : int
        Simulated films explained, and how many of their 90% intervals held the true movement.
    median_error : float
        Of the estimated movement. [deg or mm]
    """

    films: int
    held: int
    median_error: float

    @property
    def share_held(self) -> float:
        """Share of the intervals that held it, 0 to 1."""
        return self.held / self.films


def known_accuracy(region: Region, part: Part) -> KnownAccuracy | None:
    """What was measured of a movement in views like this one, of either side; None if nothing."""
    return _table().get((view_kind(region), part))


def view_kind(region: Region) -> str:
    """A view's kind, whichever the side: "premolar", "upright molar"."""
    upright = "upright " if region.format is Format.VERTICAL else ""
    return f"{upright}{region.zone.value}"


@cache
def _table() -> Mapping[tuple[str, Part], KnownAccuracy]:
    text = (files("bitewright.explanation") / "tables" / "accuracy.toml").read_text("utf-8")
    return MappingProxyType(
        {
            (kind, Part(part)): KnownAccuracy(**figures)
            for kind, parts in tomllib.loads(text)["accuracy"].items()
            for part, figures in parts.items()
        }
    )


__all__ = ["KnownAccuracy", "known_accuracy", "view_kind"]
