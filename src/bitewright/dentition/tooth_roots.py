"""Roots: one cone, or a trunk that branches at the furcation without overlap.

At the furcation the trunk's ring is parted by straight cuts through its middle into one sector a
root; each sector turns into an ellipse on the way down. A root never leaves its sector, so the
pieces touch along cuts and faces and never overlap: lengths through them simply add up.
Forms and spreads are our choice, after general anatomy; root ends are the outlines' apex points.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bitewright.dentition.lofts import loft
from bitewright.dentition.tooth_rings import AROUND, ToothRings, smooth_step
from bitewright.space import ClosedMesh

Floats = NDArray[np.float64]

FURCATION_MM = {True: (3.6, 4.2), False: (3.1, 3.6)}
"""Depth below the junction: upper and lower, first and second molars. Our choice."""

ROOT_RINGS = 20
CHORD_POINTS = 7
TURNING_MM = 2.6
"""Depth over which a sector turns into a round root. Our choice."""

ROOT_END = 0.985
"""Share of its length at which a root's last ring lies; a point closes it at the apex."""


@dataclass(frozen=True, slots=True)
class RootPlan:
    """One root of a molar, as shares of the cervical width and breadth.

    ``start``: where its middle leaves the trunk; ``half``: half axes there; ``sector``: the points
    of the ring between which it stands, as shares of a turn from mesial towards the cheek.
    """

    start: tuple[float, float]
    half: tuple[float, float]
    sector: tuple[float, float]


PLANS = {
    True: {
        "mesiobuccal": RootPlan((0.255, 0.22), (0.20, 0.25), (-0.06, 0.25)),
        "distobuccal": RootPlan((-0.27, 0.21), (0.185, 0.22), (0.25, 0.56)),
        "lingual": RootPlan((-0.02, -0.25), (0.26, 0.20), (0.56, 0.94)),
    },
    False: {
        "mesial": RootPlan((0.275, 0.0), (0.19, 0.46), (-0.25, 0.25)),
        "distal": RootPlan((-0.275, 0.0), (0.19, 0.42), (0.25, 0.75)),
    },
}


@dataclass(frozen=True, slots=True, eq=False)
class Root:
    """One root of a molar: rings from its sector of the trunk's ring to its apex. [mm]

    ``wider_mm`` makes it a socket: all round by so much, the furcation deeper by as much.
    """

    rings: ToothRings
    plan: RootPlan
    apex: Floats
    wider_mm: float

    @property
    def furcation(self) -> float:
        """Height of the furcation, below zero. [mm]"""
        return furcation_height(self.rings, self.wider_mm)

    @property
    def length(self) -> float:
        """From the furcation to the last ring. [mm]"""
        return ROOT_END * self.rings.tooth.root_length_mm + self.furcation

    def sector(self) -> Floats:
        """Its part of the trunk's ring at the furcation, closed by cuts through the middle."""
        trunk = trunk_ring(self.rings, self.wider_mm)
        first, last = (round(share * AROUND) for share in self.plan.sector)
        arc = trunk[np.arange(first, last + 1) % AROUND, :2]
        middle = trunk[:, :2].mean(axis=0)
        share = np.linspace(0.0, 1.0, CHORD_POINTS + 1)[1:, None]
        back = arc[-1] + share * (middle - arc[-1])
        out = middle + share[:-1] * (arc[0] - middle)
        return np.vstack([arc, back, out])

    def at(self, depth: Floats) -> Floats:
        """Rings (K, S, 3) at depths (K, S) below the furcation. [mm]"""
        sector = self.sector()
        share = np.clip(depth / self.length, 0.0, 1.0)[..., None]
        part = np.clip(depth / TURNING_MM, 0.0, 1.0)
        opening = np.sqrt(part * (2.0 - part))  # rises like a circle: a round furcation
        inner = _inner(len(sector))
        turned = inner * opening + (1.0 - inner) * smooth_step(0.6 * depth / TURNING_MM)
        round_ = self.middle(share) + self._ellipse(sector - self.middle(np.zeros(1)), share)
        flat = sector + turned[..., None] * (round_ - sector)
        height = self.furcation - depth
        return np.concatenate([self._kept(flat, sector), height[..., None]], axis=-1)

    def middle(self, share: Floats) -> Floats:
        """Its axis (..., 2) at shares (..., 1) of its length. [mm]"""
        start = self.start()
        return np.asarray(start + (self.apex - start) * share**1.3)

    def start(self) -> Floats:
        """Where its axis leaves the trunk. [mm]"""
        x, y = np.array(self.plan.start) * _cervix(self.rings)
        return np.array([x + self.rings.shear * y, y])

    def _ellipse(self, around: Floats, share: Floats) -> Floats:
        """Points of the root's section in the directions of the sector's points."""
        taper = (1.0 - 0.52 * share**1.1) * np.sqrt(1.0 - 0.97 * share**7)
        half = np.array(self.plan.half) * _cervix(self.rings)
        half = half * taper + self.wider_mm
        direction = around / np.linalg.norm(around, axis=-1)[..., None]
        reach = 1.0 / np.linalg.norm(direction / half, axis=-1)[..., None]
        return np.asarray(reach * direction)

    def _kept(self, points: Floats, sector: Floats) -> Floats:
        """Points that would leave the sector, set back onto its cuts."""
        middle = sector[-CHORD_POINTS]
        kept = points.copy()
        last = len(sector) - 2 * CHORD_POINTS
        for end, turn in ((sector[0], 1.0), (sector[last], -1.0)):
            along = (end - middle) / np.linalg.norm(end - middle)
            normal = turn * np.array([-along[1], along[0]])
            inner = np.minimum((kept - middle) @ normal, 0.0)
            kept -= inner[..., None] * normal
        return kept


