"""Proposed marks of one film: what is proposed, of which tooth, and what is doubtful about it.

Nothing here is measured, rated or logged: a person looks at each mark first.
"""

import itertools
from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from bitewright.proposing.channels import (
    CHANNEL_COUNT,
    CUSP,
    KINDS,
    PLACES,
    SORTS,
    tooth_code,
)
from bitewright.proposing.heat_maps import HeatReading
from bitewright.proposing.spreads import GATHERED, spread_mm
from bitewright.proposing.square import PIXEL_MM

Floats = NDArray[np.float64]

LIKELY, SURE = 0.5, 0.9
"""A landmark is proposed from the first presence on, and doubtful below the second. Our choice."""

SAME_PLACE_MM = 1.0
"""Two marks of one kind and arch as near to one another claim one place. Our choice."""

NO_GAP_MM = 2.5
"""Where a tooth is left out between two others, they stand at least so far apart: a lost tooth
leaves more than that in nine cases of ten, and less is rather a wrong number. Our choice."""

CROSSED_MM = 3.0
"""Neighbours' edges lie over one another by less, even on films aimed far off. Our choice."""

FARTHEST_MM = 3.0
"""And neighbours in a row stand no further apart. Our choice."""


class MarkDoubt(StrEnum):
    """Why a proposed mark must be looked at."""

    FAINT = "faint"
    SAME_PLACE = "same-place"
    OUT_OF_ORDER = "out-of-order"
    NUMBERING = "numbering"
    UNEXPLAINED = "unexplained"
    BORDER = "border"


@dataclass(frozen=True, slots=True, kw_only=True)
class ProposedMark:
    """One proposed mark.

    Parameters
    ----------
    name : str
        Such as "15.mesial.cej".
    place_px : (x, y)
        On the square.
    presence : float
        How likely the film shows it.
    sd_mm : float
    doubt : MarkDoubt or None
    """

    name: str
    place_px: tuple[float, float]
    presence: float
    sd_mm: float
    doubt: MarkDoubt | None = None

    @property
    def code(self) -> int:
        """The tooth's ISO 3950 code."""
        return int(self.name[:2])

    @property
    def kind(self) -> str:
        """What is marked at the tooth, such as "mesial.cej"."""
        return self.name[3:]


def proposals(read: HeatReading, *, is_right: bool) -> tuple[ProposedMark, ...]:
    """Every landmark but cusps that the film likely shows, with what is doubtful about it.

    Cusps overlie one another; on the one real film they were found a millimetre off.

    Parameters
    ----------
    read : HeatReading
    is_right : bool
        Whether it is a film of the patient's right side.
    """
    found = []
    for channel in range(CHANNEL_COUNT):
        presence = float(read.presence[channel])
        row, kind = divmod(channel, len(KINDS))
        name = f"{tooth_code(row, is_right=is_right)}.{KINDS[kind]}"
        if presence < LIKELY or SORTS[kind] == CUSP:
            continue
        gathered = float(read.gathered[channel])
        x, y = (float(value) for value in read.places_px[channel])
        found.append(
            ProposedMark(
                name=name,
                place_px=(x, y),
                presence=presence,
                sd_mm=spread_mm(SORTS[kind], gathered),
                doubt=MarkDoubt.FAINT if presence < SURE or gathered < GATHERED[0] else None,
            )
        )
    found = _one_for_each_place(found)
    front_sign = -1.0 if read.front_left > 0.5 else 1.0
    for upper in (True, False):
        found = _in_order(found, front_sign, upper=upper)
    return tuple(found)


def doubted(
    made: Sequence[ProposedMark], codes: Sequence[int], doubt: MarkDoubt
) -> list[ProposedMark]:
    """The same proposals, those of some teeth doubted unless they were before."""
    return [
        replace(each, doubt=doubt) if each.code in codes and each.doubt is None else each
        for each in made
    ]


def _one_for_each_place(made: Sequence[ProposedMark]) -> list[ProposedMark]:
    """Of two marks of one kind that claim one place the likelier, doubted."""
    left: list[ProposedMark] = []
    for each in sorted(made, key=lambda one: -one.presence):
        rivals = [
            n
            for n, other in enumerate(left)
            if other.kind == each.kind
            and other.code // 10 == each.code // 10
            and PIXEL_MM * float(np.hypot(*np.subtract(other.place_px, each.place_px)))
            < SAME_PLACE_MM
        ]
        for n in rivals:
            left[n] = replace(left[n], doubt=left[n].doubt or MarkDoubt.SAME_PLACE)
        if not rivals:
            left.append(each)
    return sorted(left, key=lambda one: (one.code, one.name))


def _in_order(
    made: Sequence[ProposedMark], front_sign: float, *, upper: bool
) -> list[ProposedMark]:
    """The same, teeth of an arch doubted whose edges do not follow one another along the row."""
    found = list(made)
    quadrants = (1, 2) if upper else (3, 4)
    edges: dict[int, dict[str, float]] = {}
    for each in made:
        if each.code // 10 in quadrants and each.kind in {"mesial", "distal"}:
            back_mm = -front_sign * PIXEL_MM * each.place_px[0]
            edges.setdefault(each.code % 10, {})[each.kind] = back_mm
    quadrant = next((each.code // 10 for each in made if each.code // 10 in quadrants), 0)

    def doubt(places: Sequence[int], why: MarkDoubt) -> None:
        found[:] = doubted(found, [10 * quadrant + place for place in places], why)

    present = [place for place in PLACES if place in edges]
    for place in present:
        own = edges[place]
        if len(own) == 2 and not 3.0 < own["distal"] - own["mesial"] < 15.0:
            doubt([place], MarkDoubt.OUT_OF_ORDER)
    for front, back in itertools.pairwise(present):
        behind, ahead = edges[front].get("distal"), edges[back].get("mesial")
        if behind is None or ahead is None:
            continue
        apart_mm = ahead - behind
        if back == front + 1 and not -CROSSED_MM < apart_mm < FARTHEST_MM:
            doubt([front, back], MarkDoubt.OUT_OF_ORDER)
        if back > front + 1 and apart_mm < NO_GAP_MM:
            doubt([front, back], MarkDoubt.NUMBERING)
    return found


__all__ = ["LIKELY", "SURE", "MarkDoubt", "ProposedMark", "doubted", "proposals"]
