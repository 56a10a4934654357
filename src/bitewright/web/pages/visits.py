"""A visit of the light box: what its films show together, and what stands before another."""

from dataclasses import dataclass
from typing import Annotated, Any

from fastapi import APIRouter, FastAPI, Query, Request
from fastapi.responses import HTMLResponse

from bitewright.quality.questions import plain_question
from bitewright.tasks.catalogue.named import equipment
from bitewright.tasks.light_box.kept_visit import kept_gate, kept_visit
from bitewright.tasks.log.record_exposure import Recorded
from bitewright.tasks.visit.keep_outcome import FurtherFilm, keep_outcome
from bitewright.tasks.visit.sign_decision import SignedDecision, sign_decision
from bitewright.tasks.visit.visit_in_log import visit_in_log
from bitewright.tasks.visit.visit_picture import visit_svg
from bitewright.tasks.visit.visit_tables import hands_offered, stated_by, visit_table
from bitewright.web.asked_rating import AskedRating
from bitewright.web.page_templates import page
from bitewright.web.pages.light_box import TheBox
from bitewright.words.log import saved_words

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
    stated = stated_by(purpose, cause, change)
    shown = []
    for answer in answers.visits:
        gate = kept_gate(answer, known, stated, hand)
        shown.append((answer, visit_svg(answer), visit_table(answer), gate, visit_in_log(gate)))
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


@dataclass(frozen=True, kw_only=True)
class SignedOnPage:
    """A decision as a page sends it, with what was stated before it."""

    visit: str
    which: int
    decision: str
    reason: str
    by: str
    operator: str = ""
    purpose: str = ""
    cause: str = ""
    change: str = ""
    hand: str = "practised"
    is_students: bool = False


@router.post("/record/visit/decision", include_in_schema=False)
def sign(box: TheBox, rating: AskedRating, given: SignedOnPage) -> dict[str, Any]:
    """Write a signed decision, and the film it is about, to the log; once.

    Under /record, which a class's link does not open.
    """
    known = equipment()
    answer = kept_visit(box, given.visit, known, rating.question).one(given.which)
    stated = stated_by(given.purpose, given.cause, given.change)
    signed = SignedDecision(
        decision=given.decision,
        reason=given.reason,
        by=given.by,
        operator=given.operator,
        is_students=given.is_students,
    )
    return _told(sign_decision(kept_gate(answer, known, stated, given.hand), signed))


@dataclass(frozen=True, kw_only=True)
class OutcomeOnPage:
    """The further film of a decision as a page sends it."""

    visit: str
    which: int
    about: str
    further: str
    by: str
    operator: str = ""


@router.post("/record/visit/outcome", include_in_schema=False)
def came_of_it(box: TheBox, rating: AskedRating, given: OutcomeOnPage) -> dict[str, Any]:
    """Write what the further film won to the log, and the film; once."""
    answer = kept_visit(box, given.visit, equipment(), rating.question).one(given.which)
    outcome = FurtherFilm(
        about=given.about, further=given.further, by=given.by, operator=given.operator
    )
    return _told(keep_outcome(answer, outcome))


def _told(done: Recorded) -> dict[str, Any]:
    return {"said": saved_words(done.act, done.number, added=done.added), "number": done.number}


__all__ = ["add_to"]
