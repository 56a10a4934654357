"""A correction drawn: from above, from the side and along the row, as estimated and next time.

What was is dashed, what is to be is solid, so that neither colour nor print matters.
"""

from collections.abc import Callable, Collection

import numpy as np
from numpy.typing import NDArray

from bitewright.explanation.correction import Correction, Need, Part, Verdict
from bitewright.exposing.exposure import Exposures
from bitewright.planning.best_aim import Plan
from bitewright.report.above_panel import above_panel
from bitewright.report.drawing_panel import Content, Scene, made_panel
from bitewright.report.palette import INK, NEXT, QUIET, WAS
from bitewright.report.row_panel import row_panel
from bitewright.report.shapes import (
    DASH,
    Drawing,
    Line,
    Shape,
    Words,
    wrapped,
)
from bitewright.report.side_panel import side_panel
from bitewright.words.caution import CAUTION
from bitewright.words.corrections import operator_sentence
from bitewright.words.drawing import (
    AS_ESTIMATED,
    NEXT_TIME_IN_FULL,
    drawing_heading,
    drawing_title,
)

Floats = NDArray[np.float64]

WIDTH, HEIGHT = 1500, 1020
HEAD, FOOT = 150, 92
GAP = 14
LEFT_WIDTH = 900
SIDE_SHARE = 0.47


def correction_drawing(
    correction: Correction,
    *,
    present: Exposures,
    plan: Plan,
    sentence: str = "",
    how_far: bool = True,
    ways_alone: Collection[Part] = (),
) -> Drawing:
    """Draw a correction.

    Parameters
    ----------
    correction : Correction
    present : Exposures
        One exposure, as estimated.
    plan : Plan
        The one for next time; left out of the drawing where the marks cannot tell any movement.
    sentence : str
        What stands over it; the movements worth making, if left out.
    how_far : bool
        Whether arrows say how much, or the way alone.
    ways_alone : collection of Part
        Of which arrows say the way alone in either case.
    """
    moves = [each for each in correction.movements if each.need is Need.MOVE]
    both = correction.verdict is not Verdict.CANNOT_TELL or bool(moves)
    scene = Scene(correction, present, plan.exposure if both else None, how_far, ways_alone)
    sentence = sentence or operator_sentence(correction)
    body = HEIGHT - HEAD - FOOT
    right = WIDTH - LEFT_WIDTH - 3 * GAP
    side_height = round(SIDE_SHARE * (body - GAP))
    left = LEFT_WIDTH + 2 * GAP
    panels = (
        made_panel((GAP, HEAD, LEFT_WIDTH, body), above_panel(scene)),
        made_panel((left, HEAD, right, side_height), side_panel(scene)),
        made_panel(
            (left, HEAD + side_height + GAP, right, body - side_height - GAP), row_panel(scene)
        ),
    )
    return Drawing(
        width=WIDTH,
        height=HEIGHT,
        title=drawing_title(plan.view.title),
        description=f"{sentence} {CAUTION}",
        panels=panels,
        shapes=(*_heading(plan.view.title, sentence), *_footing(both=both)),
    )


SENTENCE_PX = (22, 20, 19, 18, 17, 16, 15, 14, 13)
"""Sizes the sentence is tried in, so that a long one is never cut."""

REST_PX = 13
"""Of what follows what to do first."""

SENTENCE_WIDTH = WIDTH - 2 * GAP - 60
LEADING = 1.23
ROOM_PX = 94


MOVE_WIDTH, MOVE_HEIGHT, LEGEND = 1080, 640, 56
"""Fewer pixels than the whole drawing has, so that its words are larger on paper."""

TWO_PANELS_SHARE = 0.5
ALONG_ROW = (Part.VERTICAL, Part.TILT)
FROM_CHEEK = (Part.HEIGHT, Part.ROLL, Part.CLOSURE)


