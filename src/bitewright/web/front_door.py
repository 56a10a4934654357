"""One person's own server: a link that works once lets their browser in, and no one else's.

Other people who use the same computer can reach its loopback address. They cannot read the
terminal that shows the link, nor use it a second time.
"""

from secrets import compare_digest, token_urlsafe
from urllib.parse import parse_qs

from starlette.datastructures import MutableHeaders
from starlette.requests import HTTPConnection
from starlette.responses import RedirectResponse, Response
from starlette.types import ASGIApp, Receive, Scope, Send

from bitewright.errors import BitewrightError
from bitewright.web.error_answers import error_answer
from bitewright.web.guard import POLICY_VIOLATION

START = "/start"


class NotLetInError(BitewrightError):
    """A browser without this server's cookie asks for a page."""

    status_code = 403

    def __init__(self) -> None:
        super().__init__(
            "This browser has not been let in: open the address that `bitewright serve` printed "
            "when it started (it works once), or start it again for a new one."
        )


class FrontDoor:
    """Lets in the first browser that brings the token, by a cookie of its own."""

    def __init__(self, app: ASGIApp, *, token: str, port: int) -> None:
        self.app = app
        self.token: str | None = token
        self.session = token_urlsafe(32)
        # Cookies do not part ports, so two servers must not share a name.
        self.cookie = f"bitewright-{port}"

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer the link, let a known browser pass, refuse the rest."""
        if scope["type"] not in {"http", "websocket"}:
            await self.app(scope, receive, send)
            return
        caller = HTTPConnection(scope)
        if self._is_known(caller) or _is_face(scope):
            if scope["type"] == "http" and scope["path"] == START:
                await RedirectResponse("/", 303)(scope, receive, send)
                return
            await self.app(scope, receive, send)
        elif scope["type"] == "websocket":
            await send({"type": "websocket.close", "code": POLICY_VIOLATION})
        else:
            await self._answer(caller)(scope, receive, send)

    def _is_known(self, caller: HTTPConnection) -> bool:
        shown = caller.cookies.get(self.cookie, "")
        return compare_digest(shown.encode(), self.session.encode())

    def _answer(self, caller: HTTPConnection) -> Response:
        """The cookie for who brings the token, a refusal for everyone else."""
        query = parse_qs(caller.scope.get("query_string", b"").decode("latin-1"))
        brought = query.get("token", [""])[0]
        if (
            caller.scope["path"] != START
            or self.token is None
            or not compare_digest(brought.encode(), self.token.encode())
        ):
            return error_answer(caller, NotLetInError())
        welcome = RedirectResponse("/", 303)
        if caller.scope["method"] != "GET":  # a link that is only looked at stays as good as new
            return welcome
        self.token = None
        headers = MutableHeaders(raw=welcome.raw_headers)
        headers.append(
            "set-cookie", f"{self.cookie}={self.session}; Path=/; HttpOnly; SameSite=Strict"
        )
        return welcome


def _is_face(scope: Scope) -> bool:
    """Style and symbols, which hold nothing of anybody: a refusal is a page like any other."""
    return bool(scope["type"] == "http" and scope["path"].startswith("/static/"))


__all__ = ["START", "FrontDoor", "NotLetInError"]
