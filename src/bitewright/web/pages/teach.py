"""Teach: a set of exercises, one at a time; the answer is told after the commit."""

import os
from datetime import UTC, datetime
from typing import Annotated, Any

import anyio
import anyio.to_thread
from fastapi import APIRouter, Body, FastAPI, Query, Request
from fastapi import Path as FromPath
from fastapi.responses import HTMLResponse, JSONResponse, Response

from bitewright.errors import BitewrightError, quoted
from bitewright.tasks.bench.bench_settings import SETTINGS
from bitewright.tasks.competence.keep_answer import keep_answer, student_code
from bitewright.tasks.teach.aim_exposures import AIMED
from bitewright.tasks.teach.answers import ItemAnswer
from bitewright.tasks.teach.given_sets import GivenSet, GivenSets
from bitewright.tasks.teach.make_items import MOST_ITEMS, SetRequest
from bitewright.tasks.teach.own_exercises import own_exercise, own_exercises
from bitewright.teaching.aiming import MOST_EXPOSURES
from bitewright.teaching.fault_names import PlantedFault
from bitewright.teaching.item import Item, ItemKind
from bitewright.web.described import REFUSALS
from bitewright.web.front_door import HERE
from bitewright.web.newest_wish import MOST_MESSAGE
from bitewright.web.page_templates import page
from bitewright.web.pages.bench import query_settings
from bitewright.web.sessions import Kind, Session
from bitewright.web.turns import begin_turn, check_turn, turn_of
from bitewright.words.exercises import SURE_TITLES, planted_fault_words, set_title
from bitewright.words.given_sets import FIRST_STANDS
from bitewright.words.phrases import capital
from bitewright.words.skills import KIND_TITLES

router = APIRouter(responses=REFUSALS)
SET = Annotated[str, FromPath(max_length=20)]
NUMBER = Annotated[int, FromPath(ge=0, lt=MOST_ITEMS)]
WHICH = Annotated[int, FromPath(ge=1, le=MOST_EXPOSURES)]
SettingsText = Annotated[str, Query(max_length=MOST_MESSAGE)]
WAIT_S = 3.0
"""So long a page waits for an exercise that is being made before it asks again."""

FILMS_AT_ONCE = anyio.CapacityLimiter(max(os.cpu_count() or 1, 1))
GREATEST_SEED = 2**31 - 1


class SetChoiceError(BitewrightError):
    """A set was asked for that cannot be made."""

    status_code = 422

    def __init__(self, given: object, allowed: str) -> None:
        super().__init__(f"The set asks for {quoted(given)}, which there is not: give {allowed}.")


def add_to(app: FastAPI) -> None:
    """Register the page and what it asks for."""
    app.state.given_sets = GivenSets()
    app.include_router(router)


@router.get("/teach", response_class=HTMLResponse, include_in_schema=False)
def teach_page(request: Request) -> HTMLResponse:
    """The sets there are, and a form to begin another."""
    person = _person(request)
    listed = [
        {
            "name": each.name,
            "title": set_title(each.request.count, each.request.kinds, own=len(each.request.own)),
            "begun": each.begun.astimezone().strftime("%d %B, %H:%M"),
            "answered": len(each.answered(person)),
            "count": each.request.count,
            "seed": each.request.seed,
        }
        for each in _sets(request).all()
    ]
    return page(
        request,
        "teach.html",
        sets=listed,
        turn=turn_of(request),
        answered=sum(len(each.answered(person)) for each in _sets(request).all()),
        kinds={kind.value: title for kind, title in KIND_TITLES.items()},
        faults={fault.value: capital(planted_fault_words(fault)) for fault in PlantedFault},
        most=MOST_ITEMS,
        own=[] if _is_class(request) else list(own_exercises()),
    )


@router.post("/teach/sets", include_in_schema=False, status_code=201)
def begin_set(request: Request, asked: Annotated[dict[str, Any], Body()]) -> dict[str, str]:
    """Begin a set: ``count``, ``seed``, ``kinds``, ``faults`` and ``own``, as usual if left out.

    With ``again`` alone, the name of a set here: the same set once more.
    """
    is_again = set(asked) == {"again"}
    wanted = _set(request, str(asked["again"])).request if is_again else set_request(asked)
    made = _sets(request).begin(wanted)
    return {"address": f"/teach/{made.name}"}


@router.post("/teach/turn", include_in_schema=False, status_code=204)
def hand_on(request: Request) -> Response:
    """Let another's turn begin in this browser: what was answered before is shown to nobody."""
    answer = Response(status_code=204)
    begin_turn(request, answer)
    return answer


@router.get("/teach/{name}", response_class=HTMLResponse, include_in_schema=False)
def set_page(request: Request, name: SET) -> HTMLResponse:
    """One exercise at a time."""
    given = _set(request, name)
    return page(
        request,
        "exercise.html",
        name=name,
        turn=turn_of(request),
        count=given.request.count,
        title=set_title(given.request.count, given.request.kinds, own=len(given.request.own)),
        sure=SURE_TITLES,
        settings={each: SETTINGS[each] for each in AIMED},
    )


