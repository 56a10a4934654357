"""Sockets: the roots widened by the periodontal space, from the apex to the bone's surface."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bitewright.dentition.lofts import joined, loft
from bitewright.dentition.ridge import Ridge
from bitewright.dentition.tooth_rings import AROUND, ToothRings
from bitewright.dentition.tooth_roots import ROOT_END, furcation_height, roots_of
from bitewright.space import ClosedMesh

Floats = NDArray[np.float64]
Within = Callable[[Floats], Floats]

RINGS = 22
TRUNK_RINGS = 9
CAPS = tuple(np.linspace(0.94, 0.04, 16))


@dataclass(frozen=True, slots=True, eq=False)
class SocketLimits:
    """What a socket may not leave: planes to its neighbours' sockets, and the bone's walls.

    Parameters
    ----------
    planes_mouth : (P, 4) float array
        Outward normals and offsets. [mm]
    walls : function
        Sets points (..., 3) of the mouth frame back between the bone's walls.
    below_mm : float
        How far below the bone's surface the socket ends. [mm]
    """

    planes_mouth: Floats
    walls: Within
    below_mm: float


@dataclass(frozen=True, slots=True, eq=False)
class _Piece:
    """A stack of rings in the mouth frame, and the heights its top may reach in the tooth's axes.

    A molar's trunk stays above its furcation and its roots below, wherever the crest runs. [mm]
    """

    stack: Floats
    lowest: float = -np.inf
    highest: float = np.inf


def socket_mesh(
    rings: ToothRings, ridge: Ridge, wider_mm: float, limits: SocketLimits
) -> ClosedMesh:
    """The socket of a tooth in the mouth frame, jaws closed."""
    pieces = (
        _molar_pieces(rings, ridge, wider_mm, limits.below_mm)
        if rings.is_molar
        else [_Piece(_single_stack(rings, ridge, wider_mm, limits.below_mm))]
    )
    return joined([loft(_limited(piece, rings, ridge, limits)) for piece in pieces])


def root_extent(rings: ToothRings, wider_mm: float) -> Floats:
    """Points (n, 3) over the whole root's surface in the mouth frame. [mm]"""
    root = ROOT_END * rings.tooth.root_length_mm
    if not rings.is_molar:
        heights = np.linspace(-root, 0.0, 24)
        stack = rings.at(np.repeat(heights[:, None], AROUND, axis=1), wider_mm=wider_mm)
        return rings.placed(stack).reshape(-1, 3)
    heights = np.linspace(furcation_height(rings), 0.0, 8)
    trunk = rings.at(np.repeat(heights[:, None], AROUND, axis=1), wider_mm=wider_mm)
    points = [rings.placed(trunk).reshape(-1, 3)]
    for root_ in roots_of(rings, wider_mm):
        depth = np.repeat(np.linspace(0.0, root_.length, 24)[:, None], len(root_.sector()), axis=1)
        points.append(rings.placed(root_.at(depth)).reshape(-1, 3))
    return np.concatenate(points)


def _single_stack(rings: ToothRings, ridge: Ridge, wider_mm: float, below_mm: float) -> Floats:
    end = -ROOT_END * rings.tooth.root_length_mm - wider_mm
    around = rings.at(np.full((1, AROUND), -1.0), wider_mm=wider_mm)[0]
    top = np.maximum(_top(rings, ridge, around, below_mm), end + 1.0)
    share = np.linspace(0.0, 1.0, RINGS)[:, None] ** 0.9
    return rings.placed(rings.at(end + share * (top - end), wider_mm=wider_mm))


def _molar_pieces(
    rings: ToothRings, ridge: Ridge, wider_mm: float, below_mm: float
) -> list[_Piece]:
    """Trunk and roots; with the crest below the furcation, the roots alone."""
    floor = furcation_height(rings, wider_mm)
    around = rings.at(np.full((1, AROUND), -1.0), wider_mm=wider_mm)[0]
    top = np.maximum(_top(rings, ridge, around, below_mm), floor)
    pieces = []
    if top.max() > floor + 0.1:
        share = np.linspace(0.0, 1.0, TRUNK_RINGS)[:, None]
        trunk = rings.at(floor + share * (top - floor), wider_mm=wider_mm)
        pieces.append(_Piece(rings.placed(trunk), lowest=floor))
    for root in roots_of(rings, wider_mm):
        sector = np.column_stack([root.sector(), np.full(len(root.sector()), floor)])
        start = np.clip(floor - _top(rings, ridge, sector, below_mm), 0.0, root.length - 1.0)
        share = np.linspace(1.0, 0.0, RINGS)[:, None] ** 1.4
        depth = start + share * (root.length + wider_mm - start)
        pieces.append(_Piece(rings.placed(root.at(depth)), highest=floor))
    return pieces


def _top(rings: ToothRings, ridge: Ridge, around: Floats, below_mm: float) -> Floats:
    """Height in the tooth's axes at which each point of a ring meets the bone's surface. [mm]"""
    axis = rings.outlines.axes_mouth[rings.row, 2]
    points = rings.placed(around)
    height = around[:, 2].copy()
    for _ in range(3):
        step = (ridge.depth(points) - below_mm) / abs(axis[2])
        height, points = height + step, points + step[:, None] * axis
    return height


def _limited(piece: _Piece, rings: ToothRings, ridge: Ridge, limits: SocketLimits) -> Floats:
    """Set a piece back within its limits and close its top along the bone's surface."""
    limited = piece.stack.copy()
    for plane in limits.planes_mouth:
        over = np.maximum(limited @ plane[:3] - plane[3], 0.0)
        limited -= over[..., None] * plane[:3]
    limited = limits.walls(limited)
    middle = limited[-1].mean(axis=0)
    top = np.stack([middle + scale * (limited[-1] - middle) for scale in (1.0, *CAPS)])
    station, offset = ridge.place(top)
    top[..., 2] = ridge.crest(station, offset) + ridge.rootward * limits.below_mm
    own = rings.unplaced(top)
    own[..., 2] = np.clip(own[..., 2], piece.lowest, piece.highest)
    return np.concatenate([limited[:-1], rings.placed(own)])


__all__ = ["SocketLimits", "root_extent", "socket_mesh"]
