"""The light box: real films, marked, measured and explained."""

import json
from datetime import UTC, datetime
from functools import lru_cache
from threading import Lock
from typing import Annotated, Any

import anyio.to_thread
from fastapi import APIRouter, Body, Depends, FastAPI, Query, Request
from fastapi import Path as FromPath
from fastapi.responses import HTMLResponse, Response

from bitewright.errors import BitewrightError
from bitewright.explanation.chairside_answers import ChairsideQuestion
from bitewright.quality.criteria import Question
from bitewright.quality.rating_schemes import USUAL_SCHEME
from bitewright.tasks.assess.decoded_film import decode_film
from bitewright.tasks.catalogue.list_catalogue import titles_of
from bitewright.tasks.catalogue.named import equipment
from bitewright.tasks.light_box.assess_kept import assess_kept, why_not_rated
from bitewright.tasks.light_box.kept_marks import change_marks, marks_for_file
from bitewright.tasks.light_box.light_box import (
    DECISIONS,
    change_words,
    enter_film,
    film_document,
    film_of,
    keep_decision,
    open_own_light_box,
)
from bitewright.tasks.light_box.mount_pictures import mount_picture
from bitewright.tasks.light_box.propose_kept import may_propose
from bitewright.tasks.light_box.snap_mark import snapped_mark
from bitewright.tasks.light_box.usual_marks import usual_marks
from bitewright.tasks.made_once import MadeOnce
from bitewright.tasks.rated_by import rated_by_name
from bitewright.web.asked_rating import AskedRating
from bitewright.web.described import answers_bytes, replies, takes
from bitewright.web.page_templates import page
from bitewright.words.chairside import CHAIRSIDE_QUESTIONS, WHY_ASKED
from bitewright.words.marking import (
    MARK_TITLES,
    WHERE_A_MARK_GOES,
    WHERE_MARKS_GO,
    WHERE_MARKS_GO_PICTURE,
)
from bitewright.words.not_rated import TO_CHECK
from bitewright.words.proposals import (
    CANNOT_PROPOSE,
    DOUBT_WORDS,
    FILM_DOUBT_WORDS,
    PROPOSED_BY,
    other_view_words,
)
from bitewright.words.seen_faults import SEEN_FAULTS
from bitewright.words.snapping import SNAP_RULE

router = APIRouter()
MOST_UPLOAD_BYTES = 64 << 20
MOST_SIDE_PX = 100_000
LIGHT_BOX = "bitewright.light-box/1"
Number = Annotated[int, FromPath(ge=1, le=2**63 - 1)]
"""A film's number, as large as a database can hold."""

Box = Any  # the store's type belongs to the edges, which a page reaches through tasks only


class TooLargeUploadError(BitewrightError):
    """A file is larger than is taken."""

    status_code = 413

    def __init__(self) -> None:
        super().__init__(
            f"The file is larger than {MOST_UPLOAD_BYTES >> 20} MB: give one film, not a series."
        )


class EmptyUploadError(BitewrightError):
    """Nothing was sent."""

    def __init__(self) -> None:
        super().__init__("The file is empty: choose a film as PNG, TIFF, JPEG or DICOM.")


def add_to(app: FastAPI) -> None:
    """Register the page and what it asks for."""
    app.include_router(router)


def own_box() -> Box:
    """The user's light box, opened when first asked for, once whoever else asks meanwhile."""
    with OPENING:
        return opened_box()


OPENING = Lock()


@lru_cache(maxsize=1)
def opened_box() -> Box:
    """The user's light box."""
    return open_own_light_box()


TheBox = Annotated[Any, Depends(own_box)]


