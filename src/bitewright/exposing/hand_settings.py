"""Numbers that a hand sets: alike in shape, finite, and within what a hand can do."""

from collections.abc import Mapping
from dataclasses import fields

import numpy as np
from numpy.typing import NDArray

from bitewright.errors import BitewrightError

Floats = NDArray[np.float64]


class SettingValueError(BitewrightError):
    """A number of a placement or an aim is none, or beyond what can be set."""

    def __init__(self, name: str, given: float, low: float, high: float) -> None:
        self.name = name
        self.given = given
        unit = "degrees" if name.endswith("_deg") else "mm"
        shown = name.rsplit("_", 1)[0].replace("_", " ")
        super().__init__(
            f"The setting {shown} is {given:g}, must be a number from {low:g} to {high:g} {unit}: "
            "correct it."
        )


def together(setting: object, limits: Mapping[str, tuple[float, float]]) -> dict[str, Floats]:
    """All numbers of a dataclass as float arrays of one shape (E,), checked.

    Raises
    ------
    SettingValueError
    """
    names = [field.name for field in fields(setting)]  # type: ignore[arg-type]  # a dataclass
    values = [np.atleast_1d(np.asarray(getattr(setting, name), float)) for name in names]
    for name, value in zip(names, values, strict=True):
        low, high = limits[name]
        wrong = value[~((value >= low) & (value <= high))]
        if len(wrong):
            raise SettingValueError(name, float(wrong[0]), low, high)
    return dict(zip(names, np.broadcast_arrays(*values), strict=True))


__all__ = ["SettingValueError", "together"]
