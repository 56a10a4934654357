"""The log: enter an exposure by keyboard, list those there are, correct and decide."""

from typing import Annotated, Any

from fastapi import APIRouter, Body, Depends, FastAPI, Query, Request
from fastapi import Path as FromPath
from fastapi.responses import HTMLResponse

from bitewright.audit.counted_by import Dimension
from bitewright.tasks.catalogue.named import equipment
from bitewright.tasks.light_box.loggable_film import check_view_of_film, loggable_film
from bitewright.tasks.log.entry_form import entry_form
from bitewright.tasks.log.log_page import exposure_page, list_page
from bitewright.tasks.log.read_log import ListRequest, number_in_log
from bitewright.tasks.log.record_exposure import (
    AddRequest,
    ChangeRequest,
    Recorded,
    correct_exposure,
    decide_exposure,
    record_exposure,
)
from bitewright.tasks.log.store_place import today_text
from bitewright.web.asked_rating import AskedRating
from bitewright.web.page_templates import page
from bitewright.web.pages.light_box import Number, TheBox, kept_film
from bitewright.words.log import logged_before_words, saved_words

router = APIRouter(include_in_schema=False)
PAGE = "/record/log"
"""Under /record, which a class's link does not open."""

Text = Annotated[str, Query(max_length=120)]
Exposure = Annotated[str, FromPath(max_length=64)]
Fields = Annotated[dict[str, str], Body()]
Code = Annotated[str, Body(max_length=60)]
Why = Annotated[str, Body(max_length=600)]
Key = Annotated[str, Body(max_length=80)]


def add_to(app: FastAPI) -> None:
    """Register the page and what it asks for."""
    app.include_router(router)


def asked_list(
    request: Request,
    since: Text = "",
    until: Text = "",
    decision: Text = "",
    fault: Text = "",
    rating: Text = "",
    *,
    retakes: bool = False,
    last: Annotated[int, Query(ge=1, le=2000)] = 50,
) -> ListRequest:
    """Which exposures an address asks for, by dimension as ``view=left-molar``; empty asks nothing.

    A dimension named more than once allows each of its labels.
    """
    given = {
        each: tuple(label for label in request.query_params.getlist(each.value) if label)
        for each in Dimension
    }
    return ListRequest(
        only={dimension: labels for dimension, labels in given.items() if labels},
        first_day=since or None,
        last_day=until or None,
        decision=decision or None,
        retakes_only=retakes,
        fault=fault or None,
        rating=rating or None,
        last=last,
    )


AskedList = Annotated[ListRequest, Depends(asked_list)]


@router.get(PAGE, response_class=HTMLResponse)
def log_page(request: Request, asked: AskedList) -> HTMLResponse:
    """Show the form, and the day's list or the one that the address asks for."""
    today = today_text()
    if set(request.query_params) <= {"film"}:
        asked = ListRequest(only={}, first_day=today, last_day=today, last=50)
    return page(
        request,
        "record_log.html",
        form=entry_form(equipment()),
        today=today,
        asked=asked,
        list=list_page(asked),
    )


@router.get(f"{PAGE}/list", response_class=HTMLResponse)
def exposures_listed(request: Request, asked: AskedList) -> HTMLResponse:
    """The list that an address asks for, as a part of the page."""
    return page(request, "log_list.html", list=list_page(asked))


@router.get(f"{PAGE}/film/{{number}}")
def of_film(number: Number, box: TheBox, by: AskedRating) -> dict[str, Any]:
    """What an assessed film of the light box fills into the form, and whether it was logged."""
    film = loggable_film(kept_film(number, box), box.film(number), by=by)
    before = number_in_log(film["key"], None)
    return film if before is None else film | {"logged": logged_before_words(film["label"], before)}


@router.post(f"{PAGE}/exposures")
def enter_exposure(fields: Fields, key: Key, box: TheBox) -> dict[str, Any]:
    """Record an exposure; the same key again adds nothing. A film's view is the light box's."""
    check_view_of_film(fields, key, box.films())
    given = {**fields, "day": fields.get("day") or today_text()}
    return _told(record_exposure(AddRequest(fields=given, key=key)))


@router.get(f"{PAGE}/exposures/{{exposure}}", response_class=HTMLResponse)
def opened_exposure(request: Request, exposure: Exposure) -> HTMLResponse:
    """One exposure with its history, as a part of the page."""
    return page(
        request,
        "log_exposure.html",
        one=exposure_page(exposure),
        decisions=entry_form(equipment()).decisions[:-1],
    )


@router.post(f"{PAGE}/exposures/{{exposure}}/correction")
def enter_correction(
    exposure: Exposure, fields: Fields, by: Code, why: Why, key: Key
) -> dict[str, Any]:
    """Append what is right; an empty text takes a field away."""
    request = ChangeRequest(exposure=exposure, by=by, why=why, fields=fields, key=key)
    return _told(correct_exposure(request))


@router.post(f"{PAGE}/exposures/{{exposure}}/decision")
def enter_decision(
    exposure: Exposure,
    decision: Annotated[str, Body(max_length=40)],
    by: Code,
    key: Key,
    why: Why = "",
    retaken_as: Key = "",
) -> dict[str, Any]:
    """Append what a person decided."""
    request = ChangeRequest(exposure=exposure, by=by, why=why or None, key=key)
    return _told(decide_exposure(request, decision, by=by, retaken_as=retaken_as or None))


def _told(done: Recorded) -> dict[str, Any]:
    return {
        "said": saved_words(done.act, done.number, added=done.added),
        "number": done.number,
        "today": today_text(),
    }


__all__ = ["add_to"]
