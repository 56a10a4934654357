"""The base of every failure Bitewright explains to a person.

Each way to fail has its own class beside the code that raises it. A message says what was given,
what is allowed and what to do. Surfaces translate the base class once: the command line to one
sentence and exit status 1, the web to a 4xx answer. Anything else is a bug and shows a traceback.
"""


class BitewrightError(Exception):
    """Base of all failures that a user's input can cause."""


class ExtraMissingError(BitewrightError):
    """Libraries that only some need, and that are not installed."""

    def __init__(self, what: str, missing: list[str], *, extra: str) -> None:
        self.missing = missing
        self.extra = extra
        super().__init__(
            f"{what} need {', '.join(missing)}, not installed here: "
            f"`pip install 'bitewright[{extra}]'` brings what is missing."
        )


__all__ = ["BitewrightError", "ExtraMissingError"]
