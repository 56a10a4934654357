"""Faults of beam and exposure: cone cuts, movement, two exposures on one receptor.

Figures: ``tables/beam_faults.toml``.
"""

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from bitewright.exposing.clear_edge import RoundEdge, StraightEdge
from bitewright.figure_tables import figures_of

Image = NDArray[np.float32]

MOVEMENT_STEPS = 9
"""A movement is the mean of so many places."""


def cone_cut_round(signal: Image, pixel_mm: float, size: float) -> Image:
    """A round field whose middle lies off, so that a crescent (rows, columns) is missed.

    Parameters
    ----------
    signal : (rows, columns) float32 array
        Share of the open beam's signal.
    pixel_mm : float
        [mm]
    size : float
        Times as large as usual.
    """
    return _cut(signal, round_edge(size).inside_mm(*places_mm(signal.shape, pixel_mm)))


def cone_cut_rectangular(signal: Image, pixel_mm: float, size: float) -> Image:
    """A straight edge across the film, a little askew; else as `cone_cut_round`, same shape."""
    edge = straight_edge(size, half_width_mm=0.5 * signal.shape[1] * pixel_mm)
    return _cut(signal, edge.inside_mm(*places_mm(signal.shape, pixel_mm)))


def round_edge(size: float) -> RoundEdge:
    """The edge that `cone_cut_round` leaves, in the receptor's plane."""
    form = BEAM.cone_cut
    return RoundEdge(
        centre_u_mm=-form.off_mm - form.off_grows_mm * size,
        centre_v_mm=form.down_mm,
        radius_mm=form.radius_mm,
    )


def straight_edge(size: float, *, half_width_mm: float) -> StraightEdge:
    """The edge that `cone_cut_rectangular` leaves on a film of this half width. [mm]"""
    form = BEAM.cone_cut
    return StraightEdge(
        across_u=float(np.cos(form.askew_rad)),
        across_v=float(np.sin(form.askew_rad)),
        reach_mm=half_width_mm - form.straight_in_mm * size,
    )


def _cut(signal: Image, inside_mm: NDArray[np.floating[Any]]) -> Image:
    """What a field with a soft edge leaves."""
    share = np.clip(0.5 + inside_mm / BEAM.cone_cut.edge_mm, 0.0, 1.0)
    return np.asarray(signal * share, dtype=np.float32)


def moved_while_exposed(signal: Image, pixel_mm: float, size: float) -> Image:
    """Patient or tube moved, half of the time still; else as `cone_cut_round`, same shape."""
    from scipy import ndimage  # noqa: PLC0415  slow to load, and most films have no fault

    form = BEAM.movement
    places = np.linspace(0.0, 1.0, MOVEMENT_STEPS) ** form.still_power
    step = form.along_mm * size / pixel_mm * np.array([form.down_share, 1.0])
    moved = [ndimage.shift(signal, place * step, order=1, mode="nearest") for place in places]
    return np.asarray(np.mean(moved, axis=0), dtype=np.float32)


def exposed_twice(signal: Image, pixel_mm: float, size: float) -> Image:
    """The same receptor exposed again, upside down and set further; else as `cone_cut_round`.

    Same shape.
    """
    from scipy import ndimage  # noqa: PLC0415  slow to load, and most films have no fault

    form = BEAM.double_exposure
    further = form.further_mm * size / pixel_mm
    other = ndimage.shift(signal[::-1, ::-1], (0.0, further), order=1, mode="reflect")
    return np.asarray(signal + form.times * other, dtype=np.float32)


def places_mm(shape: tuple[int, ...], pixel_mm: float) -> tuple[Image, Image]:
    """How far pixels lie right of and below an image's middle, (1, columns) and (rows, 1). [mm]"""
    v, u = (pixel_mm * (np.arange(n, dtype=np.float32) - 0.5 * (n - 1)) for n in shape)
    return u[None, :], v[:, None]


class WrongExposure(NamedTuple):
    """Too little and too much exposure."""

    under_times: float
    over_times: float


class ConeCut(NamedTuple):
    """Where a field misses the film."""

    radius_mm: float
    off_mm: float
    off_grows_mm: float
    down_mm: float
    edge_mm: float
    straight_in_mm: float
    askew_rad: float


class MovementFault(NamedTuple):
    """How patient or tube moved."""

    along_mm: float
    down_share: float
    still_power: float


class DoubleExposure(NamedTuple):
    """How a receptor was exposed again."""

    further_mm: float
    times: float


class BeamFaults(NamedTuple):
    """Faults of beam and exposure at their usual size."""

    exposure: WrongExposure
    cone_cut: ConeCut
    movement: MovementFault
    double_exposure: DoubleExposure


BEAM = figures_of(BeamFaults, "bitewright.film", "beam_faults")

__all__ = [
    "BEAM",
    "cone_cut_rectangular",
    "cone_cut_round",
    "exposed_twice",
    "moved_while_exposed",
    "places_mm",
    "round_edge",
    "straight_edge",
]
