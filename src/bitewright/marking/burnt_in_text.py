"""Text drawn into a film's picture: lines of small, sharp, thin shapes at its lightest or darkest.

A simple finder: it looks for what programs write, letters of one level at the very end of the
picture's range. It does not see letters of a middle grey, handwriting, or fewer than four in a
line.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

Mask = NDArray[np.bool_]

END_SHARE = 0.03
"""Levels within this share of the range from its end count as drawn. Our choice."""

LEAST_HEIGHT_PX = 6
MOST_HEIGHT_SHARE = 0.09
"""Letters are at least so high, and at most this share of the picture's shorter side."""

MOST_WIDTH_HEIGHTS = 2.0
MOST_STROKE_HEIGHTS = 0.36
"""A letter's widest stroke against its height; metal and gaps in a picture are thicker."""

LEAST_FULL, MOST_FULL = 0.12, 0.85
"""How much of its own box a letter fills; an I alone would fill more, and is not asked for."""

STEP_SHARE = 0.12
LEAST_SHARP = 0.75
"""So much of what lies two pixels off a letter differs from it by this share of the range."""

FEWEST_IN_LINE = 4
MOST_GAP_HEIGHTS = 1.3
MOST_OFF_LINE_HEIGHTS = 0.6
MOST_HEIGHTS_APART = 1.9
"""Letters of one line: how many, how far apart, how far off the line, how unlike in height. All of
these are our choice, made before a film was looked at."""

MOST_SHAPES = 4000
"""A picture with more such shapes is noise or a texture, and nothing is looked for in it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TextLine:
    """A line of what looks like letters: its box, in pixels from the upper left, and how many."""

    left_px: int
    top_px: int
    right_px: int
    bottom_px: int
    letters: int


def text_lines(pixels: NDArray[np.uint16]) -> tuple[TextLine, ...]:
    """Lines of what looks like text drawn into a picture, from the top down.

    Parameters
    ----------
    pixels : (rows, columns) uint16 array

    Returns
    -------
    tuple of TextLine
        Empty if there is none, or none of the sort that is found.
    """
    low, high = int(pixels.min()), int(pixels.max())
    if high - low < 8:
        return ()
    reach = END_SHARE * (high - low)
    step = STEP_SHARE * (high - low)
    found: list[TextLine] = []
    for drawn in (pixels >= high - reach, pixels <= low + reach):
        letters = list(_letters(drawn, pixels, step))
        found += _lines(letters)
    return tuple(sorted(found, key=lambda line: (line.top_px, line.left_px)))


@dataclass(frozen=True, slots=True)
class _Box:
    top: int
    left: int
    bottom: int
    right: int

    @property
    def height(self) -> int:
        return self.bottom - self.top

    @property
    def middle(self) -> float:
        return (self.top + self.bottom) / 2


def _letters(drawn: Mask, pixels: NDArray[np.uint16], step: float) -> Iterator[_Box]:
    labels, _ = ndimage.label(drawn, structure=np.ones((3, 3)))
    most = MOST_HEIGHT_SHARE * min(pixels.shape)
    boxes = [
        (number, place)
        for number, place in enumerate(ndimage.find_objects(labels), start=1)
        if place is not None and _has_size(place, most)
    ]
    if len(boxes) > MOST_SHAPES:
        return
    for number, (rows, columns) in boxes:
        shape = labels[rows, columns] == number
        if _is_thin(shape) and _is_sharp(labels, number, (rows, columns), pixels, step):
            yield _Box(rows.start, columns.start, rows.stop, columns.stop)


def _has_size(place: tuple[slice, slice], most_px: float) -> bool:
    height, width = (part.stop - part.start for part in place)
    return bool(LEAST_HEIGHT_PX <= height <= most_px and width <= MOST_WIDTH_HEIGHTS * height)


def _is_thin(shape: Mask) -> bool:
    height = shape.shape[0]
    if not LEAST_FULL <= shape.mean() <= 1.0:
        return False
    stroke = 2.0 * float(ndimage.distance_transform_edt(np.pad(shape, 1)).max()) - 1.0
    return bool(stroke <= max(MOST_STROKE_HEIGHTS * height, 2.0))


def _is_sharp(
    labels: NDArray[np.int32],
    number: int,
    place: tuple[slice, slice],
    pixels: NDArray[np.uint16],
    step: float,
) -> bool:
    """Whether the picture is another two and three pixels away from the shape."""
    around = tuple(
        slice(max(part.start - 3, 0), min(part.stop + 3, size))
        for part, size in zip(place, labels.shape, strict=True)
    )
    shape = labels[around] == number
    square = np.ones((3, 3), dtype=bool)
    near = ndimage.binary_dilation(shape, square)
    ring = ndimage.binary_dilation(near, square, iterations=2) & ~near
    if not ring.any():
        return False
    inside = float(np.median(pixels[around][shape]))
    differs = np.abs(pixels[around][ring].astype(np.float64) - inside) >= step
    return float(differs.mean()) >= LEAST_SHARP


def _lines(letters: Sequence[_Box]) -> list[TextLine]:
    """Letters that stand beside one another, joined from left to right."""
    waiting = sorted(letters, key=lambda box: box.left)
    lines: list[list[_Box]] = []
    for box in waiting:
        line = next((each for each in reversed(lines) if _follows(each[-1], box)), None)
        if line is None:
            lines.append([box])
        else:
            line.append(box)
    return [
        TextLine(
            left_px=line[0].left,
            top_px=min(box.top for box in line),
            right_px=max(box.right for box in line),
            bottom_px=max(box.bottom for box in line),
            letters=len(line),
        )
        for line in lines
        if len(line) >= FEWEST_IN_LINE
    ]


def _follows(last: _Box, box: _Box) -> bool:
    low, high = sorted((last.height, box.height))
    return (
        high <= MOST_HEIGHTS_APART * low
        and -0.2 * high <= box.left - last.right <= MOST_GAP_HEIGHTS * high
        and abs(box.middle - last.middle) <= MOST_OFF_LINE_HEIGHTS * high
    )


__all__ = ["TextLine", "text_lines"]
