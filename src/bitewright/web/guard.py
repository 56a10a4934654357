"""Who may write, and what a browser may do with an answer.

Every write and every websocket must come from our own page; every answer carries headers that let
a page load nothing but our own files.
"""

from collections.abc import Iterable, MutableMapping
from typing import Any

from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

POLICY = (
    "default-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'; "
    "object-src 'none'"
)
SECURITY_HEADERS = (
    (b"content-security-policy", POLICY.encode()),
    (b"cross-origin-opener-policy", b"same-origin"),
    (b"cross-origin-resource-policy", b"same-origin"),
    (b"permissions-policy", b"camera=(), geolocation=(), microphone=(), payment=(), usb=()"),
    # "no-referrer" would send the origin of our own forms as "null".
    (b"referrer-policy", b"same-origin"),
    (b"x-content-type-options", b"nosniff"),
    (b"x-frame-options", b"DENY"),
)
READING = frozenset({"GET", "HEAD", "OPTIONS"})
SCHEMES = {"http": "http", "https": "https", "ws": "http", "wss": "https"}
"""Of the page that a request comes from, by the request's own."""

POLICY_VIOLATION = 1008
"""Closing code of a websocket that is refused (RFC 6455, section 7.4.1)."""


class Guard:
    """Same origin only for every write and every websocket; security headers on every answer."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Refuse, or pass on."""
        if scope["type"] not in {"http", "websocket"}:
            await self.app(scope, receive, send)
            return
        if scope["type"] == "websocket":
            if not is_same_origin(scope):
                await send({"type": "websocket.close", "code": POLICY_VIOLATION})
                return
            await self.app(scope, receive, send)
            return
        with_headers = _adding_headers(send)
        if scope["method"] not in READING and not is_same_origin(scope):
            refusal = PlainTextResponse("A write from another site is refused.\n", 403)
            await refusal(scope, receive, with_headers)
            return
        await self.app(scope, receive, with_headers)


def is_same_origin(scope: MutableMapping[str, Any]) -> bool:
    """Whether a request comes from a page of ours.

    Over plain http a browser sends ``Sec-Fetch-Site`` only to a trustworthy host such as
    127.0.0.1; elsewhere ``Origin`` must name our own scheme, host and port.
    """
    headers: dict[bytes, str] = {name: value.decode("latin-1") for name, value in scope["headers"]}
    site, origin = headers.get(b"sec-fetch-site"), headers.get(b"origin")
    if site is not None:
        return site == "same-origin"
    scheme = SCHEMES.get(scope.get("scheme", "http"), "")
    return origin is not None and origin == f"{scheme}://{headers.get(b'host')}"


def _adding_headers(send: Send) -> Send:
    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            given = {name.lower() for name, _ in message["headers"]}
            added = [header for header in SECURITY_HEADERS if header[0] not in given]
            if b"cache-control" not in given:
                added.append((b"cache-control", _keeping(message["headers"])))
            message["headers"] = [*message["headers"], *added]
        await send(message)

    return sending


def _keeping(headers: Iterable[tuple[bytes, bytes]]) -> bytes:
    """Pages and static files may be kept and are asked for again; what they ask for may not.

    A browser that goes back to a page shows what it kept of it without asking.
    """
    given = {name.lower(): value for name, value in headers}
    may_keep = b"etag" in given or given.get(b"content-type", b"").startswith(b"text/html")
    return b"no-cache" if may_keep else b"no-store"


__all__ = ["POLICY", "SECURITY_HEADERS", "Guard", "is_same_origin"]
