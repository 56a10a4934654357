"""Films of teeth given as meshes: exposed and marked as known films are, judged by their contacts.

Receptors are seated in outlines of the meshes' own sizes, since meshes tell nothing of palate and
floor; what is projected and marked are the meshes. The movement needed is told by the contacts
alone: no planner is asked about anatomy it was not made for.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from bitewright.exposing.exposure import station
from bitewright.exposing.landmarks import Landmarks
from bitewright.marking.marked_landmarks import MAGNIFICATION
from bitewright.mouth.open_direction import box_middle
from bitewright.mouth.outlines import Outlines, build_outlines
from bitewright.mouth.tooth_forms import is_upper
from bitewright.planning.best_aim import Plan, best_aim
from bitewright.quality.views import View
from bitewright.space import ClosedMesh
from bitewright.space import Pose as Movement
from trials.known_films import Equipment, KnownFilm, marked_landmarks, slipped_set_up
from trials.mouth_like import mouth_like
from trials.needed_swing import (
    TUBES_DEG,
    OpenTogether,
    azimuth_deg,
    planned_azimuth_deg,
    swung,
)
from trials.project_meshes import (
    MeshTargets,
    mesh_overlaps_mm,
    mesh_targets,
    project_meshes,
)
from trials.scanned_teeth import ScannedTeeth

Floats = NDArray[np.float64]
Pair = tuple[int, int]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ScannedView:
    """One view of a scanned dentition: what is projected, where the receptor goes, what is best.

    ``plan`` is the best exposure of outlines of the meshes' sizes, ``open`` where the meshes' own
    contacts, ``pairs``, are open from its receptor.
    """

    plan: Plan
    targets: MeshTargets
    pairs: tuple[Pair, ...]
    open: OpenTogether

    @property
    def best(self) -> Plan:
        """The plan with its tube swung to where the meshes' contacts are open; not exposed anew."""
        off = self.open.best_deg - azimuth_deg(self.plan, self.plan.exposure)
        ring = self.plan.setting.ring_offset_deg + off
        return replace(self.plan, setting=replace(self.plan.setting, ring_offset_deg=ring))


def like_outlines(teeth: ScannedTeeth, outlines: Outlines, *, jaws_related: bool) -> ScannedTeeth:
    """Teeth shifted to where outlines of their sizes have theirs, without any turn.

    By the back teeth's middles and highest points; a jaw at a time if the bite is not known.
    """
    jaws = (
        [list(teeth.meshes)]
        if jaws_related
        else [[code for code in teeth.meshes if is_upper(code) is upper] for upper in (True, False)]
    )
    placed: dict[int, ClosedMesh] = {}
    for codes in jaws:
        away = [away_mm(teeth, outlines, code) for code in codes if 4 <= code % 10 <= 7]
        shift = Movement(np.eye(3), -np.mean(away, axis=0))
        placed |= {code: teeth.meshes[code].moved(shift) for code in codes}
    return ScannedTeeth(meshes=placed)


def scanned_view(
    teeth: ScannedTeeth,
    view: View,
    equipment: Equipment,
    *,
    jaws_related: bool,
    leaving_out: Sequence[Pair] = (),
) -> ScannedView:
    """Place a dentition for a view and find where its contacts are open.

    Parameters
    ----------
    jaws_related : bool
        Whether the meshes of both jaws stand to one another as in the mouth.
    leaving_out : sequence of pairs
        Contacts of the view the tube need not open; they are marked nonetheless.
    """
    outlines = build_outlines(mouth_like(teeth, name="scanned teeth"))
    at = station(outlines, view.region, equipment.receptor, equipment.holder, equipment.tube)
    plan = best_aim(view, at)
    of = mesh_targets(like_outlines(teeth, outlines, jaws_related=jaws_related), view.region)
    return meshes_in_view(plan, of, leaving_out=leaving_out)


def meshes_in_view(plan: Plan, of: MeshTargets, *, leaving_out: Sequence[Pair] = ()) -> ScannedView:
    """Find where the contacts of meshes are open from a plan's receptor."""
    view = plan.view
    pairs = tuple(
        pair for pair in view.pairs(view.contacts) if pair in of.pairs and pair not in leaving_out
    )
    overlap = mesh_overlaps_mm(swung(plan, TUBES_DEG), of, pairs)
    together = OpenTogether.of(TUBES_DEG, overlap)
    planned = planned_azimuth_deg(plan, pairs, overlap)
    return ScannedView(
        plan=plan, targets=of, pairs=pairs, open=replace(together, planned_deg=planned)
    )


def scanned_film(
    of: ScannedView,
    generator: np.random.Generator,
    *,
    touching: bool = False,
    missing_share: float = 0.0,
) -> KnownFilm:
    """Slip from where the contacts are open, take the film of the meshes and mark it.

    ``touching`` marks contacts as if their crowns just touched in their own open directions, where
    the meshes reach into one another or stand apart: for finding out what that does.
    """
    plan = of.plan
    set_up = slipped_set_up(of.best, generator)
    exposure = set_up.exposed(plan.station)
    landmarks = project_meshes(exposure, of.targets)
    if touching:
        landmarks = _touching(landmarks, of)
    film = marked_landmarks(
        plan.view,
        plan.station,
        exposure,
        plan,
        landmarks,
        generator,
        missing_share=missing_share,
    )
    return replace(film, set_up=set_up)


def _touching(landmarks: Landmarks, of: ScannedView) -> Landmarks:
    points = landmarks.points_receptor.copy()
    for (front, back), least in zip(of.pairs, of.open.least_mm, strict=True):
        half = 0.5 * MAGNIFICATION * least * landmarks.front_sign
        points[:, landmarks.column[f"{front}.distal"], 0] += half
        points[:, landmarks.column[f"{back}.mesial"], 0] -= half
    return replace(landmarks, points_receptor=points)


def away_mm(teeth: ScannedTeeth, outlines: Outlines, code: int) -> Floats:
    """From an outline's crown to a mesh, (3,): their middles, and their highest points. [mm]"""
    return _mesh_reference(teeth, code) - _reference(outlines, code)


def _reference(outlines: Outlines, code: int) -> Floats:
    tips = [
        point
        for name, point in outlines.points_mouth.items()
        if name.startswith(f"{code}.") and name.endswith(".cusp")
    ]
    heights = [float(point[2]) for point in tips]
    highest = min(heights) if is_upper(code) else max(heights)
    return np.array([*outlines.crown_middle_mouth(code)[:2], highest])


def _mesh_reference(teeth: ScannedTeeth, code: int) -> Floats:
    height = teeth.meshes[code].vertices_mm[:, 2]
    highest = float(height.min() if is_upper(code) else height.max())
    return np.array([*box_middle(teeth.crown_points(code))[:2], highest])


__all__ = [
    "ScannedView",
    "away_mm",
    "like_outlines",
    "meshes_in_view",
    "scanned_film",
    "scanned_view",
]
