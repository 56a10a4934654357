"""The surfaces and crests that a visit is about: those its teeth have, and those it is for."""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from bitewright.errors import BitewrightError, quoted
from bitewright.exposing.region import Format
from bitewright.mouth.numbering import Side
from bitewright.quality.questions import CANINE, AnyQuestion, NamedQuestion, needs, unreadable_share
from bitewright.quality.views import View, view, view_names
from bitewright.quality.wanted import Pair, Wanted, wanted

BOTH_SIDES = (Side.RIGHT, Side.LEFT)
CREST = ".crest"


class SurfaceNotInVisitError(BitewrightError):
    """A question names a surface that no bitewing of this mouth shows."""

    def __init__(self, surface: str, known: Sequence[str]) -> None:
        self.surface = surface
        super().__init__(
            f"The surface {quoted(surface)} is none that a bitewing of this visit is to show: give "
            f"one of {', '.join(known)}."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitSites:
    """What a visit can be asked for, and what it is asked for.

    Parameters
    ----------
    names : tuple of str
        Every proximal surface ("15.distal") and crest ("15.distal.crest") from the canine
        backwards, by quadrant, front to back, a crest behind its surface.
    needed : frozenset of str
        Those the question needs.
    unreadable_share : float
        Share of the thinner enamel beyond which an overlap cannot be read for the question.
    """

    names: tuple[str, ...]
    needed: frozenset[str]
    unreadable_share: float


def visit_sites(
    question: AnyQuestion,
    teeth: Iterable[int],
    sides: Sequence[Side] = BOTH_SIDES,
    *,
    closed: Collection[Pair] = (),
) -> VisitSites:
    """What a question asks of the teeth of some sides, by all bitewings of them together.

    ``closed``: pairs of teeth that meet across missing ones, as in `wanted`.

    Raises
    ------
    SurfaceNotInVisitError, NamedSurfacesError
    """
    present = frozenset(teeth)
    asked = [wanted(each, present, closed) for each in bitewing_views(sides)]
    names = {name for each in asked for name in each.names}
    surfaces = question.surfaces if isinstance(question, NamedQuestion) else ()
    for name in surfaces:
        if name not in names:
            known = sorted((each for each in names if not each.endswith(CREST)), key=site_order)
            raise SurfaceNotInVisitError(name, known)
    return VisitSites(
        names=tuple(sorted(names, key=site_order)),
        needed=frozenset[str]().union(*(_needed(question, each) for each in asked)),
        unreadable_share=unreadable_share(question),
    )


def bitewing_views(sides: Sequence[Side] = BOTH_SIDES) -> tuple[View, ...]:
    """The lying bitewings of some sides; an upright one asks for the same."""
    every = (view(name) for name in view_names())
    return tuple(
        each
        for each in every
        if each.region.format is Format.HORIZONTAL and each.region.side in sides
    )


def site_order(name: str) -> tuple[int, int, bool, bool]:
    """By quadrant, front to back, a crest behind its surface."""
    return int(name[0]), int(name[1]), ".distal" in name, name.endswith(CREST)


def is_of_side(name: str, side: Side) -> bool:
    """Whether a surface or crest is of a side."""
    return (name[0] in "14") is (side is Side.RIGHT)


def whole_side(of: View, teeth: Iterable[int], closed: Collection[Pair] = ()) -> Wanted:
    """All that bitewings of a view's side ask of the teeth present: a film may show it all.

    Its contacts are all neighbours from the canine backwards, those across a gap too: a tooth that
    tips into a gap may overlap the one beyond it. ``closed`` as in `visit_sites`.
    """
    present = set(teeth)
    parts = [wanted(each, present, closed) for each in bitewing_views([of.region.side])]
    rows = [
        sorted(code for code in present if code // 10 == quadrant and code % 10 >= CANINE)
        for quadrant in of.region.quadrants
    ]

    def together(field: str) -> tuple[Any, ...]:
        return tuple(dict.fromkeys(each for part in parts for each in getattr(part, field)))

    return Wanted(
        view=of,
        contacts=tuple(pair for row in rows for pair in pairwise(row)),
        crest_sites=together("crest_sites"),
        front_surfaces=together("front_surfaces"),
        last_surfaces=together("last_surfaces"),
        gap_surfaces=together("gap_surfaces"),
    )


def _needed(question: AnyQuestion, of: Wanted) -> frozenset[str]:
    """What a question needs of one view; a question about surfaces, of those the view shows."""
    if isinstance(question, NamedQuestion) and question.surfaces:
        shown = tuple(name for name in question.surfaces if name in of.surfaces)
        if not shown:
            return frozenset()
        question = NamedQuestion(question=question.question, surfaces=shown)
    found = needs(question, of)
    return (found.surfaces | found.crests) & frozenset(of.names)


__all__ = [
    "BOTH_SIDES",
    "CREST",
    "SurfaceNotInVisitError",
    "VisitSites",
    "bitewing_views",
    "is_of_side",
    "site_order",
    "visit_sites",
    "whole_side",
]
