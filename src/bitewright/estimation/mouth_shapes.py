"""Where the structures of any mouth of the population lie, quickly.

One mouth is built, the rest follow by how each direction of the population shapes and moves teeth.

What is taken as changing evenly is each crown's sections, place, axes and facet planes. Flanks are
cut anew from those, since their facets come and go.
"""

from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from bitewright.estimation.mouth_prior import (
    Direction,
    closed_teeth,
    directions,
    mean_mouth,
    moved,
)
from bitewright.exposing.project import Shapes
from bitewright.exposing.region import Region, Zone
from bitewright.exposing.region_frame import NothingToImageError, RegionFrame, region_frame
from bitewright.exposing.targets import Targets, targets
from bitewright.mouth.flanks import DISTAL, MESIAL, flank_sections, flank_turns, flanks_through
from bitewright.mouth.numbering import Side
from bitewright.mouth.outlines import Outlines, build_outlines

Floats = NDArray[np.float64]

STEP_SD = 0.5
"""Directions are differenced over this many standard deviations. Our choice."""

KEPT = 16
"""How many sets of teeth and sides are kept, some four megabytes each: films in bulk show either
side, with and without third molars and lost teeth. Our choice."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Crowns:
    """What the flanks of T crowns follow from, in one mouth or, with a leading axis, several.

    ``rows_mm`` as `flank_sections`, ``turns`` as `flank_turns`; places, axes and planes as in
    `Outlines`; points as `Targets.points_mouth`. [mm]
    """

    rows_mm: Floats
    turns: Floats
    origins_mouth: Floats
    axes_mouth: Floats
    planes_mouth: Floats
    points_mouth: Floats

    @classmethod
    def of(cls, outlines: Outlines, codes: tuple[int, ...], points_mouth: Floats) -> "Crowns":
        """The crowns of some teeth of a mouth; L landmarks at points (L, 3). [mm]"""
        rows = [outlines.row[code] for code in codes]
        sections = outlines.sections.take(rows)
        return cls(
            rows_mm=flank_sections(sections),
            turns=flank_turns(sections),
            origins_mouth=outlines.origins_mouth[rows],
            axes_mouth=outlines.axes_mouth[rows],
            planes_mouth=outlines.planes_mouth[rows],
            points_mouth=points_mouth,
        )

    def less(self, other: "Crowns") -> dict[str, Floats]:
        """Differences of every field, each of its field's shape."""
        return {
            field.name: getattr(self, field.name) - getattr(other, field.name)
            for field in fields(self)
        }


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class MouthShapes:
    """One side of a mouth and how it changes along N directions.

    Parameters
    ----------
    outlines : Outlines
        The mouth that was built.
    amounts : (N,) float array
        Where it lies among the population. [standard deviations]
    along : tuple of N Direction
    targets : Targets
        Its structures.
    codes : tuple of T int
        Teeth of the side.
    crowns : Crowns
    per_sd : Crowns
        Change for one standard deviation, with a leading axis of N.
    frames_per_sd : mapping of Zone to (N, 4) float array
        Change of a region's own directions for one standard deviation: its chord to the tongue
        [deg], and its middle's place in the mouth [mm]; none of a zone without teeth.
    """

    outlines: Outlines
    amounts: Floats
    along: tuple[Direction, ...]
    targets: Targets
    codes: tuple[int, ...]
    crowns: Crowns
    per_sd: Crowns
    frames_per_sd: Mapping[Zone, Floats]

    @classmethod
    def known(cls, outlines: Outlines, region: Region) -> "MouthShapes":
        """A mouth that is known: no direction is left open."""
        own = targets(outlines, region)
        codes = tuple(sorted({int(name[:2]) for name in own.names}))
        crowns = Crowns.of(outlines, codes, own.points_mouth)
        nothing = {
            field.name: np.zeros((0, *getattr(crowns, field.name).shape))
            for field in fields(Crowns)
        }
        return cls(
            outlines=outlines,
            amounts=np.zeros(0),
            along=(),
            targets=own,
            codes=codes,
            crowns=crowns,
            per_sd=Crowns(**nothing),
            frames_per_sd={region.zone: np.zeros((0, 4))},
        )

    def of(self, amounts: Floats, wanted: Targets | None = None) -> Shapes:
        """Shapes of M mouths, from amounts (M, N); of fewer targets if they are given."""
        away = amounts - self.amounts
        count, teeth = len(away), len(self.codes)
        at = {
            field.name: getattr(self.crowns, field.name)
            + np.tensordot(away, getattr(self.per_sd, field.name), axes=1)
            for field in fields(Crowns)
        }
        points = at.pop("points_mouth")
        every = {name: value.reshape(count * teeth, *value.shape[2:]) for name, value in at.items()}
        flanks = flanks_through(
            every["rows_mm"],
            every["turns"],
            every["origins_mouth"],
            every["axes_mouth"],
            every["planes_mouth"],
        )
        flanks = flanks.reshape(count, teeth, *flanks.shape[1:])
        names = (wanted or self.targets).names[: len((wanted or self.targets).flanks_mouth)]
        rows = [self.codes.index(int(name[:2])) for name in names]
        faces = [MESIAL if name.endswith("mesial") else DISTAL for name in names]
        return Shapes(np.ascontiguousarray(flanks[:, rows, faces]), np.ascontiguousarray(points))

    def laid_on(self, shapes: Shapes, amounts: Floats, region: Region) -> Shapes:
        """Shapes of M mouths, turned and moved until the region's own directions are this mouth's.

        What is set up by the teeth then lies in all of them where it lies in this one.

        Parameters
        ----------
        shapes : Shapes
            As `of` gives them for the same amounts.
        amounts : (M, N) float array
        region : Region
        """
        away = (amounts - self.amounts) @ self.frames_per_sd[region.zone]
        at = _frame_row(region_frame(self.outlines, region), region)
        angle = np.deg2rad(-away[:, 0] * region.front_sign)
        turn = np.zeros((len(away), 3, 3))
        turn[:, 0, 0] = turn[:, 1, 1] = np.cos(angle)
        turn[:, 0, 1], turn[:, 1, 0] = -np.sin(angle), np.sin(angle)
        turn[:, 2, 2] = 1.0

        def laid(points: Floats) -> Floats:
            flat = points.reshape(len(points), -1, 3) - (at[1:] + away[:, 1:])[:, None]
            moved_there = np.matmul(flat, np.swapaxes(turn, 1, 2)) + at[1:]
            return np.ascontiguousarray(moved_there.reshape(points.shape))

        return Shapes(laid(shapes.flanks_mouth), laid(shapes.points_mouth))

    @staticmethod
    def chord_deg(frame: RegionFrame, region: Region) -> float:
        """How far a region's chord is turned to the tongue from the mouth's length. [deg]"""
        return float(_frame_row(frame, region)[0])

    def chords_deg(self, amounts: Floats, region: Region) -> Floats:
        """How far a region's chord is turned to the tongue in M mouths, (M,). [deg]

        Parameters
        ----------
        amounts : (M, N) float array
        region : Region
        """
        at = _frame_row(region_frame(self.outlines, region), region)
        away = (amounts - self.amounts) @ self.frames_per_sd[region.zone]
        return np.asarray(at[0] + away[:, 0])

    def rebuilt_at(self, amounts: Floats, region: Region) -> "MouthShapes":
        """The same, with the mouth at these amounts (N,) built exactly."""
        middle = mean_mouth(self.outlines.codes, closed_teeth(self.outlines.mouth))
        mouth = moved(middle, amounts, self.along)
        outlines = build_outlines(mouth)
        own = targets(outlines, region)
        return replace(
            self,
            outlines=outlines,
            amounts=amounts,
            targets=own,
            crowns=Crowns.of(outlines, self.codes, own.points_mouth),
        )