@router.get("/light-box", response_class=HTMLResponse, include_in_schema=False)
def light_box(request: Request) -> HTMLResponse:
    """Show the light box."""
    known = equipment()
    return page(
        request,
        "light_box.html",
        views=titles_of("views", known),
        receptors=titles_of("receptors", known),
        holders=titles_of("holders", known),
        ringless=[name for name, holder in known.holders.items() if not holder.ring],
        decisions=DECISIONS,
        may_propose=may_propose(),
        cannot_propose=CANNOT_PROPOSE,
        proposed_by=PROPOSED_BY,
        doubts=DOUBT_WORDS,
        film_doubts=FILM_DOUBT_WORDS,
        other_view=other_view_words("LIKELY", "CHOSEN"),
        snap_rule=SNAP_RULE,
        seen_faults=SEEN_FAULTS,
        chairside={
            each.value: words
            for each, words in CHAIRSIDE_QUESTIONS.items()
            if each is not ChairsideQuestion.RIM
        },
        why_asked=WHY_ASKED,
        where_marks_go=WHERE_MARKS_GO,
        where_marks_go_picture=WHERE_MARKS_GO_PICTURE,
        where_a_mark_goes=[(MARK_TITLES[kind], says) for kind, says in WHERE_A_MARK_GOES.items()],
    )


@router.get("/light-box/films", response_model=None, responses=replies(LIGHT_BOX, many=True))
def films(box: TheBox) -> list[dict[str, Any]]:
    """Every film on the light box."""
    known = equipment()
    return [film_document(film, known) for film in box.films()]


@router.put(
    "/light-box/films",
    status_code=201,
    response_model=None,
    responses=replies(LIGHT_BOX, status=201),
)
async def add_film(
    request: Request,
    box: TheBox,
    label: Annotated[str, Query(max_length=200)] = "",
    visit: Annotated[str, Query(max_length=60)] = "",
    *,
    looked_at: bool = False,
) -> dict[str, Any]:
    """Take one film: the request's body is the file.

    409 if something in it may say whose it is, unless a person has looked: ``looked_at``.
    """
    data = await uploaded(request)

    def enter() -> Any:  # noqa: ANN401  as Box
        film = decode_film(data, name=label or "film")
        return enter_film(
            box, film, visit=visit or "today", now=datetime.now(UTC), looked_at=looked_at
        )

    return shown(await anyio.to_thread.run_sync(enter))


def shown(film: Any) -> dict[str, Any]:  # noqa: ANN401  as Box
    """A film for the page."""
    return film_document(film, equipment())


async def uploaded(request: Request) -> bytes:
    """A request's body, if it is no larger than a film."""
    data = bytearray()
    async for part in request.stream():
        data += part
        if len(data) > MOST_UPLOAD_BYTES:
            raise TooLargeUploadError
    if not data:
        raise EmptyUploadError
    return bytes(data)


@router.get("/light-box/films/{number}", response_model=None, responses=replies(LIGHT_BOX))
def film(number: Number, box: TheBox) -> dict[str, Any]:
    """One film: what is kept of it, its marks, the marks it wants."""
    return shown(box.film(number))


@router.delete("/light-box/films/{number}", status_code=204)
def remove_film(number: Number, box: TheBox) -> None:
    """Take a film off the light box."""
    box.remove(number)


@router.patch("/light-box/films/{number}", response_model=None, responses=replies(LIGHT_BOX))
def change_film(
    number: Number,
    box: TheBox,
    label: Annotated[str, Body(max_length=200)],
    visit: Annotated[str, Body(max_length=60)],
) -> dict[str, Any]:
    """Give a film other words or another visit."""
    return shown(change_words(box, number, label=label, visit=visit))


@router.get("/light-box/films/{number}/pixels", response_class=Response, responses=answers_bytes())
def pixels(number: Number, box: TheBox) -> Response:
    """The film's pixels: 16 bits, little-endian, row by row."""
    raw = kept_film(number, box).image
    headers = {"x-columns": str(raw.columns), "x-rows": str(raw.rows), "x-bits": str(raw.bits)}
    return Response(raw.pixels.astype("<u2").tobytes(), 200, headers, "application/octet-stream")


@router.get("/light-box/films/{number}/picture", response_class=Response, responses=answers_bytes())
def picture(number: Number, box: TheBox) -> Response:
    """The film made small, for its place in the mount: 8 bits, row by row."""
    small = mount_picture(box, box.film(number))
    headers = {"x-columns": str(small.shape[1]), "x-rows": str(small.shape[0])}
    return Response(small.tobytes(), 200, headers, "application/octet-stream")


