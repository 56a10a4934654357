"""The mean score that a school asks for."""

import re

from bitewright.errors import BitewrightError, quoted

BAR = 0.8
"""Mean score to be reached, unless a school names another. Our choice."""
LEAST, MOST = 0.05, 0.95
"""A bar below or above could not be passed, or not failed, on any number of items. Our choice."""


class BarError(BitewrightError):
    """A bar is no level that can be passed or failed."""

    def __init__(self, given: object) -> None:
        self.given = given
        super().__init__(
            f"The bar {quoted(given)} cannot be used: give a mean score from {LEAST} to {MOST}, "
            f"such as {BAR}, or the same as a percentage, such as {BAR:.0%}."
        )


def checked_bar(bar: float) -> float:
    """The bar itself.

    Raises
    ------
    BarError
    """
    if not LEAST <= bar <= MOST:
        raise BarError(bar)
    return bar


def bar_of_text(text: str) -> float:
    """A bar as people type it: "0.8", "0,8", "80%" and "80" are the same.

    A bare figure from 1 to 9 may be either and is refused.

    Raises
    ------
    BarError
    """
    bare = text.strip().replace(",", ".")
    number, percent = bare.removesuffix("%").rstrip(), bare.endswith("%")
    if not FIGURE.fullmatch(number):
        raise BarError(text)
    value = float(number)
    bar = round(value / 100.0, 6) if percent or value >= BARE_PERCENT else value
    if not LEAST <= bar <= MOST:
        raise BarError(text)
    return bar


BARE_PERCENT = 10.0
"""From here on a figure without its sign can only be a percentage. Our choice."""

FIGURE = re.compile(r"\d{1,3}(\.\d{1,4})?|\.\d{1,4}")

__all__ = ["BAR", "BarError", "bar_of_text", "checked_bar"]
