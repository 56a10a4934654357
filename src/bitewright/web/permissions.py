"""What a session may ask for, by its kind. Everything that is not named is refused to a class."""

import re

from bitewright.errors import BitewrightError
from bitewright.web.sessions import Kind

LOOKED_AT = ("/bench", "/light-box", "/teach", "/catalogue", "/glossary", "/static")
"""Pages that a class may open, with what belongs to them; log and audit are none of them."""

ANSWER = re.compile(r"/teach/([\w-]{1,20}/\d{1,3}/(answer|exposure)|turn)")
"""What a class may write: an answer to an exercise, the films taken for it, and that another's turn
begins in a browser."""


class NotForClassError(BitewrightError):
    """A class asks for what its link does not let it do."""

    status_code = 403

    def __init__(self) -> None:
        super().__init__(
            "A link for a class lets you look and exercise, not write: ask your teacher, whose own "
            "link does more."
        )


def may(kind: Kind, method: str | None, path: str) -> bool:
    """Whether a session of a kind may do a method (None: a websocket) on a path."""
    if kind is Kind.OWN or path == "/":
        return True
    if method == "POST":
        return ANSWER.fullmatch(path) is not None
    is_known = any(path == each or path.startswith(f"{each}/") for each in LOOKED_AT)
    return is_known and method in {None, "GET", "HEAD"}


__all__ = ["NotForClassError", "may"]
