"""Films next to each other at one height, each with its title."""

from collections.abc import Sequence

from bitewright.marking.raw_image import RawImage
from bitewright.report.film_pixels import shown_pixels
from bitewright.report.palette import GROUND, LIGHT
from bitewright.report.shapes import Drawing, Picture, Shape, Words

HEIGHT_PX = 620
TITLE_PX = 44
GAP_PX = 16


def side_by_side(films: Sequence[RawImage], titles: Sequence[str], *, description: str) -> Drawing:
    """Films in a row."""
    shapes: list[Shape] = []
    left = 0
    for film, title in zip(films, titles, strict=True):
        width = round(film.columns * HEIGHT_PX / film.rows)
        pixels = shown_pixels(film.pixels, bits=film.bits, size=(width, HEIGHT_PX))
        shapes += [
            Picture(place=(left, TITLE_PX), pixels=pixels),
            Words(place=(left + 8, 28), text=title, colour=LIGHT, size=20, halo=None),
        ]
        left += width + GAP_PX
    return Drawing(
        width=left - GAP_PX,
        height=HEIGHT_PX + TITLE_PX,
        title=" / ".join(titles),
        description=description,
        shapes=tuple(shapes),
        ground=GROUND,
    )


__all__ = ["side_by_side"]
