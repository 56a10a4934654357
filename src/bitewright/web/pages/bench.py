"""The bench: a mouth, a receptor, a tube, and the film they give, as a hand moves."""

import json
import os
from collections.abc import Callable, Mapping
from contextlib import suppress
from time import perf_counter
from typing import Annotated, Any

import anyio
import anyio.to_thread
import numpy as np
from fastapi import APIRouter, Depends, FastAPI, Query, Request, WebSocket
from fastapi.responses import HTMLResponse, Response
from numpy.typing import NDArray
from starlette.websockets import WebSocketDisconnect

from bitewright.errors import BitewrightError
from bitewright.nearest_name import meant
from bitewright.quality.views import view as named_view
from bitewright.steps import StoppedError
from bitewright.tasks.bench.bench import CANNOT_BE, Bench, bench_for
from bitewright.tasks.bench.bench_choices import (
    OWN,
    Handling,
    carrying,
    fault_choices,
    handling_of,
    look_choices,
)
from bitewright.tasks.bench.bench_documents import (
    Followed,
    card_bytes,
    ladder_document,
    moving_document,
    plan_document,
    still_document,
)
from bitewright.tasks.bench.bench_frames import film_bytes, frame_bytes, solids_bytes
from bitewright.tasks.bench.bench_settings import SETTINGS, hand_setting
from bitewright.tasks.catalogue.list_catalogue import titles_of
from bitewright.tasks.catalogue.named import equipment, named_equipment
from bitewright.tasks.catalogue.named_mouths import DRAWN, known_mouth, mouth_names, mouth_title
from bitewright.tasks.plan.named_patient import OPENS_MM, limit_choices
from bitewright.tasks.plan.plan_ladder import owned_of
from bitewright.tasks.rated_by import rated_by_name
from bitewright.web.asked_patient import AskedPatient
from bitewright.web.asked_rating import AskedRating
from bitewright.web.described import answers_bytes, replies
from bitewright.web.newest_wish import MOST_MESSAGE, BadWishError, Wish, answer_newest
from bitewright.web.page_templates import page
from bitewright.web.while_wanted import while_wanted
from bitewright.words.film_choices import FILLINGS_TITLES

router = APIRouter()


def add_to(app: FastAPI) -> None:
    """Register the page and what it asks for."""
    app.include_router(router)


FIRST = {
    "mouth": "standard",
    "view": "right-premolar",
    "receptor": "sensor-2",
    "holder": "ring-holder",
    "tube": "rectangular-300",
    "fillings": OWN,
}
"""What lies on the bench at first."""

FILMS_AT_ONCE = anyio.CapacityLimiter(max(os.cpu_count() or 1, 1))
DRAWINGS_AT_ONCE = anyio.CapacityLimiter(max(os.cpu_count() or 1, 1))
WHOLE_FILMS_AT_ONCE = anyio.CapacityLimiter(max(os.cpu_count() or 1, 1))
"""More at once would only slow one another; films must not keep drawings waiting."""


def chosen_bench(
    view: str = FIRST["view"],
    mouth: str = FIRST["mouth"],
    receptor: str = FIRST["receptor"],
    holder: str = FIRST["holder"],
    tube: str = FIRST["tube"],
    fillings: str = FIRST["fillings"],
) -> Bench:
    """The bench that a request's query names."""
    by = named_equipment(equipment(), receptor=receptor, holder=holder, tube=tube)
    return bench_for(named_view(view), carrying(known_mouth(mouth), fillings), by)


def lay_first_bench() -> None:
    """Make what the first visit will ask for: its mouth, its film, one picture."""
    with suppress(StoppedError):
        moving_picture(chosen_bench(), {"settings": {}})


def moving_picture(bench: Bench, wish: Wish) -> NDArray[np.uint8]:
    """The small film of a wish."""
    film = bench.films.moving_film().handled(handling_of(wish.get("film", {})))
    return film.picture(bench.filmed(hand_setting(wish["settings"])))


def asked_handling(
    mas: float | None = None,
    look: str = "plain",
    fault: Annotated[list[str] | None, Query()] = None,
) -> Handling:
    """How a request's query wants the film exposed, displayed and handled."""
    return handling_of({"mas": mas, "look": look, "faults": fault or []})


