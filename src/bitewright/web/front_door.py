"""One person's own server: a link lets their browser in, and no one else's.

Other people who use the same computer can reach its loopback address. They cannot read the
terminal that shows the link, nor use it a second time. A class comes in by a link of another kind,
which lets it look and exercise.
"""

from secrets import compare_digest
from urllib.parse import parse_qs

from starlette.datastructures import MutableHeaders
from starlette.requests import HTTPConnection
from starlette.responses import RedirectResponse, Response
from starlette.types import ASGIApp, Receive, Scope, Send

from bitewright.errors import BitewrightError
from bitewright.tasks.serving.ask_for_link import DOOR_HEADER
from bitewright.web.error_answers import error_answer
from bitewright.web.guard import POLICY_VIOLATION
from bitewright.web.permissions import NotForClassError, may
from bitewright.web.sessions import LASTS_S, Kind, Session, Sessions

START = "/start"
HERE = Session(kind=Kind.OWN, since=0.0, digest="")
"""Who asks where nobody is asked who they are, or by the server's own note."""


class NotLetInError(BitewrightError):
    """A browser without this server's cookie asks for a page."""

    status_code = 403

    def __init__(self) -> None:
        super().__init__(
            "This browser has not been let in: open a new link in it. `bitewright link` writes one "
            "while the server runs, and so does the page Entering of a browser that is in. A link "
            "works once."
        )


class FrontDoor:
    """Lets in browsers that bring a link's token, by a cookie of their own."""

    def __init__(
        self, app: ASGIApp, *, sessions: Sessions, door: str, port: int, is_secure: bool
    ) -> None:
        self.app = app
        self.sessions = sessions
        self.door = door
        # Cookies do not part ports, so two servers must not share a name.
        self.cookie = f"bitewright-{port}"
        self.more = "; Secure" if is_secure else ""

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a link, let a known browser pass as far as it may, refuse the rest."""
        if scope["type"] not in {"http", "websocket"}:
            await self.app(scope, receive, send)
            return
        caller = HTTPConnection(scope)
        session = self._known(caller)
        refusal: Response | None = None
        if scope["type"] == "http" and scope["path"] == START:
            refusal = self._answer(caller, session)
        elif session is None and not _is_face(scope):
            refusal = error_answer(caller, NotLetInError())
        elif session is not None and not may(session.kind, scope.get("method"), scope["path"]):
            refusal = error_answer(caller, NotForClassError())
        if refusal is None:
            scope.setdefault("state", {})["session"] = session
            await self.app(scope, receive, send)
        elif scope["type"] == "websocket":
            await send({"type": "websocket.close", "code": POLICY_VIOLATION})
        else:
            await refusal(scope, receive, send)

    def _known(self, caller: HTTPConnection) -> Session | None:
        shown = caller.headers.get(DOOR_HEADER, "")
        if shown and compare_digest(shown.encode(), self.door.encode()):
            return HERE
        return self.sessions.of(caller.cookies.get(self.cookie, ""))

    def _answer(self, caller: HTTPConnection, session: Session | None) -> Response:
        """The cookie for who brings a token, a refusal for everyone else.

        What only looks whether an address is there does not use it up.
        """
        if caller.scope["method"] != "GET":
            return Response(status_code=204)
        if session is not None and session.kind is Kind.OWN:
            return RedirectResponse("/", 303)
        query = parse_qs(caller.scope.get("query_string", b"").decode("latin-1"))
        entered = self.sessions.enter(query.get("token", [""])[0])
        if entered is None:
            return RedirectResponse("/", 303) if session else error_answer(caller, NotLetInError())
        secret, made = entered
        welcome = RedirectResponse("/", 303)
        headers = MutableHeaders(raw=welcome.raw_headers)
        lasts = f"Max-Age={LASTS_S[made.kind]:.0f}; Path=/; HttpOnly; SameSite=Strict"
        headers.append("set-cookie", f"{self.cookie}={secret}; {lasts}{self.more}")
        return welcome


def _is_face(scope: Scope) -> bool:
    """Style and symbols, which hold nothing of anybody: a refusal is a page like any other."""
    return bool(scope["type"] == "http" and scope["path"].startswith("/static/"))


__all__ = ["HERE", "START", "FrontDoor", "NotLetInError"]
