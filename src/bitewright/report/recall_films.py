"""An earlier and a later film side by side at one scale, with what is measured on both."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from bitewright.marking.marks import MarkedFilm
from bitewright.marking.raw_image import RawImage
from bitewright.report.film_pixels import shown_pixels
from bitewright.report.palette import DIM, GROUND, LIGHT, MARKS
from bitewright.report.shapes import Dot, Drawing, Line, Picture, Shape, Words, text_width, wrapped

PX_PER_MM = 20.0
TITLE_PX, GAP_PX, LEADING_PX, TEXT_PX, EDGE_PX = 48, 24, 25, 18, 10
TIP_PX, LABEL_PX, LABEL_LINE_PX = 7.0, 15, 19.0
LINES_AWAY = (0, 1, -1, 2, -2, 3, -3)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FilmAtScale:
    """One film, its title, how large its pixels are [mm], and where the front of the mouth lies."""

    image: RawImage
    marks: MarkedFilm
    title: str
    pixel_mm: float
    front_is_right: bool

    @property
    def size_px(self) -> tuple[int, int]:
        """Width and height in the drawing. [px]"""
        scale = self.pixel_mm * PX_PER_MM
        return round(self.image.columns * scale), round(self.image.rows * scale)


def recall_films(
    films: Sequence[FilmAtScale],
    sites: Mapping[str, str],
    sentences: Sequence[str],
    *,
    description: str,
) -> Drawing:
    """Films in a row, millimetre as large as millimetre; each site's junction joined to its crest.

    ``sites``: of each surface that is measured on both, its short title.
    """
    sizes = [film.size_px for film in films]
    width = sum(size[0] for size in sizes) + GAP_PX * (len(films) - 1)
    below = TITLE_PX + max(size[1] for size in sizes)
    shapes: list[Shape] = []
    left = 0
    for film, size in zip(films, sizes, strict=True):
        pixels = shown_pixels(film.image.pixels, bits=film.image.bits, size=size)
        shapes += [
            Picture(place=(left, TITLE_PX), pixels=pixels),
            Words(place=(left + EDGE_PX, 31), text=film.title, colour=LIGHT, size=20, halo=None),
        ]
        taken: list[_Room] = []
        for name, title in sites.items():
            shapes += _site(film, name, title, left, taken)
        left += size[0] + GAP_PX
    y = below + LEADING_PX + EDGE_PX
    for place, sentence in enumerate(sentences):
        colour = DIM if place == len(sentences) - 1 else LIGHT
        for line in wrapped(sentence, width - 2 * EDGE_PX, TEXT_PX):
            words = Words(place=(EDGE_PX, y), text=line, colour=colour, size=TEXT_PX, halo=None)
            shapes.append(words)
            y += LEADING_PX
    return Drawing(
        width=width,
        height=y,
        title=" / ".join(film.title for film in films),
        description=description,
        shapes=tuple(shapes),
        ground=GROUND,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Room:
    """What a title takes up, from its left to its right and about the middle of its line. [px]"""

    left: float
    right: float
    middle: float

    def touches(self, other: "_Room") -> bool:
        return (
            self.left < other.right + TIP_PX
            and other.left < self.right + TIP_PX
            and abs(self.middle - other.middle) < LABEL_LINE_PX
        )


def _site(film: FilmAtScale, name: str, title: str, left: float, taken: list[_Room]) -> list[Shape]:
    """A surface's junction, its crest and the way between, its title over its own tooth.

    Or on the other side, where it would reach beyond the film; lines further from the crowns, or
    nearer, where it would touch one of ``taken``, to which it is added.
    """
    scale = film.pixel_mm * PX_PER_MM
    ends = []
    for end in (".cej", ".crest"):
        mark = film.marks.marks[name + end]
        x, y = float(mark.x_px or 0.0), float(mark.y_px or 0.0)
        ends.append((left + x * scale, TITLE_PX + y * scale))
    junction, crest = ends
    to_right = name.endswith("distal") == film.front_is_right
    wide = 1.5 * TIP_PX + text_width(title, LABEL_PX)
    far = crest[0] + (wide if to_right else -wide)
    if not left <= far <= left + film.size_px[0]:
        to_right = not to_right
        far = crest[0] + (wide if to_right else -wide)
    crest_room = _Room(left=min(crest[0], far), right=max(crest[0], far), middle=crest[1])
    away = LABEL_LINE_PX if crest[1] > junction[1] else -LABEL_LINE_PX
    foot = TITLE_PX + film.size_px[1]
    rooms = [replace(crest_room, middle=crest[1] + lines * away) for lines in LINES_AWAY]
    room = next(
        (
            each
            for each in rooms
            if TITLE_PX + 0.5 * LABEL_LINE_PX <= each.middle <= foot - 0.5 * LABEL_LINE_PX
            and not any(each.touches(other) for other in taken)
        ),
        crest_room,
    )
    taken.append(room)
    return [
        Line(places=(junction, crest), colour=LIGHT, width=1.4),
        Dot(place=junction, radius=4.0, fill=None, colour=MARKS["cej"], width=2.0),
        Line(
            places=((crest[0] - TIP_PX, crest[1]), (crest[0] + TIP_PX, crest[1])),
            colour=MARKS["crest"],
            width=2.5,
        ),
        Words(
            place=(crest[0] + (1.5 if to_right else -1.5) * TIP_PX, room.middle + 5.0),
            text=title,
            colour=MARKS["crest"],
            size=LABEL_PX,
            anchor="start" if to_right else "end",
            halo=GROUND,
        ),
    ]


__all__ = ["FilmAtScale", "recall_films"]
