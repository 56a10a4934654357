"""Small logs made to order for the audit's tests."""

import numpy as np

from bitewright.audit.counted_by import Dimension
from bitewright.audit.logged_exposures import LoggedExposures
from bitewright.audit.operator_aim import UNCERTAINTY
from bitewright.exposing.scatter import AimPart

FIRST_DAY = 20089  # 2025-01-01


def made_log(
    *,
    rejected: list[int] | np.ndarray,
    day: list[int] | np.ndarray | None = None,
    codes: dict[Dimension, list[int]] | None = None,
    faults: tuple[tuple[int, int, float], ...] = (),
    **columns: np.ndarray,
) -> LoggedExposures:
    """A log whose columns are given by number; labels are letters."""
    n = len(rejected)
    given = {key: np.asarray(value, dtype=np.int32) for key, value in (codes or {}).items()}
    nothing = np.full(n, np.nan, dtype=np.float32)
    aim = {part.value: nothing for part in AimPart} | {UNCERTAINTY[p]: nothing for p in AimPart}
    retake = np.asarray(columns.pop("retake", np.zeros(n)), dtype=np.bool_)
    return LoggedExposures(
        labels={key: tuple("abcdefghijklmnopqrstuvwxyz") for key in given},
        codes=given,
        day=np.asarray(FIRST_DAY + np.arange(n) if day is None else day, dtype=np.int32),
        rejected=np.asarray(rejected, dtype=np.bool_),
        retake=retake,
        retake_succeeded=np.full(n, -1, dtype=np.int8),
        rating_labels=("uk-2020:A", "uk-2020:N"),
        rating=np.asarray(columns.pop("rating", np.full(n, -1)), dtype=np.int32),
        fault_labels=("overlap", "cone cut", "movement"),
        fault_row=np.array([row for row, _, _ in faults], dtype=np.int32),
        fault=np.array([fault for _, fault, _ in faults], dtype=np.int16),
        fault_size=np.array([size for _, _, size in faults], dtype=np.float32),
        numbers=aim | {name: np.asarray(v, dtype=np.float32) for name, v in columns.items()},
    )
