"""The calendar and the dose side of the record: shown, and their settings changed."""

from typing import Annotated, Any

from fastapi import APIRouter, Body, Depends, FastAPI, Request
from fastapi import Path as FromPath
from fastapi.responses import HTMLResponse, Response

from bitewright.tasks.audit.audit_calendar import calendar_today
from bitewright.tasks.audit.dose_page import dose_csv, dose_page
from bitewright.tasks.audit.page_request import PageRequest
from bitewright.tasks.log.record_settings import (
    add_setting,
    remove_setting,
    set_every_months,
    shown_settings,
)
from bitewright.tasks.log.store_place import today_text
from bitewright.tasks.rated_by import scheme_choices
from bitewright.web.page_templates import page
from bitewright.web.pages.audit import asked_audit
from bitewright.words.audit_calendar import CALENDAR_SAYS

router = APIRouter(include_in_schema=False)
Part = Annotated[str, FromPath(max_length=40)]
Place = Annotated[int, FromPath(ge=0, le=1000)]
AskedDose = Annotated[PageRequest, Depends(asked_audit)]


def add_to(app: FastAPI) -> None:
    """Register the pages and what they ask for."""
    app.include_router(router)


@router.get("/record/calendar", response_class=HTMLResponse)
def show_calendar(request: Request) -> HTMLResponse:
    """Show what is due, what was done and which targets hold from when."""
    return page(
        request,
        "record_calendar.html",
        told=calendar_today(),
        settings=shown_settings(),
        schemes_offered=scheme_choices(),
        titles={each.name: each.title for each in scheme_choices()},
        today=today_text(),
        says=CALENDAR_SAYS,
    )


@router.get("/record/dose", response_class=HTMLResponse)
def show_dose(request: Request, asked: AskedDose) -> HTMLResponse:
    """Show settings by view, retakes and dose of the exposures that an address asks for."""
    return page(
        request,
        "record_dose.html",
        asked=asked,
        dose=dose_page(asked),
        settings=shown_settings(),
        today=today_text(),
        query=str(request.query_params),
    )


@router.get("/record/dose.csv")
def dose_data(asked: AskedDose, *, comma: bool = False) -> Response:
    """The table of the dose side."""
    headers = {"content-disposition": 'attachment; filename="dose.csv"'}
    return Response(dose_csv(asked, comma=comma), 200, headers, "text/csv; charset=utf-8")


@router.put("/record/settings/every-months", status_code=204)
def put_every_months(months: Annotated[int | None, Body(embed=True)] = None) -> None:
    """How often to audit; none takes it away."""
    set_every_months(months)


@router.post("/record/settings/{part}", status_code=204)
def post_setting(part: Part, item: Annotated[dict[str, Any], Body()]) -> None:
    """Add an item to a part of the record's settings."""
    add_setting(part, item)


@router.delete("/record/settings/{part}/{place}", status_code=204)
def delete_setting(part: Part, place: Place) -> None:
    """Remove an item of a part."""
    remove_setting(part, place)


__all__ = ["add_to"]
