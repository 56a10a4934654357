"""Whether marked crowns are as wide as those of the teeth they are named."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bitewright.exposing.landmarks import Landmarks, Status
from bitewright.mouth.population_table import crown_kind
from bitewright.mouth.tooth_forms import is_upper

Floats = NDArray[np.float64]

OWN_SHARE, TOGETHER_SHARE = 0.09, 0.12
"""Deviations of a crown's width in the image, as shares: its own, and what all of an arch have
together, for a slanting beam widens every crown and large teeth stand beside large ones. Our
choice, above the 6 to 8% of the population's crowns."""

FEWEST, CLEAR = 3, 8.0
"""Of fewer crowns nothing is said, nor where other names fit better by less than so much of twice
the logarithm of how likely they are. Our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NumberedOff:
    """Teeth of an arch that seem to be named one place too far back or to the front.

    ``codes`` as marked, ``likelier`` as their widths fit.
    """

    codes: tuple[int, ...]
    likelier: tuple[int, ...]


def numbered_off(marked: Landmarks) -> tuple[NumberedOff, ...]:
    """Arches of one film whose crowns' widths fit other teeth clearly better, one place on.

    Our model: widths in the image normal about those of the population's mean crowns, on a
    logarithmic scale.

    Parameters
    ----------
    marked : Landmarks
        Of one film.
    """
    found = []
    for widths in _by_arch(marked).values():
        if len(widths) < FEWEST:
            continue
        misfits = _by_step(widths)
        best = min(misfits, key=lambda step: misfits[step])
        if best and misfits[0] - misfits[best] > CLEAR:
            codes = tuple(sorted(widths))
            found.append(NumberedOff(codes=codes, likelier=tuple(code + best for code in codes)))
    return tuple(found)


def widths_against(marked: Landmarks, steps: tuple[int, int]) -> float:
    """Twice how much the widths' log-likelihood falls where teeth are named some places further.

    Below nought where they fit better. An arch without a crown marked at both sides says nothing.

    Parameters
    ----------
    marked : Landmarks
        Of one film.
    steps : (upper, lower)
        Each -1, 0 or 1.
    """
    fall = 0.0
    for upper, widths in _by_arch(marked).items():
        misfits = _by_step(widths)
        step = steps[0] if upper else steps[1]
        fall += misfits.get(step, misfits[0]) - misfits[0] if misfits else 0.0
    return fall


def _by_arch(marked: Landmarks) -> dict[bool, dict[int, float]]:
    """Widths of the upper and of the lower crowns. [mm at the receptor]"""
    every = _widths_mm(marked)
    return {
        upper: {code: width for code, width in every.items() if is_upper(code) is upper}
        for upper in (True, False)
    }


def _by_step(widths: dict[int, float]) -> dict[int, float]:
    """How ill an arch's widths fit, by how many places further its teeth are named."""
    named = {step: [code + step for code in widths] for step in (-1, 0, 1)}
    return {
        step: _misfit(codes, list(widths.values()))
        for step, codes in named.items()
        if codes and all(3 <= code % 10 <= 8 for code in codes)
    }


def _widths_mm(marked: Landmarks) -> dict[int, float]:
    """Widths of crowns marked at both sides, from the front back. [mm at the receptor]"""
    widths = {}
    for code in sorted({int(name[:2]) for name in marked.names}):
        edges = [f"{code}.mesial", f"{code}.distal"]
        if all(marked.status_of(edge)[0] == Status.SEEN for edge in edges):
            mesial, distal = (float(marked.points(edge)[0, 0]) for edge in edges)
            wide = marked.front_sign * (mesial - distal)
            if wide > 0.0:
                widths[code] = wide
    return widths


def _misfit(codes: list[int], widths_mm: list[float]) -> float:
    usual = np.array([crown_kind(code).mean[0] for code in codes])
    off = np.log(np.array(widths_mm) / usual)
    covariance = OWN_SHARE**2 * np.eye(len(off)) + TOGETHER_SHARE**2
    return float(off @ np.linalg.solve(covariance, off))


__all__ = ["NumberedOff", "numbered_off", "widths_against"]
