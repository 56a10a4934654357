"""The base of every failure Bitewright explains to a person.

Each way to fail has its own class beside the code that raises it. A message says what was given,
what is allowed and what to do. Surfaces translate the base class once: the command line to one
sentence and exit status 1, the web to a 4xx answer. Anything else is a bug and shows a traceback.
"""


class BitewrightError(Exception):
    """Base of all failures that a user's input can cause."""


__all__ = ["BitewrightError"]
