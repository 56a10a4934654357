"""Films of one's own: kept as exercises or made into tip sheets, from the light box."""

from dataclasses import dataclass
from datetime import date
from typing import Annotated, Any

from fastapi import APIRouter, FastAPI, Query, Request
from fastapi import Path as FromPath
from fastapi.responses import HTMLResponse, Response

from bitewright.tasks.teach.noted_consent import NotedConsent
from bitewright.tasks.teach.own_exercises import (
    drop_own_exercise,
    keep_own_film,
    own_exercise,
    own_exercises,
)
from bitewright.tasks.teach.shown_film import log_fault_choices, shown_film, shown_signs
from bitewright.tasks.teach.tip_sheet import tip_of_kept
from bitewright.web.page_templates import page
from bitewright.web.pages.light_box import TheBox, kept_film
from bitewright.words.own_exercises import CONSENT_NOTE, kept_exercise_words, own_film_alt

router = APIRouter(include_in_schema=False)
PAGE = "/own-films"
"""Not below /teach or /light-box, which a class's link opens."""
Film = Annotated[int, FromPath(ge=1, le=2**63 - 1)]
Name = Annotated[str, FromPath(max_length=40)]


@dataclass(frozen=True, kw_only=True)
class Noted:
    """What a page sends of a film that is to be shown."""

    fault: str
    consent_by: str
    consent_on: str
    no_names_seen: bool = False

    def noted(self) -> NotedConsent:
        """As the tasks take it."""
        return NotedConsent(
            fault=self.fault,
            consent_by=self.consent_by,
            consent_on=self.consent_on,
            no_names_seen=self.no_names_seen,
        )


@dataclass(frozen=True, kw_only=True)
class NotedExercise(Noted):
    """The same for an exercise."""

    name: str
    also: str = ""
    says: str = ""


@dataclass(frozen=True, kw_only=True)
class NotedTip(Noted):
    """The same for a tip sheet; ``better``: number of the next film, 0 for none."""

    better: int = 0


def add_to(app: FastAPI) -> None:
    """Register the page and what it asks for."""
    app.include_router(router)


@router.get(PAGE, response_class=HTMLResponse)
def own_films(
    request: Request, box: TheBox, film: Annotated[int, Query(ge=0, le=2**63 - 1)] = 0
) -> HTMLResponse:
    """The films on the light box, and those kept as exercises."""
    films = box.films()
    shown = next((each for each in films if each.id == film), None)
    return page(
        request,
        "own_films.html",
        films=films,
        shown=shown,
        signs=() if shown is None else shown_signs(kept_film(shown.id, box)),
        faults=log_fault_choices(),
        kept=[(each, own_film_alt(each.name)) for each in own_exercises().values()],
        note=CONSENT_NOTE,
        today=_today().isoformat(),
    )


@router.get(f"{PAGE}/films/{{number}}.png")
def own_film_picture(number: Film, box: TheBox) -> Response:
    """A film of the light box, to look for names in."""
    box.film(number)
    return _png(shown_film(kept_film(number, box)))


@router.get(f"{PAGE}/exercises/{{name}}.png")
def exercise_picture(name: Name) -> Response:
    """The film of an exercise that is kept."""
    return _png(own_exercise(name).film_png)


@router.post(f"{PAGE}/{{number}}/exercise", status_code=201)
def keep_exercise(number: Film, box: TheBox, asked: NotedExercise) -> dict[str, Any]:
    """Keep a film of the light box as an exercise."""
    box.film(number)
    kept = keep_own_film(
        asked.name,
        kept_film(number, box),
        asked.noted(),
        also=(asked.also,) if asked.also else (),
        says=asked.says,
        today=_today(),
    )
    return {"name": kept.name, "said": kept_exercise_words(kept.name)}


@router.delete(f"{PAGE}/exercises/{{name}}", status_code=204)
def drop_exercise(name: Name) -> None:
    """Drop an exercise, with its film."""
    drop_own_exercise(name)


@router.post(f"{PAGE}/{{number}}/tip", response_class=Response)
def tip(number: Film, box: TheBox, asked: NotedTip) -> Response:
    """A tip sheet of a marked film, perhaps beside the next one."""
    kept, after = box.film(number), None
    if asked.better:
        box.film(asked.better)
        after = kept_film(asked.better, box)
    film = kept_film(number, box)
    made = tip_of_kept(film, kept, asked.noted(), better=after, today=_today())
    named = {"content-disposition": f'attachment; filename="tip-{asked.fault}.pdf"'}
    return Response(made, 200, named, "application/pdf")


def _today() -> date:
    return date.today()  # noqa: DTZ011 - the reader's day


def _png(content: bytes) -> Response:
    return Response(content, media_type="image/png", headers={"cache-control": "no-store"})


__all__ = ["add_to"]
