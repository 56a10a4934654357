"""Wrong proposals planted in what the network says of a film: does anything make a person look?

The network is made to say something wrong as surely as it said what is right; all rules and
geometry then judge that. Each film gets one of each kind that it has room for.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Any

import numpy as np
from numpy.typing import NDArray

from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.marking.marks import Mark, MarkedFilm
from bitewright.proposing.channels import (
    CHANNEL_COUNT,
    CUSP,
    KINDS,
    PLACES,
    SORTS,
    channel_of,
)
from bitewright.proposing.heat_maps import HeatReading
from bitewright.proposing.square import PIXEL_MM
from bitewright.tasks.assess.decoded_film import DecodedFilm
from bitewright.tasks.propose.propose_marks import (
    FilmRead,
    Known,
    ProposedMarks,
    marks_of_reading,
)

Floats = NDArray[np.float64]

APART_MM = 0.3
"""Only edges that lie so far apart are exchanged: nearer ones may be either way round."""

OFF_MM = 1.0

BACK_MM = 0.3
"""A mark that a sure border draws as near to where it was has been put right. Our choice."""


class Planted(StrEnum):
    """What is planted."""

    ALL_SHIFTED = "all teeth named one place off"
    ARCH_SHIFTED = "an arch named one place off"
    EXCHANGED = "the edges of a contact exchanged"
    MARK_OFF = "one mark 1 mm off"


ASKED = (Planted.ALL_SHIFTED.value, Planted.ARCH_SHIFTED.value)
"""The light box lets nobody confirm marks together before the numbers of both rows, which it names,
were called right."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PlantedReading:
    """What the network is made to say, and the marks that are wrong by it; all if none is named."""

    read: HeatReading
    names: tuple[str, ...] = ()


def planted_on(
    film: DecodedFilm, of: FilmRead, proposed: ProposedMarks, *, seed: int
) -> list[dict[str, Any]]:
    """Plant each kind on a film, and say whether a person is made to look, as data."""
    if proposed.marks is None:
        return []
    own = np.random.default_rng(seed)
    names = list(proposed.marks.marks)
    said = []
    for kind in Planted:
        planted = _planted(kind, of.read, names, own)
        if planted is None:
            continue
        read = replace(of, read=planted.read)
        made = marks_of_reading(film, read, packaged_catalogue(), Known())
        said.append(
            {"kind": kind.value, "names": list(planted.names)}
            | became(made, proposed.marks, planted.names, pixel_mm=of.pixel_mm)
        )
    return said


def became(
    made: ProposedMarks, before: MarkedFilm, wrong: Sequence[str], *, pixel_mm: float
) -> dict[str, Any]:
    """What became of planted marks: whether somebody must look, why, and whether all were put back.

    Parameters
    ----------
    made : ProposedMarks
        With the planted ones.
    before : MarkedFilm
        Without.
    wrong : sequence of str
        The planted marks; none for a film that is wrong as a whole.
    pixel_mm : float
    """
    if made.marks is None:
        return {"caught": True, "why": ["refused"], "put_back": False}
    marks = made.marks.marks
    why = {each.value for each in made.doubts}
    there = [name for name in wrong if name in marks]
    why |= {doubt for name in there if (doubt := marks[name].doubt) is not None}
    back = bool(wrong) and all(
        name in marks and _apart_mm(marks[name], before.marks[name], pixel_mm) < BACK_MM
        for name in wrong
    )
    return {
        "caught": bool(why) or (bool(wrong) and not there),
        "why": sorted(why),
        "put_back": back,
    }


def _apart_mm(one: Mark, other: Mark, pixel_mm: float) -> float:
    here, there = ((each.x_px or 0.0, each.y_px or 0.0) for each in (one, other))
    return pixel_mm * math.dist(here, there)


def _planted(
    kind: Planted, read: HeatReading, names: Sequence[str], own: np.random.Generator
) -> PlantedReading | None:
    if kind is Planted.ALL_SHIFTED:
        return PlantedReading(read=shifted(read, int(own.choice([-1, 1])), (0, 1)))
    if kind is Planted.ARCH_SHIFTED:
        arch = int(own.integers(2))
        return PlantedReading(read=shifted(read, int(own.choice([-1, 1])), (arch,)))
    places = {
        name: read.places_px[channel]
        for name in names
        if (channel := channel_of(name)) is not None and SORTS[channel % len(KINDS)] != CUSP
    }
    if kind is Planted.EXCHANGED:
        pairs = _apart(places)
        if not pairs:
            return None
        front, back = pairs[own.integers(len(pairs))]
        return _moved(read, {front: places[back], back: places[front]})
    name = sorted(places)[own.integers(len(places))]
    turn = own.uniform(0.0, 2.0 * np.pi)
    step = OFF_MM / PIXEL_MM * np.array([np.cos(turn), np.sin(turn)])
    return _moved(read, {name: places[name] + step})


def _apart(places: Mapping[str, Floats]) -> list[tuple[str, str]]:
    """Contacts whose edges lie far enough apart along the row."""
    pairs = [
        (name, f"{int(name[:2]) + 1}.mesial") for name in sorted(places) if name.endswith(".distal")
    ]
    return [
        (front, back)
        for front, back in pairs
        if back in places and PIXEL_MM * abs(places[front][0] - places[back][0]) >= APART_MM
    ]


def _moved(read: HeatReading, places: Mapping[str, Floats]) -> PlantedReading:
    moved = read.places_px.copy()
    for name, place in places.items():
        moved[channel_of(name)] = place
    return PlantedReading(read=replace(read, places_px=moved), names=tuple(places))


def shifted(read: HeatReading, by: int, arches: Sequence[int]) -> HeatReading:
    """The same, each tooth of some arches (0 upper, 1 lower) taken for one further back or front.

    Parameters
    ----------
    read : HeatReading
    by : int
        +1 where each is taken for its neighbour behind.
    arches : sequence of int
    """
    shape = (2, len(PLACES), len(KINDS))
    order = np.arange(CHANNEL_COUNT).reshape(shape)
    gone = np.zeros(shape, dtype=bool)
    for arch in arches:
        order[arch] = np.roll(order[arch], by, axis=0)
        gone[arch, 0 if by > 0 else -1] = True
    flat = order.ravel()
    return replace(
        read,
        places_px=read.places_px[flat],
        gathered=read.gathered[flat],
        presence=np.where(gone.ravel(), 0.0, read.presence[flat]),
    )


def caught_table(lines: Sequence[Mapping[str, Any]]) -> str:
    """How many of those planted a person is made to look at, by kind."""
    rows = [
        (
            "| planted | films | looked at | of these by the border alone | put right by the "
            "border | neither | looked at, or asked for on the light box |"
        ),
        "| --- | ---: | ---: | ---: | ---: | ---: | ---: |",
    ]
    every = [each for line in lines for each in line["planted"]]
    for kind in (*Planted, None):
        own = [each for each in every if kind is None or each["kind"] == kind.value]
        if not own:
            continue
        caught = sum(each["caught"] for each in own)
        asked = sum(each["caught"] or each["kind"] in ASKED for each in own)
        border = sum(each["why"] == ["border"] for each in own)
        back = sum(each["put_back"] and not each["caught"] for each in own)
        rows.append(
            f"| {'all' if kind is None else kind.value} | {len(own)} | {caught / len(own):.1%} | "
            f"{border / len(own):.1%} | {back / len(own):.1%} | "
            f"{(len(own) - caught - back) / len(own):.1%} | {asked / len(own):.1%} |"
        )
    return "\n".join(rows)


__all__ = ["Planted", "became", "caught_table", "planted_on", "shifted"]
