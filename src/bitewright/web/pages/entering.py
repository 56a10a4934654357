"""Entering: links for other browsers and for a class, and the sessions there are."""

from datetime import UTC, datetime
from typing import Annotated, Any
from urllib.parse import parse_qs

from fastapi import APIRouter, Body, FastAPI, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from bitewright.web.described import REFUSALS
from bitewright.web.front_door import HERE, START
from bitewright.web.page_templates import page
from bitewright.web.sessions import Kind, Session, Sessions

router = APIRouter(responses=REFUSALS)
PAGE = "/entering"
MOST_FORM_BYTES = 1000


def add_to(app: FastAPI) -> None:
    """Register the page and what it asks for."""
    app.include_router(router)


@router.get(PAGE, response_class=HTMLResponse, include_in_schema=False)
def entering(request: Request) -> HTMLResponse:
    """Show who has been let in."""
    return _page(request)


@router.post(f"{PAGE}/link", response_class=HTMLResponse, include_in_schema=False)
async def show_link(request: Request) -> HTMLResponse:
    """Make a link and show it."""
    kind = Kind.CLASS if await _field(request, "kind") == Kind.CLASS else Kind.OWN
    return _page(request, made=kind, address=_address(request, kind))


@router.post(f"{PAGE}/links", include_in_schema=False)
def make_link(request: Request, kind: Annotated[Kind, Body(embed=True)]) -> dict[str, str]:
    """Make a link for who asks on the command line."""
    return {"kind": kind, "address": _address(request, kind)}


@router.post(f"{PAGE}/end", include_in_schema=False)
async def end(request: Request) -> Response:
    """End a session; one's own takes along what its browser kept."""
    name = await _field(request, "name")
    sessions = _sessions(request)
    if name == "class":
        sessions.close_class()
    else:
        sessions.end(name)
    answer: Response = RedirectResponse(PAGE, 303)
    if name == _mine(request).name:
        answer = page(request, "ended.html")
        answer.headers["clear-site-data"] = '"cookies", "storage"'
    return answer


def _page(request: Request, **more: Any) -> HTMLResponse:  # noqa: ANN401  what the template shows
    mine = _mine(request)
    listed = [
        {
            "name": each.name,
            "kind": each.kind.value,
            "since": datetime.fromtimestamp(each.since, UTC).astimezone().strftime("%d %B, %H:%M"),
            "is_mine": each == mine,
        }
        for each in _sessions(request).all()
    ]
    given = {"sessions": listed, "beyond": request.app.state.beyond, "made": None, "address": ""}
    return page(request, "entering.html", **given | more)


def _address(request: Request, kind: Kind) -> str:
    origin = request.app.state.origin or str(request.base_url).rstrip("/")
    return f"{origin}{START}?token={_sessions(request).add_link(kind)}"


async def _field(request: Request, name: str) -> str:
    """One field of a form as browsers send it."""
    body = (await request.body())[:MOST_FORM_BYTES]
    return parse_qs(body.decode("utf-8", "replace")).get(name, [""])[0]


def _sessions(request: Request) -> Sessions:
    found: Sessions = request.app.state.sessions
    return found


def _mine(request: Request) -> Session:
    return getattr(request.state, "session", None) or HERE


__all__ = ["add_to"]