def move_drawing(
    correction: Correction,
    *,
    present: Exposures,
    plan: Plan,
    sentence: str = "",
    how_far: bool = True,
    ways_alone: Collection[Part] = (),
) -> Drawing:
    """Only what moves, as large as fits: the views in which it is seen, two at most.

    Parameters
    ----------
    correction, present, plan, sentence, how_far, ways_alone
        As `correction_drawing`; the sentence is for who cannot see it.
    """
    parts = [each.part for each in correction.movements if each.need is Need.MOVE]
    both = correction.verdict is not Verdict.CANNOT_TELL or bool(parts)
    scene = Scene(correction, present, plan.exposure if both else None, how_far, ways_alone)
    seen = list(dict.fromkeys(_panel_of(part) for part in parts))[:2] or [above_panel]
    body = MOVE_HEIGHT - LEGEND - 2 * GAP
    room = MOVE_WIDTH - (len(seen) + 1) * GAP
    first = room if len(seen) == 1 else round(TWO_PANELS_SHARE * room)
    panels = [made_panel((GAP, GAP, first, body), seen[0](scene))]
    if len(seen) > 1:
        at = (2 * GAP + first, GAP, room - first, body)
        panels.append(made_panel(at, seen[1](scene)))
    return Drawing(
        width=MOVE_WIDTH,
        height=MOVE_HEIGHT,
        title=drawing_title(plan.view.title),
        description=sentence or operator_sentence(correction),
        panels=tuple(panels),
        shapes=tuple(_legend(MOVE_HEIGHT - LEGEND + 34, both=both)),
    )


def _panel_of(part: Part) -> Callable[[Scene], Content]:
    """The panel in which a movement is seen."""
    if part in ALONG_ROW:
        return row_panel
    return side_panel if part in FROM_CHEEK else above_panel


def _heading(view_title: str, sentence: str) -> list[Shape]:
    """The view, and the sentence over the drawing: what to do first larger than what follows."""
    first, full_stop, rest = sentence.partition(". ")
    lead = f"{first}{full_stop.strip()}"
    told = next(
        (lines for size in SENTENCE_PX if _height(lines := _two_sizes(lead, rest, size)) < ROOM_PX),
        _two_sizes(lead, rest, SENTENCE_PX[-1]),
    )
    shapes: list[Shape] = [
        Words(place=(GAP + 4, 36), text=drawing_heading(view_title), colour=INK, size=26, bold=True)
    ]
    y = 66.0
    for line, size in told:
        shapes.append(Words(place=(GAP + 4, y), text=line, colour=INK, size=size))
        y += LEADING * size
    return shapes


Lines = list[tuple[str, int]]
"""Lines of text, each with its size."""


def _two_sizes(lead: str, rest: str, size: int) -> Lines:
    """What to do first in this size, the rest smaller."""
    smaller = min(size, REST_PX)
    return [
        *((line, size) for line in wrapped(lead, SENTENCE_WIDTH, size)),
        *((line, smaller) for line in (wrapped(rest, SENTENCE_WIDTH, smaller) if rest else ())),
    ]


def _height(lines: Lines) -> float:
    return LEADING * sum(size for _, size in lines)


def _footing(*, both: bool) -> list[Shape]:
    y = HEIGHT - FOOT + 30
    lines = wrapped(CAUTION, WIDTH - 2 * GAP - 20, 15)
    return _legend(y, both=both) + [
        Words(place=(GAP + 4, y + 24 + 19 * k), text=line, colour=QUIET, size=15)
        for k, line in enumerate(lines)
    ]


def _legend(y: float, *, both: bool) -> list[Shape]:
    """Which lines are which."""
    shapes: list[Shape] = [
        Line(places=((GAP + 4, y - 6), (GAP + 84, y - 6)), colour=WAS, width=4.0, dashes=DASH),
        Words(place=(GAP + 94, y), text=AS_ESTIMATED, colour=WAS, size=18, bold=True),
    ]
    if both:
        shapes += [
            Line(places=((260, y - 6), (340, y - 6)), colour=NEXT, width=4.0),
            Words(
                place=(350, y),
                text=NEXT_TIME_IN_FULL,
                colour=NEXT,
                size=18,
                bold=True,
            ),
        ]
    return shapes


__all__ = ["correction_drawing", "move_drawing"]
