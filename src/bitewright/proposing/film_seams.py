"""Whether a straight line parts a picture into films: a gap between them, or a seam without one.

What lies on a film goes on across any straight line over its whole height: a tooth's border, a
filling's or a beam's edge does not run the whole way with changing grey on both sides of it, and
what is written over a film does not change what lies beside it. Where two films meet, grey jumps
all along the line. All limits were chosen on films of 13 mouths put together by twos, and on those
films alone, changed in 17 ways.
"""

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

Floats = NDArray[np.float64]

MIDDLE = (0.25, 0.75)
"""Films meet in this part of the picture; a border lies outside."""

ENDS = 0.12
"""Share of a line left out at each of its ends: films' corners are rounded."""

ALONG_PX = 3
"""Grey is averaged along the line over so much, against noise. [px of the square]"""

LINE_PX = 4
"""Lines up to so wide that were laid over a film part nothing."""

JUMP, TIMES = 0.02, 2.0
"""At a seam grey jumps by the first at least, and by so many times its change just beside."""

JUMPING, OF_QUARTER = 0.6, 0.3
"""So much of a seam jumps, and of each quarter of it: a straight crown stands in one arch."""

QUARTERS = 4

VARIED = 0.22
"""Beside a seam grey spans as much along the line; a border, or what the beam missed, does not."""

ALIKE = 0.8
"""Grey just before and behind a seam goes less alike; where one film was read out in two parts of
other brightness it goes more alike."""

ACROSS_PX, MORE = (6, 10), 1.5
"""Over these distances grey differs across a seam by so many times what it differs on either side:
across a line laid over one film it does not."""

EVEN, OFF, SHOWN = 0.1, 0.06, 0.55
"""Along a gap grey spans less than the first. Beside it, on both sides, grey is off the gap's by
the second on a share of its length that is at least the third."""

BESIDE_PX = 3
"""So near to a gap its films begin: their borders are straight, those of a burnt-out part not."""

LEAST_PX, NARROW_PX = 3, 6
"""Even columns of a gap at least; of fewer than the second, grey must differ across it as it does
across a seam, for a line may be laid over one film."""

ROOM_PX = 2 + 1 + max(ACROSS_PX)
"""What a line needs on either side of it to be looked at."""


def is_parted(grey: Floats) -> bool:
    """Whether an upright line through the middle of a picture parts it into films.

    Parameters
    ----------
    grey : (rows, columns) float array
        0 to 1, in pixels of the square; transposed, lines that lie across are looked at.
    """
    rows = len(grey)
    along = _averaged(grey)[round(ENDS * rows) : round((1.0 - ENDS) * rows)]
    if len(along) < ROOM_PX or along.shape[1] < 2 * ROOM_PX + 2:
        return False
    return _has_gap(along) or _has_seam(_without_lines(along))


def _without_lines(grey: Floats) -> Floats:
    """Medians across lines: where films meet stays as sharp, and what is thin goes."""
    wide = np.pad(grey, ((0, 0), (LINE_PX, LINE_PX)), mode="edge")
    around = sliding_window_view(wide, 2 * LINE_PX + 1, axis=1)
    return np.asarray(np.partition(around, LINE_PX, axis=2)[..., LINE_PX])


def _averaged(grey: Floats) -> Floats:
    """Means along lines, so many rows each."""
    summed = np.cumsum(np.vstack([np.zeros_like(grey[:1]), grey]), axis=0)
    return np.asarray((summed[ALONG_PX:] - summed[:-ALONG_PX]) / ALONG_PX)


def _spans(grey: Floats) -> Floats:
    """How far grey spans along each column, a tenth at either end left out."""
    low, high = np.quantile(grey, (0.1, 0.9), axis=0)
    return np.asarray(high - low)


def _has_seam(grey: Floats) -> bool:
    """Whether grey jumps along one line, between a column and the one before it."""
    columns = grey.shape[1]
    pairs = 0.5 * (grey[:, 1:] + grey[:, :-1])
    first, last = (round(share * columns) for share in MIDDLE)
    lines = np.arange(max(first, ROOM_PX), min(last, columns - ROOM_PX - 1))
    if not len(lines):
        return False

    def change(start: int, distance: int) -> Floats:
        """How much pairs of columns so far apart differ, by row and line."""
        return np.asarray(np.abs(pairs[:, lines + start + distance] - pairs[:, lines + start]))

    beside = 0.25 * (change(-4, 2) + change(-5, 2) + change(0, 2) + change(1, 2))
    jumps = change(-2, 2) > np.maximum(TIMES * beside, JUMP)
    parts = [part.mean(axis=0) for part in np.array_split(jumps, QUARTERS)]
    jumping = (jumps.mean(axis=0) >= JUMPING) & (np.min(parts, axis=0) >= OF_QUARTER)
    spans = _spans(grey)
    varied = np.minimum(spans[lines - 4], spans[lines + 3])
    alike = _correlations(pairs[:, lines - 3], pairs[:, lines + 1])
    more = np.min([_across(pairs, lines - 3, lines + 1, far) for far in ACROSS_PX], axis=0)
    found = jumping & (varied > VARIED) & (alike < ALIKE) & (more > MORE)
    return bool(found.any())


def _across(pairs: Floats, before: NDArray[np.int_], behind: NDArray[np.int_], far: int) -> Floats:
    """How much more grey differs over a distance across each line than beside it."""
    spare = (far - int(behind[0] - before[0])) // 2
    over = np.abs(pairs[:, behind + spare] - pairs[:, before - spare]).mean(axis=0)
    left = np.abs(pairs[:, before] - pairs[:, before - far]).mean(axis=0)
    right = np.abs(pairs[:, behind + far] - pairs[:, behind]).mean(axis=0)
    return np.asarray(over / (np.maximum(left, right) + 0.005))


def _correlations(some: Floats, others: Floats) -> Floats:
    """Of each column with its fellow."""
    some, others = some - some.mean(axis=0), others - others.mean(axis=0)
    size = np.sqrt((some**2).sum(axis=0) * (others**2).sum(axis=0))
    return np.asarray((some * others).sum(axis=0) / np.maximum(size, 1e-9))


def _has_gap(grey: Floats) -> bool:
    """Whether even columns part columns that differ from them all along."""
    columns = grey.shape[1]
    even = np.concatenate([[False], _spans(grey) < EVEN, [False]])
    turns = np.flatnonzero(even[1:] != even[:-1])
    first, last = (share * columns for share in MIDDLE)
    for start, end in zip(turns[::2], turns[1::2], strict=True):
        before, behind = start - 1 - BESIDE_PX, end + BESIDE_PX
        if before < 0 or behind >= columns or not first < 0.5 * (start + end) < last:
            continue
        if end - start < LEAST_PX:
            continue
        gap = np.median(grey[:, start:end], axis=1)
        off = [(np.abs(grey[:, beside] - gap) > OFF).mean() for beside in (before, behind)]
        if min(off) >= SHOWN and (end - start >= NARROW_PX or _differs(grey, before, behind)):
            return True
    return False


def _differs(grey: Floats, before: int, behind: int) -> bool:
    """Whether two columns differ more than columns as far apart on either side of them."""
    far = behind - before
    if before < far or behind + far >= grey.shape[1]:
        return True
    return bool(_across(grey, np.array([before]), np.array([behind]), far)[0] > MORE)


__all__ = ["is_parted"]
