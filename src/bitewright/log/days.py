"""Dates as days since 1970-01-01, without a clock and without a library to wait for."""

from calendar import monthrange, timegm
from functools import lru_cache

DAY_S = 86_400


@lru_cache(maxsize=65536)
def day_number(day: str) -> int:
    """Days from 1970-01-01 to an ISO date; ValueError if there is no such day."""
    year, month, date = (int(part) for part in day.split("-"))
    if not (1 <= month <= 12 and 1 <= date <= monthrange(year, month)[1]):
        raise ValueError(day)
    return timegm((year, month, date, 0, 0, 0)) // DAY_S


def day_text(number: int) -> str:
    """ISO date of a number of days since 1970-01-01.

    Source: Hinnant H, chrono-compatible low-level date algorithms,
    https://howardhinnant.github.io/date_algorithms.html (from memory).
    """
    era, day = divmod(number + 719_468, 146_097)  # of 400 years, that begin on a first of March
    year = (day - day // 1_460 + day // 36_524 - day // 146_096) // 365
    day -= 365 * year + year // 4 - year // 100
    month = (5 * day + 2) // 153
    date = day - (153 * month + 2) // 5 + 1
    return f"{400 * era + year + month // 10:04d}-{(month + 2) % 12 + 1:02d}-{date:02d}"


__all__ = ["day_number", "day_text"]
