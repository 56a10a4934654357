"""Mouths whose teeth are meshes on the mouth's own roots and bone, filmed as any other mouth is.

Each of the mouth's own teeth is moved to where the mesh stands, its root, neck and bone with it, so
that what a mesh does not tell is known. A film shows the meshes' edges where their silhouettes lie.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from bitewright.exposing.beam_cover import cut_landmarks
from bitewright.exposing.clear_edge import ClearEdge
from bitewright.exposing.exposure import Exposures
from bitewright.exposing.landmarks import Landmarks
from bitewright.exposing.region import Region
from bitewright.film.film_mouth import film_mouth, tooth_piece
from bitewright.film.film_parts import Facts, FilmMouth, Piece
from bitewright.mouth.numbering import Side
from bitewright.mouth.outlines import Outlines
from bitewright.mouth.tooth_forms import is_right
from bitewright.quality.criteria import Question
from bitewright.quality.predicted import Asked
from bitewright.solids.placed_tooth import PlacedTooth, placed_teeth
from bitewright.solids.tooth_shells import ToothShells, tooth_shells
from bitewright.space import ClosedMesh
from trials.crowned_teeth import shells_of_mesh
from trials.scanned_films import away_mm
from trials.scanned_teeth import ScannedTeeth
from trials.solid_films import SolidCrown, crown_of, judged_of_solids

Floats = NDArray[np.float64]

FIRST_PLACE = 2
"""Meshes from the lateral incisor back take the places of the mouth's own teeth."""