@router.put(
    "/light-box/films/{number}/marks",
    response_model=None,
    responses=replies(LIGHT_BOX),
    openapi_extra=takes("bitewright.marks-change/1"),
)
def put_marks(
    number: Number,
    box: TheBox,
    version: Annotated[int, Body(ge=0)],
    marks: Annotated[dict[str, Any], Body()],
) -> dict[str, Any]:
    """Keep marks that were made from a version; 409 if they were changed elsewhere."""
    return shown(change_marks(box, number, marks, version=version))


@router.get(
    "/light-box/films/{number}/marks-file",
    response_class=Response,
    responses=replies("bitewright.marks/1"),
)
def marks_file(number: Number, box: TheBox) -> Response:
    """The marks as a file for `bitewright assess`."""
    text = json.dumps(marks_for_file(box.film(number)), indent=2)
    headers = {"content-disposition": f'attachment; filename="film-{number}.marks.json"'}
    return Response(text, 200, headers, "application/json")


@router.get(
    "/light-box/films/{number}/edge",
    response_model=None,
    responses=replies("bitewright.crown-edge/1"),
)
def edge(
    number: Number,
    box: TheBox,
    name: Annotated[str, Query(max_length=60)],
    x_px: Annotated[float, Query(ge=0, le=MOST_SIDE_PX)],
    y_px: Annotated[float, Query(ge=0, le=MOST_SIDE_PX)],
) -> dict[str, Any]:
    """Where a mark put down at a place belongs: on the crown's border, if that is sure."""
    return snapped_mark(box.film(number), kept_film(number, box), name, (x_px, y_px))


@router.get(
    "/light-box/usual-marks/{view}",
    response_model=None,
    responses=replies("bitewright.usual-marks/1"),
)
def usual(view: Annotated[str, FromPath(max_length=80)]) -> dict[str, Any]:
    """Where a view's marks usually lie on a film, to light the place of the next one."""
    return usual_marks(view)


_DECODED: MadeOnce[tuple[int, Box], Any] = MadeOnce(2)


def kept_film(number: int, box: Box) -> Any:  # noqa: ANN401  as Box
    """A film with its pixels, which never change, kept while marks are put on it."""
    return _DECODED.of((number, box), lambda: film_of(box, box.film(number)))


@router.get(
    "/light-box/films/{number}/assessment",
    response_model=None,
    responses=replies("bitewright.assessment/1", "bitewright.cannot-tell/1"),
)
def assessment(number: Number, box: TheBox, by: AskedRating) -> dict[str, Any]:
    """Measurements and rating from the marks so far; ``cannot`` says why they tell nothing yet."""
    kept = box.film(number)
    try:
        return assess_kept(kept_film(number, box), kept, by=by, explained=False).document()
    except BitewrightError as error:
        return cannot_tell(error)


def cannot_tell(why: BitewrightError) -> dict[str, Any]:
    """An answer that is none yet, and no failure: marks are still being placed."""
    return {"format": "bitewright.cannot-tell/1", "cannot": str(why)}


@router.put("/light-box/films/{number}/decision", response_model=None, responses=replies(LIGHT_BOX))
def put_decision(
    number: Number,
    box: TheBox,
    decision: Annotated[str, Body(max_length=40)],
    by: Annotated[str, Body(max_length=40)] = "",
    note: Annotated[str, Body(max_length=200)] = "",
    question: Annotated[str, Body(max_length=60)] = Question.ENAMEL,
    scheme: Annotated[str, Body(max_length=60)] = USUAL_SCHEME,
    *,
    marks_first: Annotated[bool, Body()] = False,
) -> dict[str, Any]:
    """Keep what a person decided about the film, and what it was rated for and by, or why not.

    ``marks_first``: the page said to check the marks first.
    """
    rated_by = rated_by_name(question, scheme)
    why_not = why_not_rated(lambda: kept_film(number, box), box.film(number), by=rated_by)
    made = keep_decision(
        box,
        number,
        decision=decision,
        by=by,
        note=note,
        rated_by=rated_by,
        not_rated=why_not or (TO_CHECK if marks_first else ""),
        now=datetime.now(UTC),
    )
    return shown(made)


__all__ = ["Box", "Number", "TheBox", "add_to", "cannot_tell", "kept_film", "opened_box", "own_box"]
