"""Tube settings by view, retakes as a share of exposures, and dose where an output was measured."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bitewright.audit.counted_by import Dimension, Event
from bitewright.audit.groupings import by_dimension
from bitewright.audit.logged_exposures import LoggedExposures
from bitewright.audit.proportions import Share
from bitewright.audit.rates import rates_by

VOLTAGE, CURRENT, TIME = "tube_voltage_kv", "tube_current_ma", "exposure_time_s"
SAME_KV = 0.5
"""A measured output holds for settings whose voltage differs by no more. Our choice. [kV]"""

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """The middle of some numbers with their ends: median, least and most; of how many."""

    middle: float
    least: float
    most: float
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class MeasuredOutput:
    """What somebody measured: entrance air kerma in air at the end of the tube, at one setting.

    Parameters
    ----------
    day : int
        When. [days since 1970-01-01]
    room : str
        Where; empty: the only tube there is.
    tube_voltage_kv, tube_current_ma, exposure_time_s : float
        The setting.
    entrance_mgy : float
        What was read. [mGy]
    measured_by : str
    """

    day: int
    room: str
    tube_voltage_kv: float
    tube_current_ma: float
    exposure_time_s: float
    entrance_mgy: float
    measured_by: str

    @property
    def mgy_per_mas(self) -> float:
        """Output for each milliampere second. [mGy/mAs]"""
        return self.entrance_mgy / (self.tube_current_ma * self.exposure_time_s)


@dataclass(frozen=True, slots=True, kw_only=True)
class ReferenceLevel:
    """A level that others published. [mGy]"""

    title: str
    entrance_mgy: float
    country: str
    year: int
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ViewDose:
    """One view's settings, dose and retakes; a spread is None where nothing was logged of it.

    ``retakes``: exposures that were retakes themselves, of all of this view.
    """

    view: str
    exposures: int
    tube_voltage_kv: Spread | None
    tube_current_ma: Spread | None
    exposure_time_s: Spread | None
    entrance_mgy: Spread | None
    retakes: Share


def dose_by_view(
    log: LoggedExposures, outputs: Sequence[MeasuredOutput]
) -> tuple[tuple[ViewDose, ...], ViewDose]:
    """Every view, and all exposures together."""
    dose = entrance_mgy(log, outputs)
    columns = (log.number(VOLTAGE), log.number(CURRENT), log.number(TIME), dose)
    table = rates_by(log, by_dimension(log, Dimension.VIEW), Event.RETAKE)
    views, names = log.code(Dimension.VIEW), log.names(Dimension.VIEW)

    def row(view: str, chosen: NDArray[np.bool_], retakes: Share) -> ViewDose:
        voltage, current, time, mgy = (spread_of(column[chosen]) for column in columns)
        return ViewDose(
            view=view,
            exposures=int(chosen.sum()),
            tube_voltage_kv=voltage,
            tube_current_ma=current,
            exposure_time_s=time,
            entrance_mgy=mgy,
            retakes=retakes,
        )

    rows = tuple(
        row(label, views == names.index(label), share)
        for label, share in zip(table.labels, table.shares, strict=True)
    )
    return rows, row("", np.ones(len(log), dtype=np.bool_), table.overall)


def entrance_mgy(log: LoggedExposures, outputs: Sequence[MeasuredOutput]) -> Floats:
    """Entrance air kerma of each exposure (N,), NaN where no output was measured for it. [mGy]

    At one voltage, distance and filter output grows in step with current times time (textbooks). It
    is worked out from the latest measurement up to the exposure's day, or the first after it, of
    its room and voltage; never carried over to another voltage.
    """
    kv, mas = log.number(VOLTAGE), log.number(CURRENT) * log.number(TIME)
    rooms, names = log.code(Dimension.ROOM), list(log.names(Dimension.ROOM))
    out = np.full(len(log), np.nan)
    told = np.zeros(len(log), dtype=np.bool_)
    latest_first = sorted(outputs, key=lambda each: -each.day)
    for is_before in (True, False):
        for each in latest_first if is_before else reversed(latest_first):
            here = ~told & (np.abs(kv - each.tube_voltage_kv) <= SAME_KV) & ~np.isnan(mas)
            if each.room:
                here &= rooms == (names.index(each.room) if each.room in names else -2)
            if is_before:
                here &= log.day >= each.day
            out[here] = mas[here] * each.mgy_per_mas
            told |= here
    return out


def spread_of(values: NDArray[np.floating]) -> Spread | None:
    """Median and ends of the numbers (N,) that are given; None where all are NaN."""
    known = np.asarray(values[~np.isnan(values)], dtype=np.float64)
    if not len(known):
        return None
    return Spread(
        middle=float(np.median(known)),
        least=float(known.min()),
        most=float(known.max()),
        count=len(known),
    )


__all__ = [
    "MeasuredOutput",
    "ReferenceLevel",
    "Spread",
    "ViewDose",
    "dose_by_view",
    "entrance_mgy",
    "spread_of",
]
