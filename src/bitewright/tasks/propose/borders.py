"""Proposed edges put on the borders that a film shows, and doubted where it shows none for sure."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from bitewright.marking.crown_edge import crown_edge, outward_of
from bitewright.marking.raw_image import RawImage
from bitewright.proposing.proposals import MarkDoubt, ProposedMark
from bitewright.proposing.square import FilmOnSquare
from bitewright.quality.views import View

FINE_MM = 0.06
"""Borders are looked for where a film's pixels are as fine. Our choice."""

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
    """The same marks, edges at contacts moved to their sure borders or else doubted.

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
    made = []
    for each in found:
        outward = outward_of(each.name, of_view, mirrored=mirrored)
        if outward is None or _facing(each.name) not in names:
            made.append(each)
            continue
        at_px = square.on_film_px(np.array(each.place_px))
        edge = None
        if pixel_mm <= FINE_MM:
            place = (float(at_px[0]), float(at_px[1]))
            edge = crown_edge(raw.pixels, place, pixel_mm=pixel_mm, outward=outward)
        if edge is None:
            doubt = each.doubt or MarkDoubt.BORDER
            made.append(replace(each, doubt=doubt, sd_mm=max(each.sd_mm, NO_BORDER_MM)))
            continue
        x_px = each.place_px[0] + edge.shift_mm / pixel_mm * square.shrunk
        made.append(replace(each, place_px=(x_px, each.place_px[1])))
    return made


def _facing(edge: str) -> str:
    """The edge that an edge meets at its contact."""
    code, surface = int(edge[:2]), edge[3:]
    return f"{code + 1}.mesial" if surface == "distal" else f"{code - 1}.distal"


__all__ = ["at_borders"]
