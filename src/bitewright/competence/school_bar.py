"""The mean score that a school asks for."""

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
            f"such as {BAR}."
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


__all__ = ["BAR", "BarError", "checked_bar"]
