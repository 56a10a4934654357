"""How many times as wide as the estimate's own spread intervals have to be, by view and movement.

The spread is of a model that is linear about its best fit, and leaves out what crowns do that
outlines cannot; how far it falls short was measured on films of known exposures, of outlines and of
real crowns (``tables/interval_widths.toml``), other than those that accuracy is judged on.
"""

import tomllib
from collections.abc import Mapping
from functools import cache
from importlib.resources import files

from bitewright.explanation.correction import Part
from bitewright.explanation.known_accuracy import view_kind
from bitewright.exposing.region import Region


def interval_width(region: Region, part: Part) -> float:
    """How many times as wide this movement's interval is made in views like this one."""
    return _table()[view_kind(region)][part.value]


@cache
def _table() -> Mapping[str, Mapping[str, float]]:
    text = (files("bitewright.explanation") / "tables" / "interval_widths.toml").read_text("utf-8")
    widths: Mapping[str, Mapping[str, float]] = tomllib.loads(text)["widths"]
    return widths


__all__ = ["interval_width"]