ChosenBench = Annotated[Bench, Depends(chosen_bench)]
ChosenHandling = Annotated[Handling, Depends(asked_handling)]
SettingsText = Annotated[str, Query(max_length=MOST_MESSAGE)]


@router.get("/bench", response_class=HTMLResponse, include_in_schema=False)
def bench_page(request: Request) -> HTMLResponse:
    """The page; what lies on the bench is in its address."""
    asked = request.query_params.get("mouth", "")
    unlisted = (asked,) if DRAWN.fullmatch(asked) and asked not in mouth_names() else ()
    choices = {
        "mouth": {name: mouth_title(name) for name in (*mouth_names(), *unlisted)},
        **{
            kind: titles_of(f"{kind}s", equipment())
            for kind in ("view", "receptor", "holder", "tube")
        },
        "fillings": FILLINGS_TITLES,
    }
    return page(
        request,
        "bench.html",
        choices=choices,
        first=FIRST,
        settings=SETTINGS,
        looks=look_choices(),
        faults=fault_choices(),
        limits=limit_choices(),
        opens_mm=OPENS_MM,
        unknown=unknown_names(known(request.query_params), choices),
    )


def unknown_names(
    asked: Mapping[str, str], choices: Mapping[str, Mapping[str, str]]
) -> dict[str, dict[str, str]]:
    """What an address asks for that there is not: by kind, what was given and a word of help."""
    return {
        kind: {"given": name[:60], "help": meant(name, choices[kind])}
        for kind, name in asked.items()
        if name not in choices[kind]
    }


@router.get("/bench/station", response_model=None, responses=replies("bitewright.bench-station/1"))
def bench_station(bench: ChosenBench) -> dict[str, Any]:
    """What stays while a hand moves: teeth, fans, settings."""
    return still_document(bench)


@router.get("/bench/exposure", response_model=None, responses=replies("bitewright.bench/1"))
def bench_exposure(
    bench: ChosenBench, by: AskedRating, settings: SettingsText = "{}"
) -> dict[str, Any]:
    """One exposure's prediction and drawing."""
    return moving_document(bench, hand_setting(query_settings(settings)), by)


@router.get("/bench/plan", response_model=None, responses=replies("bitewright.bench-plan/1"))
async def bench_plan(request: Request, bench: ChosenBench, by: AskedRating) -> dict[str, Any]:
    """The best aim and place, and the room left about them."""
    return await while_wanted(
        request,
        "The search for the best aim",
        lambda begin: plan_document(bench, by, begin=begin),
        at_once=DRAWINGS_AT_ONCE,
    )


@router.get("/bench/ladder", response_model=None, responses=replies("bitewright.ladder/1"))
async def bench_ladder(
    request: Request, bench: ChosenBench, by: AskedRating, bears: AskedPatient
) -> dict[str, Any]:
    """What to try in order where the view is hard to take, over all equipment that is known."""
    return await while_wanted(
        request,
        "The search for other ways",
        lambda begin: ladder_document(bench, owned_of(equipment()), by, bears, begin=begin),
        at_once=DRAWINGS_AT_ONCE,
    )


@router.get("/bench/card", response_class=Response, responses=answers_bytes("application/pdf"))
async def bench_card(
    request: Request, bench: ChosenBench, by: AskedRating, bears: AskedPatient
) -> Response:
    """The chair card of the view as PDF: of its plan, or of what works in its stead."""
    made = await while_wanted(
        request,
        "The chair card",
        lambda begin: card_bytes(bench, owned_of(equipment()), by, bears, begin=begin),
        at_once=DRAWINGS_AT_ONCE,
    )
    name = f"{bench.view.name}.pdf"
    return Response(
        made,
        media_type="application/pdf",
        headers={"content-disposition": f'inline; filename="{name}"', "cache-control": "no-store"},
    )


@router.get("/bench/film", response_class=Response, responses=answers_bytes())
async def bench_film(
    request: Request,
    bench: ChosenBench,
    handling: ChosenHandling,
    settings: SettingsText = "{}",
) -> Response:
    """The whole film: 16-bit pixels, little-endian, row by row; its size is in the headers.

    A page that no longer waits for it, as after another drag, stops it.
    """
    wanted = hand_setting(query_settings(settings))
    film = await while_wanted(
        request,
        "The whole film",
        lambda begin: bench.films.whole_film(bench.filmed(wanted), handling=handling, begin=begin),
        at_once=WHOLE_FILMS_AT_ONCE,
    )
    rows, columns = film.pixels.shape
    return Response(
        film_bytes(film),
        media_type="application/octet-stream",
        headers={
            "x-columns": str(columns),
            "x-rows": str(rows),
            "x-pixel-mm": f"{film.pixel_mm:g}",
            "cache-control": "no-store",
        },
    )