@dataclass(frozen=True, slots=False, kw_only=True, eq=False)
class CrownedMouth:
    """A mouth whose teeth are meshes; the jaws closed.

    Parameters
    ----------
    outlines : Outlines
        Of the mouth's own teeth, each where its mesh stands; junctions and crests on the solids.
    shells : mapping of ISO 3950 code to ToothShells
        Of each tooth that is a mesh, in its own axes; of all others the mouth's own solids. [mm]
    """

    outlines: Outlines
    shells: dict[int, ToothShells]

    def film_mouth(self, region: Region, piece: Piece) -> FilmMouth:
        """All that casts a shadow on a film of a region; ``piece`` as `film_mouth` asks for it."""
        codes = tuple(code for code in self.shells if code // 10 in region.quadrants)
        placed = placed_teeth(self.outlines, codes) if codes else ()
        of_kind = {each.kind: self.shells[each.code] for each in placed}

        def own(facts: Facts, build: Callable[[], FilmMouth]) -> FilmMouth:
            if facts["piece"] == "tooth" and facts["kind"] in of_kind:
                return tooth_piece(of_kind[int(str(facts["kind"]))])
            return piece(facts, build)

        return film_mouth(self.outlines, region, piece=own)

    def landmarks(self, exposure: Exposures, of: Asked, cut: ClearEdge | None) -> Landmarks:
        """Where one exposure shows them: the crowns' edges by their silhouettes."""
        names = of.targets.names[: len(of.targets.flanks_mouth)]
        crowns = {code: self._crown(code) for code in {int(name[:2]) for name in names}}
        found = judged_of_solids(exposure, of, crowns, Question.ENAMEL).landmarks
        return found if cut is None else cut_landmarks(found, cut)

    def is_sure(self, name: str) -> bool:
        """Whether the place of a landmark is a mesh's own: an edge beside a tooth that stands.

        Junctions lie where the mouth's own crown would end, and crests follow them. A free edge
        of a tilted crown may be told too near its neck.
        """
        code, kind = int(name[:2]), name[3:]
        if code not in self.shells:
            return True
        beside = {"mesial": code - 1, "distal": code + 1}.get(kind)
        return beside in self.outlines.codes and code % 10 + (1 if kind == "distal" else -1) >= 3

    def _crown(self, code: int) -> SolidCrown:
        if code not in self._made:
            row = self.outlines.row[code]
            axes, origin = self.outlines.axes_mouth[row], self.outlines.origins_mouth[row]
            if code in self.shells:
                outer = self.shells[code].outer.in_axes(axes, origin)
            else:
                outer = tooth_shells(self.outlines, (code,))[0].outer
            self._made[code] = crown_of(outer, axes, origin)
        return self._made[code]

    @cached_property
    def _made(self) -> dict[int, SolidCrown]:
        return {}


def crowned_mouth(
    outlines: Outlines,
    teeth: ScannedTeeth,
    side: Side,
    *,
    have_roots: bool,
    own: Mapping[int, ClosedMesh] | None = None,
) -> CrownedMouth:
    """A mouth whose teeth on one side are meshes wherever there are any, from the lateral incisor.

    Parameters
    ----------
    outlines : Outlines
        Of a mouth with about such teeth in about these places.
    teeth : ScannedTeeth
    side : Side
        Only this one is to be filmed.
    have_roots : bool
        Whether the meshes are whole teeth, not crowns alone.
    own : mapping of ISO 3950 code to ClosedMesh, optional
        Solids of the mouth's own among the meshes, as they stood before they were moved. [mm]
    """
    own = own or {}
    codes = tuple(
        code
        for code in outlines.codes
        if code in teeth.meshes
        and code not in own
        and code % 10 >= FIRST_PLACE
        and is_right(code) == (side is Side.RIGHT)
    )
    away = {code: away_mm(teeth, outlines, code) for code in codes}
    for code, before in own.items():
        away[code] = (teeth.meshes[code].vertices_mm - before.vertices_mm).mean(axis=0)
    moved = _moved(outlines, away)
    shells, points = {}, dict(moved.points_mouth)
    for placed in placed_teeth(moved, codes):
        axes, origin = moved.axes_mouth[placed.row], moved.origins_mouth[placed.row]
        mesh = teeth.meshes[placed.code].in_axes(axes.T, -axes @ origin)
        made = shells_of_mesh(placed, mesh, has_root=have_roots)
        shells[placed.code] = made
        points |= _on_surface(placed, made.outer, points, axes, origin)
    return CrownedMouth(outlines=replace(moved, points_mouth=points), shells=shells)


def _moved(outlines: Outlines, away: dict[int, Floats]) -> Outlines:
    """The same outlines, some teeth and all their points moved. [mm]"""
    by_row = np.array([away.get(code, np.zeros(3)) for code in outlines.codes])
    return replace(
        outlines,
        origins_mouth=outlines.origins_mouth + by_row,
        flanks_mouth=outlines.flanks_mouth + by_row[:, None, None, None],
        points_mouth={
            name: point + away.get(int(name[:2]), np.zeros(3))
            for name, point in outlines.points_mouth.items()
        },
    )


def _on_surface(
    placed: PlacedTooth, outer: ClosedMesh, points: dict[str, Floats], axes: Floats, origin: Floats
) -> dict[str, Floats]:
    """Junctions and crests of a tooth at their heights, on the solid's own sides."""
    found = {}
    for side, way in (("mesial", 1.0), ("distal", -1.0)):
        for feature in ("cej", "crest"):
            name = f"{placed.code}.{side}.{feature}"
            own = (points[name] - origin) @ axes.T
            reach = _reach_mm(outer, own, way)
            if reach is not None:
                own[0] = reach
            found[name] = own @ axes + origin
    return found


def _reach_mm(mesh: ClosedMesh, at: Floats, way: float) -> float | None:
    """How far a surface reaches along the first axis at a place's other two; None where nowhere."""
    corners = mesh.vertices_mm[mesh.triangles]
    low, high = corners[..., 1:].min(axis=1), corners[..., 1:].max(axis=1)
    a, b, c = np.moveaxis(corners[((low <= at[1:]) & (high >= at[1:])).all(axis=1)], 1, 0)
    p = at[1:]

    def twice(one: Floats, other: Floats) -> Floats:
        return np.asarray(
            (one[:, 1] - p[0]) * (other[:, 2] - p[1]) - (one[:, 2] - p[1]) * (other[:, 1] - p[0])
        )

    shares = np.stack([twice(b, c), twice(c, a), twice(a, b)])
    area = shares.sum(axis=0)
    shares = shares[:, area != 0.0] / area[area != 0.0]
    firsts = np.stack([a, b, c])[:, area != 0.0, 0]
    met = (shares >= 0.0).all(axis=0)
    if not met.any():
        return None
    return float(way * (way * (shares * firsts).sum(axis=0)[met]).max())


__all__ = ["CrownedMouth", "crowned_mouth"]
