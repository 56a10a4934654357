"""Many small films on one sheet, in rows with titles, each with a caption."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

COLUMNS = 5
TILE_PX = (400, 304)
CAPTION_PX = 26
TITLE_PX = 46
GAP_PX = 10
GROUND, INK, QUIET = (16, 15, 14), (230, 225, 216), (170, 162, 151)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Tile:
    """One film, (rows, columns) uint16 grey, and what it shows."""

    pixels: NDArray[np.uint16]
    caption: str


def contact_sheet(rows: Sequence[tuple[str, Sequence[Tile]]], *, foot: str) -> NDArray[np.uint8]:
    """A sheet, (rows, columns, 3): groups of films under titles, a line at the foot."""
    width = COLUMNS * (TILE_PX[0] + GAP_PX) + GAP_PX
    high = TILE_PX[1] + CAPTION_PX + GAP_PX
    lines = sum(-(-len(tiles) // COLUMNS) for _, tiles in rows)
    canvas = Image.new("RGB", (width, len(rows) * TITLE_PX + lines * high + TITLE_PX), GROUND)
    draw = ImageDraw.Draw(canvas)
    top = 0
    for title, tiles in rows:
        draw.text((GAP_PX, top + 12), title, font=ImageFont.load_default(24), fill=INK)
        top += TITLE_PX
        for number, tile in enumerate(tiles):
            left = GAP_PX + (number % COLUMNS) * (TILE_PX[0] + GAP_PX)
            below = top + (number // COLUMNS) * high
            picture = _picture(tile.pixels)
            canvas.paste(picture, (left + (TILE_PX[0] - picture.width) // 2, below))
            draw.text(
                (left + 4, below + TILE_PX[1] + 3),
                tile.caption,
                font=ImageFont.load_default(15),
                fill=QUIET,
            )
        top += -(-len(tiles) // COLUMNS) * high
    draw.text((GAP_PX, top + 14), foot, font=ImageFont.load_default(16), fill=QUIET)
    return np.asarray(canvas)


def _picture(pixels: NDArray[np.uint16]) -> Image.Image:
    picture = Image.fromarray((pixels // 257).astype(np.uint8))
    share = min(TILE_PX[0] / picture.width, TILE_PX[1] / picture.height)
    size = (round(picture.width * share), round(picture.height * share))
    return picture.resize(size, Image.Resampling.LANCZOS).convert("RGB")


__all__ = ["Tile", "contact_sheet"]
