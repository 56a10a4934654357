"""A visit planned: which films to take, in which order, with their odds and chair cards."""

from typing import Annotated

import anyio
from fastapi import APIRouter, Depends, FastAPI, Query, Request
from fastapi.responses import HTMLResponse, Response

from bitewright.quality.questions import plain_question
from bitewright.tasks.catalogue.named import equipment
from bitewright.tasks.light_box.taught_mouth import taught_by, visits_that_teach
from bitewright.tasks.visit.given_files import keep_given
from bitewright.tasks.visit.visit_plan_page import (
    SIDES,
    VisitToPlan,
    WhoseMouth,
    asked_cards,
    asked_plan,
    given_words,
    mouths_offered,
    receptors_offered,
)
from bitewright.web.asked_rating import AskedRating
from bitewright.web.page_templates import page
from bitewright.web.pages.light_box import TheBox, uploaded
from bitewright.web.while_wanted import while_wanted
from bitewright.words.odds import uncertain_share
from bitewright.words.visit_plans import FILM_HEADINGS, hand_headings

router = APIRouter(include_in_schema=False)
PAGE = "/bench/visit"
WHAT = "The plan of a visit"
AT_ONCE = anyio.CapacityLimiter(1)
Text = Annotated[str, Query(max_length=120)]


def add_to(app: FastAPI) -> None:
    """Register the page and its cards."""
    app.include_router(router)


def whose_mouth(mouth: Text = "", taught: Text = "", learned: Text = "") -> WhoseMouth:
    """Which mouth an address means."""
    return WhoseMouth(mouth=mouth, taught=taught, learned=learned)


def visit_to_plan(
    side: Text = "both",
    teeth: Text = "",
    lost: Text = "",
    receptor: Text = "sensor-2",
    own: Annotated[list[str] | None, Query(max_length=40)] = None,
    hand: Text = "",
    *,
    whose: Annotated[WhoseMouth, Depends(whose_mouth)],
) -> VisitToPlan:
    """What an address asks."""
    return VisitToPlan(
        side=side,
        teeth=teeth,
        lost=lost,
        receptor=receptor,
        own=tuple(own or ()),
        hand=hand,
        whose=whose,
    )


Asked = Annotated[VisitToPlan, Depends(visit_to_plan)]


@router.get(PAGE, response_class=HTMLResponse)
async def visit_plan_page(
    request: Request, asked: Asked, rating: AskedRating, box: TheBox, *, plan: bool = False
) -> HTMLResponse:
    """Show the form, and the plan where it is asked for."""
    known = equipment()
    made = None
    if plan:
        taught = taught_by(box, asked.whose.taught, known, rating.question)
        made = await while_wanted(
            request,
            WHAT,
            lambda begin: asked_plan(asked, known, rating, begin, taught=taught),
            at_once=AT_ONCE,
        )
    return page(
        request,
        "visit_plan.html",
        asked=asked,
        made=made,
        share=uncertain_share,
        headings=FILM_HEADINGS
        if made is None
        else (*FILM_HEADINGS, *hand_headings(made.wish.hands)),
        sides=SIDES,
        receptors=receptors_offered(known),
        mouths=mouths_offered(),
        visits=visits_that_teach(box),
        given=given_words(asked),
        question=plain_question(rating.question).value,
        query=str(request.query_params),
    )


@router.get(f"{PAGE}/cards.pdf")
async def visit_cards(request: Request, asked: Asked, rating: AskedRating, box: TheBox) -> Response:
    """The chair cards of all films as PDF."""
    known = equipment()
    taught = taught_by(box, asked.whose.taught, known, rating.question)
    content = await while_wanted(
        request,
        WHAT,
        lambda begin: asked_cards(asked, known, rating, begin, taught=taught),
        at_once=AT_ONCE,
    )
    return Response(content, media_type="application/pdf")


@router.post(f"{PAGE}/files")
async def give_file(
    request: Request,
    kind: Annotated[str, Query(max_length=40)],
    name: Annotated[str, Query(max_length=200)] = "the file",
) -> dict[str, str]:
    """Keep what a file holds for the plans of this page: the request's body is the file."""
    made = keep_given(kind, name, await uploaded(request))
    return {"key": made.key, "said": made.said}


__all__ = ["add_to"]
