"""How far a mouth's best aim may lie from what outlines of its crowns say, by view.

Two mouths with the same outlines have other crowns: no film tells that part, so every interval of
the swing holds it. Measured on real crowns (``tables/aim_beside_outlines.toml``).
"""

import tomllib
from collections.abc import Mapping
from functools import cache
from importlib.resources import files

from bitewright.explanation.known_accuracy import view_kind
from bitewright.exposing.region import Region


def swing_beside_outlines_deg(region: Region) -> float:
    """Deviation of the best swing in views like this one. [deg]"""
    return _table()[view_kind(region)]


@cache
def _table() -> Mapping[str, float]:
    packaged = files("bitewright.explanation") / "tables" / "aim_beside_outlines.toml"
    by_view: Mapping[str, float] = tomllib.loads(packaged.read_text("utf-8"))["swing_deg"]
    return by_view


__all__ = ["swing_beside_outlines_deg"]
