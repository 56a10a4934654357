"""The catalogue: mouths, equipment, views, criteria and schemes."""

from fastapi import APIRouter, FastAPI
from starlette.requests import Request
from starlette.responses import HTMLResponse

from bitewright.web.page_templates import page

router = APIRouter()


def add_to(app: FastAPI) -> None:
    """Register the page."""
    app.include_router(router)


@router.get("/catalogue", response_class=HTMLResponse, include_in_schema=False)
def catalogue(request: Request) -> HTMLResponse:
    """Show the catalogue."""
    return page(request, "catalogue.html")


__all__ = ["add_to"]
