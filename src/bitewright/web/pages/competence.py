"""Competence: what a class can do, and one student's own sheet. A class's link opens neither."""

from typing import Annotated

import anyio.to_thread
from fastapi import APIRouter, FastAPI, Query, Request
from fastapi import Path as FromPath
from fastapi.responses import HTMLResponse

from bitewright.competence.attempts import Skill
from bitewright.competence.school_bar import BAR, bar_of_text
from bitewright.tasks.competence.practice_due import practice_if_scheduled
from bitewright.tasks.competence.tell_class import class_if_any
from bitewright.tasks.competence.tell_student import tell_student
from bitewright.tasks.teach.given_readers import given_readers
from bitewright.web.page_templates import page
from bitewright.words import competence as words
from bitewright.words import readers as reader_words
from bitewright.words.phrases import capital, counted
from bitewright.words.topics import topic_words

router = APIRouter()
CODE = Annotated[str, FromPath(max_length=80)]
BAR_ASKED = Annotated[str, Query(max_length=20)]
USUAL_BAR = f"{BAR:.0%}"


def add_to(app: FastAPI) -> None:
    """Register the pages."""
    app.include_router(router)


@router.get("/competence", response_class=HTMLResponse, include_in_schema=False)
async def class_page(request: Request, bar: BAR_ASKED = USUAL_BAR) -> HTMLResponse:
    """The class: who can do what, what is misunderstood, which exercises to look at."""
    sheet = await anyio.to_thread.run_sync(lambda: class_if_any(None, bar=bar_of_text(bar)))
    return page(
        request,
        "competence.html",
        sheet=sheet,
        bar_text=f"{100.0 * bar_of_text(bar):g}%",
        words=words,
        capital=capital,
        counted=counted,
        topic_words=topic_words,
        skills=[] if sheet is None else [s for s in Skill if any(sheet.counted(s).values())],
    )


@router.get("/competence/{student}", response_class=HTMLResponse, include_in_schema=False)
async def student_page(request: Request, student: CODE, bar: BAR_ASKED = USUAL_BAR) -> HTMLResponse:
    """One student's sheet."""
    sheet = await anyio.to_thread.run_sync(
        lambda: tell_student(student, None, bar=bar_of_text(bar))
    )
    practice = await anyio.to_thread.run_sync(lambda: practice_if_scheduled(student, None))
    return page(
        request,
        "competence_student.html",
        sheet=sheet,
        practice=practice,
        bar_text=f"{100.0 * bar_of_text(bar):g}%",
        words=words,
        capital=capital,
        counted=counted,
        topic_words=topic_words,
    )


@router.get("/competence/readers/{name}", response_class=HTMLResponse, include_in_schema=False)
async def readers_page(request: Request, name: CODE) -> HTMLResponse:
    """How far those agree who answered a set, with the truth: for the teacher alone."""
    sets = request.app.state.given_sets
    told = await anyio.to_thread.run_sync(lambda: given_readers(sets, name))
    return page(request, "competence_readers.html", told=told, name=name, words=reader_words)


__all__ = ["add_to"]