@router.get("/bench/build", response_model=None, responses=replies("bitewright.progress/1"))
def bench_build(bench: ChosenBench) -> dict[str, Any]:
    """How far the mouth for the film is built: its state, the step that runs, steps done."""
    return bench.films.build.document()


@router.post("/bench/build/stop", response_model=None, responses=replies("bitewright.progress/1"))
def stop_build(bench: ChosenBench) -> dict[str, Any]:
    """Stop building at the next step; no film of this bench is made until it is asked for again."""
    bench.films.build.stop()
    return bench.films.build.document()


@router.post("/bench/build/again", response_model=None, responses=replies("bitewright.progress/1"))
def build_again(bench: ChosenBench) -> dict[str, Any]:
    """Let the mouth be built when a film is next wanted."""
    bench.films.build.allow()
    return bench.films.build.document()


@router.get("/bench/solids", response_class=Response, responses=answers_bytes())
def bench_solids(bench: ChosenBench) -> Response:
    """The side's teeth as triangles, for the view in space."""
    return Response(
        solids_bytes(bench.films.thinned_mouth()), media_type="application/octet-stream"
    )


@router.websocket("/bench/moving/state")
async def moving_state(socket: WebSocket) -> None:
    """Answers each wish with what the page shows of its exposure, less what it has already."""
    followed = Followed()

    def answer(bench: Bench, wish: Wish, came: float) -> str:
        by = rated_by_name(**wish.get("by", {}))
        document = followed.document(bench, hand_setting(wish["settings"]), by)
        return json.dumps({"seq": wish["seq"], "took_ms": _since_ms(came), **document})

    await converse(socket, answer, DRAWINGS_AT_ONCE)


@router.websocket("/bench/moving/film")
async def film_socket(socket: WebSocket) -> None:
    """Answers each wish with a small film; its milliseconds count its waiting for others too."""

    def answer(bench: Bench, wish: Wish, came: float) -> bytes:
        picture = moving_picture(bench, wish)
        return frame_bytes(picture, seq=wish["seq"], took_ms=_since_ms(came))

    await converse(socket, answer, FILMS_AT_ONCE)


def _since_ms(began: float) -> int:
    return round(1000.0 * (perf_counter() - began))


async def converse(
    socket: WebSocket,
    answer: Callable[[Bench, Wish, float], str | bytes],
    at_once: anyio.CapacityLimiter,
) -> None:
    """Answer the newest wish, each in a thread; what came before it is outdated."""
    await socket.accept()
    try:
        bench = await anyio.to_thread.run_sync(lambda: chosen_bench(**known(socket.query_params)))
    except BitewrightError as error:
        with suppress(WebSocketDisconnect):
            await socket.send_text(json.dumps(refusal(error, 0)))
            await socket.close()
        return

    async def answered(wish: Wish, came: float) -> str | bytes:
        return await anyio.to_thread.run_sync(answer, bench, wish, came, limiter=at_once)

    await answer_newest(socket, answered, refusal)


def refusal(error: BitewrightError, seq: int) -> dict[str, Any]:
    """Why a wish gets no answer, and whether it is because the receptor cannot be there."""
    cannot_be = isinstance(error, CANNOT_BE)
    return {"seq": seq, "fault": str(error), "does_not_fit": cannot_be}


def query_settings(text: str) -> dict[str, Any]:
    """Settings from a query."""
    try:
        settings = json.loads(text)
    except (ValueError, RecursionError):
        settings = None
    if not isinstance(settings, dict):
        raise BadWishError(text)
    return settings


def known(query: Any) -> dict[str, str]:  # noqa: ANN401  starlette's query parameters
    """Those parts of a query that name what lies on the bench."""
    return {name: query[name] for name in FIRST if name in query}


__all__ = ["add_to", "lay_first_bench"]