def roots_of(rings: ToothRings, wider_mm: float = 0.0) -> tuple[Root, ...]:
    """The roots of a molar, in the order of its named root ends."""
    plans = PLANS[rings.is_upper].values()
    return tuple(
        Root(rings, plan, apex, wider_mm) for plan, apex in zip(plans, rings.apices(), strict=True)
    )


def furcation_height(rings: ToothRings, wider_mm: float = 0.0) -> float:
    """Height of a molar's furcation, at most a third of its root deep. [mm]"""
    depth = FURCATION_MM[rings.is_upper][0 if rings.place == 6 else 1]
    return -min(depth, 0.34 * rings.tooth.root_length_mm) - 1.2 * wider_mm


def trunk_ring(rings: ToothRings, wider_mm: float = 0.0) -> Floats:
    """The ring (M, 3) of a molar's trunk at its furcation. [mm]"""
    height = np.full((1, AROUND), furcation_height(rings, wider_mm))
    return np.asarray(rings.at(height, wider_mm=wider_mm)[0])


def root_meshes(rings: ToothRings) -> tuple[ClosedMesh, ...]:
    """A molar's roots below the furcation, in the mouth frame, jaws closed."""
    meshes = []
    for root in roots_of(rings):
        depths = root.length * np.linspace(0.0, 1.0, ROOT_RINGS) ** 1.4
        count = len(root.sector())
        tip = np.array([*root.apex, -rings.tooth.root_length_mm])
        placed = rings.placed(root.at(np.repeat(depths[:, None], count, axis=1)))
        meshes.append(loft(placed, end=rings.placed(tip)))
    return tuple(meshes)


def _inner(count: int) -> Floats:
    """1 for a sector's points on its cuts, falling to 0 for those furthest out on the ring."""
    arc = count - 2 * CHORD_POINTS + 1
    return np.concatenate([np.linspace(-1.0, 1.0, arc) ** 6, np.ones(count - arc)])


def _cervix(rings: ToothRings) -> Floats:
    return np.array([rings.tooth.md_cervix_mm, rings.tooth.bl_cervix_mm])


__all__ = ["ROOT_END", "Root", "furcation_height", "root_meshes", "roots_of", "trunk_ring"]
