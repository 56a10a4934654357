"""The application: every page, the guard before them, one place where failures are told."""

from dataclasses import dataclass

from fastapi import FastAPI
from starlette.middleware.trustedhost import TrustedHostMiddleware
from starlette.responses import RedirectResponse
from starlette.staticfiles import StaticFiles

from bitewright import __version__
from bitewright.web.described import describe
from bitewright.web.error_answers import add_error_answers
from bitewright.web.front_door import FrontDoor
from bitewright.web.guard import Guard
from bitewright.web.pages import (
    audit,
    bench,
    catalogue,
    chair_checklists,
    competence,
    entering,
    explanations,
    glossary,
    light_box,
    log,
    own_films,
    proposals,
    recalls,
    record,
    record_settings,
    teach,
    visit_plans,
    visits,
)
from bitewright.web.sessions import Kind, Sessions

LOOPBACK = ("127.0.0.1", "localhost")
PAGES = (
    bench,
    light_box,
    recalls,
    visit_plans,
    visits,
    record,
    log,
    audit,
    chair_checklists,
    record_settings,
    teach,
    own_films,
    competence,
    explanations,
    proposals,
    catalogue,
    glossary,
    entering,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class ServerSettings:
    """How the application is reached.

    ``token`` None lets every caller of this computer in: for tests. ``hosts`` are the names that
    a request may give the server, against names that are made to point here.

    ``sessions``: who has been let in already. ``door`` lets in who can read the server's note.
    ``origin`` is what links begin with; empty: what the browser asked for. ``is_beyond``: whether
    other computers can reach it.
    """

    token: str | None = None
    port: int = 8642
    hosts: tuple[str, ...] = LOOPBACK
    sessions: Sessions | None = None
    door: str = ""
    origin: str = ""
    is_beyond: bool = False


def create_app(settings: ServerSettings | None = None) -> FastAPI:
    """Put the application together."""
    of = settings or ServerSettings()
    app = FastAPI(
        title="Bitewright",
        version=__version__,
        summary="Plan, assess and explain intraoral radiographs",
        openapi_url="/api/openapi.json",
        docs_url=None,
        redoc_url=None,
    )
    sessions = of.sessions or Sessions()
    app.state.sessions, app.state.origin, app.state.beyond = sessions, of.origin, of.is_beyond
    add_error_answers(app)
    describe(app)

    @app.get("/", include_in_schema=False)
    async def first_page() -> RedirectResponse:
        return RedirectResponse("/bench", 307)

    for module in PAGES:
        module.add_to(app)
    app.mount("/static", StaticFiles(packages=[("bitewright.web", "static")]), name="static")
    # The last one added is asked first: host, then origin, then who may come in.
    if of.token is not None:
        sessions.add_link(Kind.OWN, of.token)
        is_secure = of.origin.startswith("https:")
        app.add_middleware(
            FrontDoor, sessions=sessions, door=of.door, port=of.port, is_secure=is_secure
        )
    app.add_middleware(Guard)
    app.add_middleware(TrustedHostMiddleware, allowed_hosts=list(of.hosts))
    return app


__all__ = ["ServerSettings", "create_app"]
