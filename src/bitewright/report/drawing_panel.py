"""What the panels of a correction drawing share: what is shown, colours, fitting, lines."""

from collections.abc import Callable, Collection
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bitewright.explanation.correction import Correction, Movement, Need, Part
from bitewright.exposing.exposure import Exposures
from bitewright.report import exposure_views as views
from bitewright.report.palette import EDGE, INK, NEXT, NEXT_FILL, QUIET, TOOTH, TOOTH_EDGE, WAS
from bitewright.report.shapes import CHAIN, DASH, Line, Panel, Place, Shape, Words, upright_box
from bitewright.words.drawing import arrow_words

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Scene:
    """A correction with the exposure as estimated and the next one, where there is one to show.

    ``how_far``: whether arrows say how much, or the way alone; that they say of ``ways_alone`` in
    either case.
    """

    correction: Correction
    present: Exposures
    best: Exposures | None
    how_far: bool = True
    ways_alone: Collection[Part] = ()

    @property
    def shown(self) -> list[tuple[Exposures, bool]]:
        """Exposures to draw, and whether each is the one for next time."""
        return [(self.present, False)] + ([(self.best, True)] if self.best is not None else [])

    @property
    def teeth(self) -> Exposures:
        """The exposure whose teeth are drawn."""
        return self.best or self.present

    def arrow_words(self, movement: Movement) -> str:
        """What a movement's arrow says."""
        how_far = self.how_far and movement.part not in self.ways_alone
        return arrow_words(movement, rim_radius_mm=self.correction.rim_radius_mm, how_far=how_far)

    def needed(self, part: Part) -> Movement | None:
        """A movement worth making, or nothing."""
        found = self.correction.of(part)
        return found if found.need is Need.MOVE else None


@dataclass(frozen=True, slots=True, eq=False)
class Content:
    """What a panel shows: a title, places that must fit, and shapes made with a scale.

    ``foot_px`` pixels at the foot are kept free for words.
    """

    title: str
    fits: Floats
    shapes: Callable[["Fit"], list[Shape]]
    foot_px: int = 0


@dataclass(frozen=True, slots=True)
class Fit:
    """From millimetres to a panel's pixels."""

    scale: float
    left: float
    top: float
    width: int
    height: int

    def place(self, point: Floats) -> Place:
        """A point in the panel."""
        return (
            self.left + self.scale * float(point[0]),
            self.top + self.scale * float(point[1]),
        )

    def places(self, points: Floats) -> tuple[Place, ...]:
        """Points in the panel."""
        return tuple(self.place(point) for point in points)


TITLE_PX = 40
MARGIN_PX = 22


def made_panel(at: tuple[int, int, int, int], content: Content) -> Panel:
    """A panel at (left, top, width, height), its content as large as fits."""
    left, top, width, height = at
    low, high = content.fits.min(axis=0), content.fits.max(axis=0)
    room = np.array([width - 2 * MARGIN_PX, height - TITLE_PX - content.foot_px - 2 * MARGIN_PX])
    scale = float((room / (high - low)).min())
    corner = 0.5 * (np.array([width, height + TITLE_PX - content.foot_px]) - scale * (low + high))
    fit = Fit(scale, float(corner[0]), float(corner[1]), width, height)
    frame = Line(
        places=upright_box(1, 1, width - 2, height - 2), colour=EDGE, width=1.5, closed=True
    )
    title = Words(place=(16, 30), text=content.title, colour=INK, size=21, bold=True)
    return Panel(
        left=left,
        top=top,
        width=width,
        height=height,
        shapes=(*content.shapes(fit), frame, title),
    )


def tooth_line(fit: Fit, outline: Floats) -> Line:
    """A crown's outline."""
    return Line(places=fit.places(outline), colour=TOOTH_EDGE, width=1.2, closed=True, fill=TOOTH)


def laid_lines(fit: Fit, laid: views.Laid, *, is_next: bool) -> list[Shape]:
    """Receptor, tube, central ray and beam of an exposure."""
    colour, dashes = (NEXT, ()) if is_next else (WAS, DASH)
    width = 3.0 if is_next else 2.5
    beam = [
        Line(places=fit.places(edge), colour=colour, width=1.0, dashes=dashes) for edge in laid.beam
    ]
    return [
        *beam,
        Line(places=fit.places(laid.ray), colour=colour, width=1.6, dashes=CHAIN),
        Line(
            places=fit.places(laid.casing),
            colour=colour,
            width=width,
            dashes=dashes,
            closed=True,
            fill=NEXT_FILL if is_next else None,
        ),
        Line(places=fit.places(laid.active), colour=colour, width=1.2, dashes=dashes),
        Line(places=fit.places(laid.tube[[1, 2, 3, 0]]), colour=colour, width=width, dashes=dashes),
        Line(places=fit.places(laid.tube[:2]), colour=colour, width=width + 3.0, dashes=dashes),
    ]


def tooth_shapes(fit: Fit, outlines: dict[int, Floats]) -> list[Shape]:
    """Crowns, each with its code."""
    shapes: list[Shape] = []
    for code, outline in outlines.items():
        x, y = fit.place(0.5 * (outline.min(axis=0) + outline.max(axis=0)))
        shapes += [
            tooth_line(fit, outline),
            Words(place=(x, y + 5), text=str(code), colour=QUIET, size=14, anchor="middle"),
        ]
    return shapes


def told(at: Place, text: str, *, anchor: str = "middle") -> Words:
    """The figure of a movement."""
    return Words(place=at, text=text, colour=INK, size=20, anchor=anchor, bold=True)


__all__ = [
    "Content",
    "Fit",
    "Scene",
    "laid_lines",
    "made_panel",
    "told",
    "tooth_line",
    "tooth_shapes",
]
