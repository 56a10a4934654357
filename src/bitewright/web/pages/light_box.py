"""The light box: real films, their marks and what they tell."""

from fastapi import APIRouter, FastAPI
from starlette.requests import Request
from starlette.responses import HTMLResponse

from bitewright.web.page_templates import page

router = APIRouter()


def add_to(app: FastAPI) -> None:
    """Register the page."""
    app.include_router(router)


@router.get("/light-box", response_class=HTMLResponse, include_in_schema=False)
def light_box(request: Request) -> HTMLResponse:
    """Show the light box."""
    return page(request, "light_box.html")


__all__ = ["add_to"]
