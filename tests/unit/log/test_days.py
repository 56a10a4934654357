"""Dates are as the calendar of the standard library has them."""

from datetime import date, timedelta

import pytest

from bitewright.log.days import day_number, day_text

EPOCH = date(1970, 1, 1)


@pytest.mark.parametrize("first", [date(1895, 11, 8), date(1999, 12, 1), date(2399, 11, 30)])
def test_each_day_has_its_number(first: date) -> None:
    for count in range(800):
        day = first + timedelta(days=count)
        assert day_number(day.isoformat()) == (day - EPOCH).days
        assert day_text((day - EPOCH).days) == day.isoformat()


@pytest.mark.parametrize("text", ["2026-02-29", "2026-13-01", "2026-00-10", "2026-04-31", "today"])
def test_what_is_no_day_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match=text[:5]):
        day_number(text)
