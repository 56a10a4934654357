"""Whose turn it is at a browser that several people share: nobody sees what another answered."""

import re
from secrets import token_urlsafe

from starlette.requests import HTTPConnection
from starlette.responses import Response

from bitewright.errors import BitewrightError

COOKIE = "bitewright-turn"
LASTS_S = 43_200
"""As long as a class's session. Our choice. [s]"""

TURN = re.compile(r"[\w-]{1,40}")


class OtherTurnError(BitewrightError):
    """An answer comes from a page that was opened before somebody else's turn began."""

    status_code = 409

    def __init__(self) -> None:
        super().__init__(
            "Somebody else answers in this browser now, and nothing was taken: load the page again."
        )


def turn_of(caller: HTTPConnection) -> str:
    """Whose turn it is; empty where nobody has handed the browser on."""
    given = caller.cookies.get(COOKIE, "")
    return given if TURN.fullmatch(given) else ""


def check_turn(caller: HTTPConnection, given: object) -> None:
    """Refuse what a page sends that was opened in another's turn; one that says none is let by.

    Raises
    ------
    OtherTurnError
    """
    if given is not None and given != turn_of(caller):
        raise OtherTurnError


def begin_turn(caller: HTTPConnection, answer: Response) -> None:
    """Let another's turn begin."""
    answer.set_cookie(
        COOKIE,
        token_urlsafe(12),
        max_age=LASTS_S,
        path="/teach",
        httponly=True,
        samesite="strict",
        secure=caller.url.scheme in {"https", "wss"},
    )


__all__ = ["OtherTurnError", "begin_turn", "check_turn", "turn_of"]
