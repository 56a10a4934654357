"""Many small films on one sheet, in rows with titles, each with a caption."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bitewright.report.film_pixels import shown_pixels
from bitewright.report.palette import DIM, GROUND, LIGHT
from bitewright.report.shapes import Drawing, Picture, Shape, Words

COLUMNS = 5
TILE_PX = (400, 304)
CAPTION_PX = 26
TITLE_PX = 46
GAP_PX = 10
BITS = 16


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Tile:
    """One film, (rows, columns) uint16 grey, and what it shows."""

    pixels: NDArray[np.uint16]
    caption: str


def contact_sheet(
    rows: Sequence[tuple[str, Sequence[Tile]]], *, foot: str, description: str
) -> Drawing:
    """A sheet: groups of films under titles, a line at the foot."""
    width = COLUMNS * (TILE_PX[0] + GAP_PX) + GAP_PX
    high = TILE_PX[1] + CAPTION_PX + GAP_PX
    shapes: list[Shape] = []
    top = 0
    for title, tiles in rows:
        shapes.append(Words(place=(GAP_PX, top + 33), text=title, colour=LIGHT, size=24, halo=None))
        top += TITLE_PX
        for number, tile in enumerate(tiles):
            left = GAP_PX + (number % COLUMNS) * (TILE_PX[0] + GAP_PX)
            shapes += _placed(tile, left, top + (number // COLUMNS) * high)
        top += -(-len(tiles) // COLUMNS) * high
    shapes.append(Words(place=(GAP_PX, top + 29), text=foot, colour=DIM, size=16, halo=None))
    return Drawing(
        width=width,
        height=top + TITLE_PX,
        title="Contact sheet",
        description=description,
        shapes=tuple(shapes),
        ground=GROUND,
    )


def _placed(tile: Tile, left: int, top: int) -> tuple[Shape, Shape]:
    """The film in the middle of its place, its caption under it."""
    tall, wide = tile.pixels.shape
    share = min(TILE_PX[0] / wide, TILE_PX[1] / tall)
    size = (round(wide * share), round(tall * share))
    pixels = shown_pixels(tile.pixels, bits=BITS, size=size)
    below = (left + 4, top + TILE_PX[1] + 17)
    return (
        Picture(place=(left + (TILE_PX[0] - size[0]) // 2, top), pixels=pixels),
        Words(place=below, text=tile.caption, colour=DIM, size=15, halo=None),
    )


__all__ = ["Tile", "contact_sheet"]
