"""Views: what a bitewing is for, asked of the teeth that a mouth has."""

import tomllib
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any

from bitewright.errors import BitewrightError, quoted
from bitewright.exposing.region import Format, Region, Zone
from bitewright.mouth.numbering import Side
from bitewright.nearest_name import meant


class UnknownViewError(BitewrightError):
    """A view was named that there is not."""

    def __init__(self, given: str) -> None:
        self.given = given
        super().__init__(
            f"View {quoted(given)} is not known: give one of {', '.join(view_names())}."
            f"{meant(given, view_names())}"
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """What one bitewing must show.

    Parameters
    ----------
    name : str
        As typed, such as "right-premolar" or "left-molar-vertical".
    title : str
        As shown, such as "right premolar" or "vertical left molar".
    region : Region
    purpose : str
    contacts, crest_sites : tuples of (front place, back place)
        Places counted from the midline, asked of both arches.
    front_surface : int or None
        Place of the tooth whose distal surface must be on the image (the canine).
    last_surface : bool
        Whether the distal of the last erupted tooth is wanted.
    source : str
    """

    name: str
    title: str
    region: Region
    purpose: str
    contacts: tuple[tuple[int, int], ...]
    crest_sites: tuple[tuple[int, int], ...]
    front_surface: int | None
    last_surface: bool
    source: str

    def pairs(self, places: tuple[tuple[int, int], ...]) -> tuple[tuple[int, int], ...]:
        """The ISO 3950 pairs of places in both quadrants of the side, upper first."""
        return tuple(
            (10 * quadrant + front, 10 * quadrant + back)
            for quadrant in self.region.quadrants
            for front, back in places
        )

    @property
    def teeth(self) -> tuple[int, ...]:
        """Every tooth the view speaks of."""
        return tuple(sorted({code for pair in self.pairs(self.contacts) for code in pair}))


def view_names() -> tuple[str, ...]:
    """Names of all views."""
    return tuple(_views())


def view(name: str) -> View:
    """The view of a name.

    Raises
    ------
    UnknownViewError
    """
    found = _views().get(name.strip().lower())
    if found is None:
        raise UnknownViewError(name)
    return found


def mirrored_view(of: View) -> View:
    """The same view on the other side."""
    return view(_name(of.region.mirrored))


def _name(region: Region) -> str:
    upright = "-vertical" if region.format is Format.VERTICAL else ""
    return f"{region.side.value}-{region.zone}{upright}"


def _title(region: Region, zone_title: str) -> str:
    upright = "vertical " if region.format is Format.VERTICAL else ""
    return f"{upright}{region.side.value} {zone_title}"


@lru_cache(maxsize=1)
def _views() -> MappingProxyType[str, View]:
    text = (files("bitewright.quality") / "tables" / "views.toml").read_text("utf-8")
    table = tomllib.loads(text)
    made = [
        _made(Region(side=side, zone=zone, format=form), table[zone])
        for side in Side
        for form in Format
        for zone in Zone
    ]
    return MappingProxyType({each.name: each for each in made})


def _made(region: Region, row: dict[str, Any]) -> View:
    return View(
        name=_name(region),
        title=_title(region, row["title"]),
        region=region,
        purpose=row["purpose"],
        contacts=tuple((a, b) for a, b in row["contacts"]),
        crest_sites=tuple((a, b) for a, b in row["crest_sites"]),
        front_surface=row.get("front_surface"),
        last_surface=row.get("last_surface", False),
        source=row["source"],
    )


__all__ = ["UnknownViewError", "View", "mirrored_view", "view", "view_names"]
