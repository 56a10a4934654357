"""The bench: one exposure, its drawings, its film and what it shows."""

from fastapi import APIRouter, FastAPI
from starlette.requests import Request
from starlette.responses import HTMLResponse

from bitewright.web.page_templates import page

router = APIRouter()


def add_to(app: FastAPI) -> None:
    """Register the page."""
    app.include_router(router)


@router.get("/bench", response_class=HTMLResponse, include_in_schema=False)
def bench(request: Request) -> HTMLResponse:
    """Show the bench."""
    return page(request, "bench.html")


__all__ = ["add_to"]
