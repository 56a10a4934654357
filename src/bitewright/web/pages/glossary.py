"""The glossary: what each word on the pages means."""

from fastapi import APIRouter, FastAPI, Request
from fastapi.responses import HTMLResponse

from bitewright.web.page_templates import page

router = APIRouter()


def add_to(app: FastAPI) -> None:
    """Register the page."""
    app.include_router(router)


@router.get("/glossary", response_class=HTMLResponse, include_in_schema=False)
def glossary(request: Request) -> HTMLResponse:
    """Show every word for people."""
    return page(request, "glossary.html")


__all__ = ["add_to"]
