"""The audit: rates told apart as the report does, by filters, each point with its films."""

from typing import Annotated

from fastapi import APIRouter, Depends, FastAPI, Query, Request
from fastapi import Path as FromPath
from fastapi.responses import HTMLResponse, Response

from bitewright.audit.counted_by import Dimension, Event, Period
from bitewright.errors import BitewrightError, quoted
from bitewright.quality.rating_schemes import USUAL_SCHEME
from bitewright.tasks.audit.audit_gates import gates_if_any
from bitewright.tasks.audit.audit_page import audit_page, chart_csv
from bitewright.tasks.audit.page_request import PageRequest
from bitewright.tasks.rated_by import scheme_choices
from bitewright.web.page_templates import page
from bitewright.words.gate_outcomes import GATES_HEADINGS, GATES_TITLE

router = APIRouter(include_in_schema=False)
PAGE = "/record/audit"
"""Under /record, which a class's link does not open."""
PERIODS = (Period.MONTH, Period.QUARTER, Period.HALF, Period.YEAR)
Text = Annotated[str, Query(max_length=120)]


class UnknownChoiceError(BitewrightError):
    """An address asks for something to count, or for stretches, that there is not."""

    def __init__(self, what: str, given: str, known: tuple[str, ...]) -> None:
        self.given = given
        super().__init__(f"The {what} {quoted(given)} is not known: give {', '.join(known)}.")


def add_to(app: FastAPI) -> None:
    """Register the page and what it asks for."""
    app.include_router(router)


def asked_change(change: Text = "", what: Text = "") -> tuple[str, str]:
    """The day of a change to judge, and what was changed."""
    return change, " ".join(what.split())


AskedChange = Annotated[tuple[str, str], Depends(asked_change)]


def asked_audit(
    request: Request,
    since: Text = "",
    until: Text = "",
    event: Text = "",
    period: Text = "",
    people: Text = "",
    scheme: Text = USUAL_SCHEME,
    change: AskedChange = ("", ""),
) -> PageRequest:
    """What an address asks; dimensions as ``view=left-molar``, what is empty asks nothing."""
    events = {each.value: each for each in Event}
    periods = {each.value: each for each in PERIODS}
    if event and event not in events:
        raise UnknownChoiceError("event", event, tuple(events))
    if period and period not in periods:
        raise UnknownChoiceError("period", period, tuple(periods))
    labels = {
        each: tuple(label for label in request.query_params.getlist(each.value) if label)
        for each in Dimension
    }
    return PageRequest(
        only={dimension: given for dimension, given in labels.items() if given},
        since=since,
        until=until,
        event=events[event] if event else Event.REJECT,
        period=periods[period] if period else None,
        people=bool(people),
        scheme=scheme or USUAL_SCHEME,
        change=change[0],
        what=change[1],
    )


AskedAudit = Annotated[PageRequest, Depends(asked_audit)]


@router.get(PAGE, response_class=HTMLResponse)
def show_audit(request: Request, asked: AskedAudit) -> HTMLResponse:
    """Show the charts of the exposures that an address asks for."""
    return page(
        request,
        "record_audit.html",
        asked=asked,
        audit=audit_page(asked),
        gates=gates_if_any(),
        gates_title=GATES_TITLE,
        gates_headings=GATES_HEADINGS,
        schemes_offered=scheme_choices(),
        periods=PERIODS,
        query=str(request.query_params),
    )


@router.get(f"{PAGE}/{{name}}.csv")
def chart_data(
    asked: AskedAudit, name: Annotated[str, FromPath(max_length=60)], *, comma: bool = False
) -> Response:
    """The data of one chart."""
    content = chart_csv(asked, name, comma=comma)
    headers = {"content-disposition": 'attachment; filename="audit.csv"'}
    return Response(content, 200, headers, "text/csv; charset=utf-8")


__all__ = ["add_to"]