class LastShapes:
    """Shapes of mouths, the last ones kept: the search asks for the same again and again."""

    def __init__(self, shapes: MouthShapes) -> None:
        self._shapes = shapes
        self._last: tuple[bytes, Shapes] | None = None

    def of(self, amounts: Floats) -> Shapes:
        """Shapes of M mouths, from amounts (M, N), as `MouthShapes.of`."""
        key = amounts.tobytes()
        if self._last is None or self._last[0] != key:
            self._last = key, self._shapes.of(amounts)
        return self._last[1]


def mouth_shapes(
    present: tuple[int, ...], region: Region, closed: tuple[int, ...] = ()
) -> MouthShapes:
    """The population's middle and its directions, for teeth that are present.

    ``closed``: missing teeth whose spaces have closed, as in `mean_mouth`.

    Made in about a second and kept, since it is the same for every film.

    Our model: shapes follow the population's directions linearly, by the difference that a
    small step along each makes.
    """
    return _shapes(tuple(sorted(present)), region.side, tuple(sorted(closed)))


@lru_cache(maxsize=KEPT)
def _shapes(present: tuple[int, ...], side: Side, closed: tuple[int, ...]) -> MouthShapes:
    # Zone and format do not matter to what a side has.
    region = Region(side=side, zone=Zone.MOLAR)
    base = mean_mouth(present, closed)
    along = directions(max(code % 10 for code in present))
    outlines = build_outlines(base)
    middle = targets(outlines, region)
    codes = tuple(sorted({int(name[:2]) for name in middle.names}))
    crowns = Crowns.of(outlines, codes, middle.points_mouth)
    changes: list[dict[str, Floats]] = []
    frames = _frames(outlines, side)
    moves: dict[Zone, list[Floats]] = {zone: [] for zone in frames}
    for step in STEP_SD * np.eye(len(along)):
        there = build_outlines(moved(base, step, along))
        points = targets(there, region).points_mouth
        changes.append(Crowns.of(there, codes, points).less(crowns))
        for zone, frame in _frames(there, side).items():
            moves[zone].append(frame - frames[zone])
    per_sd = {name: np.stack([change[name] for change in changes]) / STEP_SD for name in changes[0]}
    return MouthShapes(
        outlines=outlines,
        amounts=np.zeros(len(along)),
        along=along,
        targets=middle,
        codes=codes,
        crowns=crowns,
        per_sd=Crowns(**per_sd),
        frames_per_sd={zone: np.stack(rows) / STEP_SD for zone, rows in moves.items()},
    )


def _frames(outlines: Outlines, side: Side) -> dict[Zone, Floats]:
    """The own directions of a side's regions that have teeth, as `_frame_row`."""
    found = {}
    for zone in Zone:
        region = Region(side=side, zone=zone)
        try:
            found[zone] = _frame_row(region_frame(outlines, region), region)
        except NothingToImageError:
            continue
    return found


def _frame_row(frame: RegionFrame, region: Region) -> Floats:
    """How far a chord is turned to the tongue [deg], and its middle's place [mm], (4,)."""
    # A turn of the mouth to the left, seen from above, turns a right chord's front to the tongue.
    turned = np.rad2deg(np.arctan2(frame.front_mouth[0], -frame.front_mouth[1]))
    return np.array([turned * region.front_sign, *frame.middle_mouth])


__all__ = ["Crowns", "LastShapes", "MouthShapes", "mouth_shapes"]
