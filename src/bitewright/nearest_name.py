"""Which of the names there are a mistyped one was likely meant to be."""

from collections.abc import Iterable
from difflib import get_close_matches

LEAST_ALIKE = 0.6
"""Our choice: less alike than this (0 to 1, as difflib reckons) is no slip of the hand."""


def meant(given: object, known: Iterable[str]) -> str:
    """A question to add to a sentence about an unknown name, such as " Did you mean 'tab'?".

    Parameters
    ----------
    given : object
        What was given for a name.
    known : iterable of str
        The names there are.

    Returns
    -------
    str
        Begins with a space; empty if no name is near.
    """
    names = list(known)
    lower = {name.lower(): name for name in names}
    near = get_close_matches(str(given)[:80].strip().lower(), lower, n=1, cutoff=LEAST_ALIKE)
    return f" Did you mean '{lower[near[0]]}'?" if near else ""


__all__ = ["meant"]
