"""Places read from the network's heat maps, and what it says of the whole film."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.special import expit

from bitewright.proposing.channels import CHANNEL_COUNT

Floats = NDArray[np.float64]

STRIDE_PX = 4
"""A heat map's cell takes so many of the square's pixels, as the network was trained."""

WINDOW = 7
"""A place is the mean of so many cells by so many about the highest. Our choice."""

LEAST = 0.02
"""Landmarks less likely shown than this are not looked for. Our choice."""

LEFT, NOT_UPRIGHT, BITEWING = range(CHANNEL_COUNT, CHANNEL_COUNT + 3)
"""Where the network's logits of the whole film stand, after each channel's presence."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class HeatReading:
    """What the network says of one film.

    Parameters
    ----------
    places_px : (channels, 2) float array
        Column and row on the square; zero where the film hardly shows a landmark.
    gathered : (channels,) float array
        Share of each heat map that lies about its place: near 1 where it is sure, 0 where the film
        hardly shows the landmark.
    presence : (channels,) float array
        How likely the film shows each landmark.
    front_left, not_upright, bitewing : float
        How likely the front of the mouth lies to the left, the film is upside down or on its side,
        and it is a bitewing at all.
    """

    places_px: Floats
    gathered: Floats
    presence: Floats
    front_left: float
    not_upright: float
    bitewing: float


def read_heat(heat: NDArray[np.float32], says: NDArray[np.float32]) -> HeatReading:
    """Read one film's heat maps (channels, rows, columns) and logits (channels + 3,)."""
    likely = expit(says.astype(np.float64))
    there = np.flatnonzero(likely[:CHANNEL_COUNT] > LEAST)
    places, gathered = np.zeros((CHANNEL_COUNT, 2)), np.zeros(CHANNEL_COUNT)
    places[there], gathered[there] = _peaks(heat[there])
    return HeatReading(
        places_px=places,
        gathered=gathered,
        presence=likely[:CHANNEL_COUNT],
        front_left=float(likely[LEFT]),
        not_upright=float(likely[NOT_UPRIGHT]),
        bitewing=float(likely[BITEWING]),
    )


def _peaks(heat: NDArray[np.float32]) -> tuple[Floats, Floats]:
    """Places (channels, 2) and shares gathered about them, of heat maps (channels, rows, columns).

    On the square. [px]
    """
    channels, rows, columns = heat.shape
    flat = heat.reshape(channels, rows * columns).astype(np.float64)
    highest = flat.argmax(axis=1)
    shares = np.exp(flat - flat.max(axis=1, keepdims=True))
    shares /= shares.sum(axis=1, keepdims=True)
    reach = WINDOW // 2
    wide = np.zeros((channels, rows + 2 * reach, columns + 2 * reach))
    wide[:, reach:-reach, reach:-reach] = shares.reshape(channels, rows, columns)
    row, column = np.divmod(highest, columns)
    line = np.arange(WINDOW)
    window = wide[
        np.arange(channels)[:, None, None],
        row[:, None, None] + line[None, :, None],
        column[:, None, None] + line[None, None, :],
    ]
    gathered = window.sum(axis=(1, 2))
    across = (window.sum(axis=1) @ (line - reach)) / gathered
    down = (window.sum(axis=2) @ (line - reach)) / gathered
    places = np.stack([column + across + 0.5, row + down + 0.5], axis=1) * STRIDE_PX
    return places, gathered


__all__ = ["STRIDE_PX", "HeatReading", "read_heat"]