@router.get("/teach/{name}/{number}", include_in_schema=False)
async def exercise(request: Request, name: SET, number: NUMBER) -> Response:
    """An exercise without its truth, 202 while it is made; what was told, if it is answered."""
    given, person = _set(request, name), _person(request)
    if not await anyio.to_thread.run_sync(lambda: given.wait(number, seconds=WAIT_S)):
        return JSONResponse(given.being_made(), 202)

    def document() -> dict[str, Any]:
        told = given.document(number)
        if "bench" in told:
            told["bench"] |= given.taken_up(person, number)
        if number in given.answered(person):
            told["told"] = given.told(person, number)
        return told | given.course(person)

    return JSONResponse(await anyio.to_thread.run_sync(document))


@router.get("/teach/{name}/{number}/film.png", include_in_schema=False)
def given_film(request: Request, name: SET, number: NUMBER) -> Response:
    """The film to look at."""
    return _png(_set(request, name).made(number).item.film_png)


@router.get("/teach/{name}/{number}/laid", include_in_schema=False)
def laid(request: Request, name: SET, number: NUMBER, settings: SettingsText) -> dict[str, Any]:
    """A set-up of an exercise of aiming, drawn; no film and nothing of what it would show."""
    return _set(request, name).laid(number, query_settings(settings))


@router.post("/teach/{name}/{number}/exposure", include_in_schema=False, status_code=201)
def take_film(
    request: Request, name: SET, number: NUMBER, settings: Annotated[dict[str, Any], Body()]
) -> dict[str, Any]:
    """Take a film of a set-up: how many there are now, and their dose."""
    check_turn(request, settings.pop("turn", None))
    return _set(request, name).expose(_person(request), number, settings)


@router.get("/teach/{name}/{number}/exposed/{which}.png", include_in_schema=False)
async def exposed(request: Request, name: SET, number: NUMBER, which: WHICH) -> Response:
    """A film that one took oneself."""
    given, person = _set(request, name), _person(request)

    def shot() -> bytes:
        return given.exposed_film(person, number, which)

    return _png(await anyio.to_thread.run_sync(shot, limiter=FILMS_AT_ONCE))


@router.post("/teach/{name}/{number}/answer", include_in_schema=False)
def commit(
    request: Request, name: SET, number: NUMBER, answer: Annotated[dict[str, Any], Body()]
) -> dict[str, Any]:
    """Take an answer and tell the truth; with a ``student``'s code it is kept as an attempt."""
    check_turn(request, answer.pop("turn", None))
    given, person = _set(request, name), _person(request)
    student = student_code(answer.pop("student", None))
    stands = number in given.answered(person)

    def keep(item: Item, answered: ItemAnswer, score: float) -> object:
        at = datetime.now(UTC)
        return keep_answer(str(student), item, answered, round(score, 3), at=at, store=None)

    told = given.commit(person, number, answer, code=student, keep=keep)
    return {"told": told, "said": FIRST_STANDS if stands else ""} | given.course(person)


@router.get("/teach/{name}/{number}/best.png", include_in_schema=False)
def best_film(request: Request, name: SET, number: NUMBER) -> Response:
    """The film as it would have been; after the commit."""
    return _png(_set(request, name).best_film(_person(request), number))


@router.get("/teach/{name}/{number}/yours.png", include_in_schema=False)
async def your_film(request: Request, name: SET, number: NUMBER) -> Response:
    """The film that one's own movement would have given; after the commit."""
    given, person = _set(request, name), _person(request)

    def shot() -> bytes:
        return given.your_film(person, number)

    return _png(await anyio.to_thread.run_sync(shot, limiter=FILMS_AT_ONCE))


def set_request(asked: dict[str, Any]) -> SetRequest:
    """A request for a set from what a page sends.

    Raises
    ------
    SetChoiceError, ItemCountError, NoOwnExerciseError, TooManyOwnError
    """
    unknown = set(asked) - {"count", "seed", "kinds", "faults", "own"}
    if unknown:
        raise SetChoiceError(min(unknown), "count, seed, kinds, faults and own")
    given: dict[str, Any] = {}
    for name, most in (("count", MOST_ITEMS), ("seed", GREATEST_SEED)):
        value = asked.get(name)
        if value is None:
            continue
        if isinstance(value, bool) or not isinstance(value, int) or not 1 <= value <= most:
            raise SetChoiceError(value, f"a whole {name} from 1 to {most}")
        given[name] = value
    for name, kind in (("kinds", ItemKind), ("faults", PlantedFault)):
        values = asked.get(name)
        if not values:
            continue
        known = [each.value for each in kind]
        if not isinstance(values, list) or any(each not in known for each in values):
            raise SetChoiceError(values, f"{name} among {', '.join(known)}")
        given[name] = tuple(kind(each) for each in known if each in values)
    own = asked.get("own") or []
    if not isinstance(own, list) or not all(isinstance(each, str) for each in own):
        raise SetChoiceError(own, "own as names of exercises with films of your own")
    for name in own:
        own_exercise(name)
    return SetRequest(**given, own=tuple(dict.fromkeys(own)))


def _png(content: bytes) -> Response:
    return Response(content, media_type="image/png", headers={"cache-control": "no-store"})


def _sets(request: Request) -> GivenSets:
    found: GivenSets = request.app.state.given_sets
    return found


def _set(request: Request, name: str) -> GivenSet:
    return _sets(request).of(name)


def _person(request: Request) -> str:
    """Whose answers these are: those of one turn at one browser."""
    return f"{_session(request).user}/{turn_of(request)}"


def _is_class(request: Request) -> bool:
    return bool(_session(request).kind is Kind.CLASS)


def _session(request: Request) -> Session:
    found: Session = getattr(request.state, "session", None) or HERE
    return found


__all__ = ["add_to", "set_request"]
