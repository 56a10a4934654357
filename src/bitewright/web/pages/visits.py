"""A visit of the light box: what its films show together, and what stands before another."""

from typing import Annotated

from fastapi import APIRouter, FastAPI, Query, Request
from fastapi.responses import HTMLResponse

from bitewright.quality.questions import plain_question
from bitewright.tasks.catalogue.named import equipment
from bitewright.tasks.light_box.kept_visit import kept_gate, kept_visit
from bitewright.tasks.visit.visit_picture import visit_svg
from bitewright.tasks.visit.visit_tables import hands_offered, stated_by, visit_table
from bitewright.web.asked_rating import AskedRating
from bitewright.web.page_templates import page
from bitewright.web.pages.light_box import TheBox

router = APIRouter()
Said = Annotated[str, Query(max_length=300)]


def add_to(app: FastAPI) -> None:
    """Register the page."""
    app.include_router(router)


@router.get("/light-box/visit", response_class=HTMLResponse, include_in_schema=False)
def visit_page(
    request: Request,
    box: TheBox,
    rating: AskedRating,
    visit: Annotated[str, Query(max_length=60)],
    purpose: Said = "",
    cause: Said = "",
    change: Said = "",
    hand: Annotated[str, Query(max_length=40)] = "practised",
) -> HTMLResponse:
    """Show a visit: the answer, both arches, the table, and what stands before another film."""
    known = equipment()
    answers = kept_visit(box, visit, known, rating.question)
    shown = [
        (
            answer,
            visit_svg(answer),
            visit_table(answer),
            kept_gate(answer, known, stated_by(purpose, cause, change), hand),
        )
        for answer in answers.visits
    ]
    return page(
        request,
        "visit.html",
        visit=visit,
        shown=shown,
        set_aside=answers.set_aside,
        hands=hands_offered(),
        hand=hand,
        purpose=purpose,
        cause=cause,
        change=change,
        question=plain_question(rating.question).value,
    )


__all__ = ["add_to"]
