"""The word SIMULATED, drawn into a film's picture with a small alphabet of our own."""

import numpy as np
from numpy.typing import NDArray

LETTERS = {
    "S": (".###", "#...", ".##.", "...#", "###."),
    "I": ("###", ".#.", ".#.", ".#.", "###"),
    "M": ("#...#", "##.##", "#.#.#", "#...#", "#...#"),
    "U": ("#..#", "#..#", "#..#", "#..#", ".##."),
    "L": ("#..", "#..", "#..", "#..", "###"),
    "A": (".##.", "#..#", "####", "#..#", "#..#"),
    "T": ("###", ".#.", ".#.", ".#.", ".#."),
    "E": ("###", "#..", "##.", "#..", "###"),
    "D": ("###.", "#..#", "#..#", "#..#", "###."),
}
WORD = "SIMULATED"

HEIGHT_SHARE = 0.028
"""Height of the word against the picture's shorter side. Our choice."""

BRIGHT = 52_000
"""Grey of its letters, of 65535. Our choice."""

DARK = 9_000
"""Grey of the ground they stand on. Our choice."""


def with_label(pixels: NDArray[np.uint16]) -> NDArray[np.uint16]:
    """A picture (rows, columns) with the word at its lower edge, in the middle, on a dark ground.

    Too small a picture is given back as it is.
    """
    word = word_mask()
    size = max(round(HEIGHT_SHARE * min(pixels.shape) / word.shape[0]), 1)
    mask = np.kron(word, np.ones((size, size), dtype=np.uint8)).astype(bool)
    rows, columns = mask.shape
    top = pixels.shape[0] - rows - size
    left = (pixels.shape[1] - columns) // 2
    if top < 0 or left < 0:
        return pixels
    labelled = np.array(pixels)
    labelled[top : top + rows, left : left + columns] = np.where(mask, BRIGHT, DARK)
    return labelled


def word_mask() -> NDArray[np.uint8]:
    """The word as ones on zeros with a margin of one all round, an array (7, columns)."""
    gap = np.zeros((5, 1), dtype=np.uint8)
    columns = [gap]
    for letter in WORD:
        strokes = [[int(dot == "#") for dot in row] for row in LETTERS[letter]]
        columns += [np.array(strokes, dtype=np.uint8), gap]
    return np.pad(np.hstack(columns), ((1, 1), (0, 0)))


__all__ = ["with_label", "word_mask"]
