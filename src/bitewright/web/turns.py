"""Whose turn it is at a browser that several people share: nobody sees what another answered."""

import re
from secrets import token_urlsafe

from starlette.requests import HTTPConnection
from starlette.responses import Response

from bitewright.errors import BitewrightError

LASTS_S = 400 * 86_400
"""As long as browsers keep a cookie at all: without it the first one's answers would be shown again
while their set is there. [s]"""

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
    given = caller.cookies.get(_cookie(caller), "")
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
        _cookie(caller),
        token_urlsafe(12),
        max_age=LASTS_S,
        path="/teach",
        httponly=True,
        samesite="strict",
        secure=caller.url.scheme in {"https", "wss"},
    )


def _cookie(caller: HTTPConnection) -> str:
    """The cookie's name: cookies do not part ports, so two servers must not share one."""
    port = caller.url.port
    return "bitewright-turn" if port is None else f"bitewright-turn-{port}"


__all__ = ["OtherTurnError", "begin_turn", "check_turn", "turn_of"]
