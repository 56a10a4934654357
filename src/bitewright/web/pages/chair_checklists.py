"""The checklists at the chair: a page and a card, of this record's own most frequent faults."""

from typing import Annotated

from fastapi import APIRouter, FastAPI, Query, Request
from fastapi import Path as FromPath
from fastapi.responses import HTMLResponse, Response

from bitewright.tasks.audit.chair_checklists import (
    CardKind,
    ChairChecklists,
    ChecklistPaper,
    chair_checklists,
    checklist_card,
    last_films,
)
from bitewright.tasks.audit.page_request import PageRequest
from bitewright.tasks.log.logged_exposures import StoreRecord
from bitewright.web.page_templates import page
from bitewright.web.pages.audit import AskedAudit
from bitewright.words.phrases import capital

router = APIRouter(include_in_schema=False)
PAGE = "/record/checklists"
"""Under /record, which a class's link does not open."""
Last = Annotated[str, Query(max_length=12)]
"""How many of the newest films, empty for all, as a form sends it."""
TYPES = {CardKind.PDF: "application/pdf", CardKind.HTML: "text/html; charset=utf-8"}


def add_to(app: FastAPI) -> None:
    """Register the page and the card."""
    app.include_router(router)


@router.get(PAGE, response_class=HTMLResponse)
def show_checklists(request: Request, asked: AskedAudit, last: Last = "") -> HTMLResponse:
    """Show what to look at before an exposure."""
    return page(
        request,
        "record_checklists.html",
        asked=asked,
        last=last,
        told=_told(asked, last),
        papers=(ChecklistPaper.A5, ChecklistPaper.A6),
        capital=capital,
        query=str(request.query_params),
    )


@router.get(f"{PAGE}/{{paper}}.{{kind}}")
def card(
    asked: AskedAudit,
    paper: Annotated[ChecklistPaper, FromPath()],
    kind: Annotated[CardKind, FromPath()],
    last: Last = "",
) -> Response:
    """The same as a card to print."""
    content = checklist_card(_told(asked, last), kind, paper)
    how = "inline" if kind is CardKind.PDF else "attachment"
    headers = {"content-disposition": f'{how}; filename="checklists.{kind.value}"'}
    return Response(content, 200, headers, TYPES[kind])


def _told(asked: PageRequest, last: str) -> ChairChecklists:
    count = last_films(last) if last else None
    return chair_checklists(StoreRecord(None), asked.wanted, last=count)


__all__ = ["add_to"]
