"""A patient's limits, entered in a word, and what they are taken to be in the mouth."""

import tomllib
from collections.abc import Iterable
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import lru_cache
from importlib.resources import files
from types import MappingProxyType

from bitewright.errors import BitewrightError
from bitewright.mouth.mouth import LIMITS, Room


class PatientOpeningError(BitewrightError):
    """A patient's front teeth were said to part by no distance that a mouth can have."""

    def __init__(self, opens_mm: float) -> None:
        self.opens_mm = opens_mm
        low, high, unit = LIMITS["opening_limit_mm"]
        super().__init__(
            f"This patient's front teeth were said to part by {opens_mm:g} {unit}: give a number "
            f"from {low:g} to {high:g}."
        )


class PatientLimit(StrEnum):
    """What makes a receptor hard to place in a patient."""

    SHALLOW_PALATE = "shallow-palate"
    SHALLOW_FLOOR = "shallow-floor"
    UPPER_TORUS = "upper-torus"
    LOWER_TORI = "lower-tori"
    GAGS = "gags"
    PAIN = "pain"
    SHORT_JAW = "short-jaw"


@dataclass(frozen=True, slots=True, kw_only=True)
class AssumedLimit:
    """What one limit is taken to be, as ``patient_limits.toml`` has it. [mm]"""

    title: str
    says: str
    palate_depth_mm: float = float("inf")
    floor_depth_mm: float = float("inf")
    palate_less_mm: float = 0.0
    floor_less_mm: float = 0.0
    least_space_mm: float = 0.0
    behind_last_mm: float = float("inf")


@dataclass(frozen=True, slots=True, kw_only=True)
class Patient:
    """A patient's limits.

    Parameters
    ----------
    limits : frozenset of PatientLimit
    opens_mm : float or None
        How far the front teeth part; as the mouth's description has it, if None. [mm]
    """

    limits: frozenset[PatientLimit] = frozenset()
    opens_mm: float | None = None

    def room(self, of_mouth: Room) -> Room:
        """A mouth's room with the limits in it, nothing below what a mouth's description takes."""
        assumed = self.assumed
        palate = min([of_mouth.palate_depth_mm, *(each.palate_depth_mm for each in assumed)])
        floor = min([of_mouth.floor_depth_mm, *(each.floor_depth_mm for each in assumed)])
        return replace(
            of_mouth,
            palate_depth_mm=_least(
                "palate_depth_mm", palate - sum(each.palate_less_mm for each in assumed)
            ),
            floor_depth_mm=_least(
                "floor_depth_mm", floor - sum(each.floor_less_mm for each in assumed)
            ),
            opening_limit_mm=of_mouth.opening_limit_mm if self.opens_mm is None else self.opens_mm,
        )

    @property
    def assumed(self) -> tuple[AssumedLimit, ...]:
        """What is assumed, in the order of the table."""
        return tuple(row for name, row in assumed_limits().items() if name in self.limits)

    @property
    def least_space_mm(self) -> float:
        """The receptor keeps at least so far from the crowns. [mm]"""
        return max([0.0, *(each.least_space_mm for each in self.assumed)])

    @property
    def behind_last_mm(self) -> float:
        """The receptor's back edge goes no further behind the last tooth. [mm]"""
        return min([float("inf"), *(each.behind_last_mm for each in self.assumed)])


NO_LIMITS = Patient()


def patient(limits: Iterable[PatientLimit], opens_mm: float | None = None) -> Patient:
    """A patient of some limits.

    Raises
    ------
    PatientOpeningError
    """
    low, high, _ = LIMITS["opening_limit_mm"]
    if opens_mm is not None and not low <= opens_mm <= high:
        raise PatientOpeningError(opens_mm)
    return Patient(limits=frozenset(limits), opens_mm=opens_mm)


def _least(field: str, value: float) -> float:
    return max(value, LIMITS[field][0])


@lru_cache(maxsize=1)
def assumed_limits() -> MappingProxyType[PatientLimit, AssumedLimit]:
    """What is assumed of every limit."""
    text = (files("bitewright.planning") / "tables" / "patient_limits.toml").read_text("utf-8")
    table = tomllib.loads(text)
    return MappingProxyType({limit: AssumedLimit(**table[limit.value]) for limit in PatientLimit})


__all__ = [
    "NO_LIMITS",
    "AssumedLimit",
    "Patient",
    "PatientLimit",
    "PatientOpeningError",
    "assumed_limits",
    "patient",
]
