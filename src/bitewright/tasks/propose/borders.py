"""Proposed edges put on the borders that a film shows, and doubted where it shows none there."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from bitewright.marking.crown_edge import border_width_mm, crown_edge, falls_beside, outward_of
from bitewright.marking.raw_image import RawImage
from bitewright.proposing.blurred_edges import outward_off_mm
from bitewright.proposing.proposals import MarkDoubt, ProposedMark
from bitewright.proposing.square import FilmOnSquare
from bitewright.quality.views import View

FINE_MM = 0.065
"""Borders are looked for where a film's pixels are as fine. Our choice, beside the rounder 0.06 mm,
so that no rounding of a pixel size decides."""

FARTHEST_MM = 0.15
"""No edge is moved further to a border, and is doubted instead: on 18 films of 3 mouths the network
had set all 7 edges right that lay further from one. Our choice. [mm]"""

HIDDEN_MM = 0.2
"""Where the edges of a contact lie so near to one another, one may hide the other's border: on 96
films of 16 mouths no such edge beside one that shows its border lay more than 0.3 mm off along the
row. Our choice. [mm]"""

NO_BORDER_MM = 0.3
"""Least spread of an edge at a contact without a sure border: on the one real film such edges lay
as far off along the row, mostly to the side of more overlap. [mm]"""


def at_borders(
    found: Sequence[ProposedMark],
    raw: RawImage,
    square: FilmOnSquare,
    of_view: View,
    *,
    mirrored: bool,
    pixel_mm: float,
) -> list[ProposedMark]:
    """The same marks, edges at contacts moved to sure borders nearby.

    Where no border is sure, or only one too far away, an edge stays and states a wider spread, as
    wide at least as that border is away. It is doubted where a sure border lies elsewhere, and
    where the picture does not get darker outward just there, unless the edge that it meets lies
    close by and shows its border. Before that every edge is moved by as much as films so blurred
    have edges set too far outward.

    Parameters
    ----------
    found : sequence of ProposedMark
    raw : RawImage
        The film itself, whose pixels are finer than the square's.
    square : FilmOnSquare
    of_view : View
    mirrored : bool
    pixel_mm : float
        Of the film. [mm]
    """
    names = {each.name for each in found}
    edges = _Edges(raw, square, of_view, mirrored, pixel_mm)
    made, shown = dict[str, ProposedMark](), set[str]()
    hidden, elsewhere = set[str](), set[str]()
    for each in edges.at_this_blur(found):
        made[each.name] = each
        if edges.outward(each) is None or _facing(each.name) not in names:
            continue
        shift_mm = edges.to_border_mm(each)
        if shift_mm is not None and abs(shift_mm) <= FARTHEST_MM:
            made[each.name] = edges.moved(each, shift_mm)
            shown.add(each.name)
            continue
        off_mm = max(NO_BORDER_MM, abs(shift_mm or 0.0))
        made[each.name] = replace(each, sd_mm=max(each.sd_mm, off_mm))
        if shift_mm is not None:
            elsewhere.add(each.name)
        elif edges.falls_at(each):
            shown.add(each.name)
        else:
            hidden.add(each.name)
    doubtful = elsewhere | {
        name
        for name in hidden
        if _facing(name) not in shown or edges.apart_mm(made[name], made[_facing(name)]) > HIDDEN_MM
    }
    return [
        replace(each, doubt=each.doubt or MarkDoubt.BORDER) if each.name in doubtful else each
        for each in made.values()
    ]


@dataclass(frozen=True, slots=True, eq=False)
class _Edges:
    """A film whose borders are looked at; parameters as `at_borders`."""

    raw: RawImage
    square: FilmOnSquare
    of_view: View
    mirrored: bool
    pixel_mm: float

    def outward(self, mark: ProposedMark) -> float | None:
        """Which way a contact mark's outside lies; None of every other mark."""
        return outward_of(mark.name, self.of_view, mirrored=self.mirrored)

    def at_this_blur(self, found: Sequence[ProposedMark]) -> list[ProposedMark]:
        """Edges moved by what the film's own blur does to them."""
        if self.pixel_mm > FINE_MM:
            return list(found)
        outward = {each.name: way for each in found if (way := self.outward(each)) is not None}
        widths = [
            border_width_mm(
                self.raw.pixels,
                self._on_film_px(each),
                pixel_mm=self.pixel_mm,
                outward=outward[each.name],
            )
            for each in found
            if each.name in outward
        ]
        off_mm = outward_off_mm([width for width in widths if width is not None])
        return [
            self.moved(each, -outward[each.name] * off_mm) if each.name in outward else each
            for each in found
        ]

    def to_border_mm(self, mark: ProposedMark) -> float | None:
        """From an edge to the right to its sure border; None where the film shows none. [mm]"""
        outward = self.outward(mark)
        if outward is None or self.pixel_mm > FINE_MM:
            return None
        edge = crown_edge(
            self.raw.pixels, self._on_film_px(mark), pixel_mm=self.pixel_mm, outward=outward
        )
        return None if edge is None else edge.shift_mm

    def falls_at(self, mark: ProposedMark) -> bool:
        """Whether the film gets darker outward where an edge lies, as at a border."""
        outward = self.outward(mark)
        if outward is None or self.pixel_mm > FINE_MM:
            return False
        return falls_beside(
            self.raw.pixels, self._on_film_px(mark), pixel_mm=self.pixel_mm, outward=outward
        )

    def apart_mm(self, one: ProposedMark, other: ProposedMark) -> float:
        """How far apart two marks lie along the film. [mm]"""
        return abs(one.place_px[0] - other.place_px[0]) / self.square.shrunk * self.pixel_mm

    def moved(self, mark: ProposedMark, right_mm: float) -> ProposedMark:
        """A mark further to the right on the film."""
        x_px = mark.place_px[0] + right_mm / self.pixel_mm * self.square.shrunk
        return replace(mark, place_px=(x_px, mark.place_px[1]))

    def _on_film_px(self, mark: ProposedMark) -> tuple[float, float]:
        x_px, y_px = self.square.on_film_px(np.array(mark.place_px))
        return float(x_px), float(y_px)


def _facing(edge: str) -> str:
    """The edge that an edge meets at its contact."""
    code, surface = int(edge[:2]), edge[3:]
    return f"{code + 1}.mesial" if surface == "distal" else f"{code - 1}.distal"


__all__ = ["at_borders"]
