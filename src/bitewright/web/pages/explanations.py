"""What the light box's marks tell beyond measurements: why, the drawing, the film it gives."""

from collections.abc import Callable
from typing import Any, TypeVar

import anyio
from fastapi import APIRouter, FastAPI, Request
from fastapi.responses import Response

from bitewright.errors import BitewrightError
from bitewright.steps import Begin
from bitewright.tasks.light_box.assess_kept import assess_kept, drawing_of, explained_picture
from bitewright.tasks.light_box.kept_marks import others_of_visit
from bitewright.tasks.made_once import MadeOnce
from bitewright.tasks.rated_by import RatedBy
from bitewright.web.asked_rating import AskedRating
from bitewright.web.described import answers_bytes, replies
from bitewright.web.pages.light_box import Box, Number, TheBox, cannot_tell, kept_film
from bitewright.web.while_wanted import while_wanted
from bitewright.words.learned_together import learned_together

router = APIRouter()
EXPLANATIONS_AT_ONCE = anyio.CapacityLimiter(1)
READINGS_AT_ONCE = anyio.CapacityLimiter(1)
MOST_KEPT = 8
WHAT = "The explanation"
Made = TypeVar("Made")


def add_to(app: FastAPI) -> None:
    """Register what the light box asks for."""
    app.include_router(router)


@router.get(
    "/light-box/films/{number}/explanation",
    response_model=None,
    responses=replies("bitewright.assessment/1", "bitewright.cannot-tell/1"),
)
async def explanation(
    request: Request,
    response: Response,
    number: Number,
    box: TheBox,
    by: AskedRating,
    *,
    together: bool = False,
) -> dict[str, Any]:
    """Everything `bitewright assess` tells; takes a second or two.

    ``together``: with the other marked films of the visit, as by ``--also``. The headers say from
    which version of the marks, and whether there is a drawing. The last caveat then tells what the
    others taught this film.
    """
    version = box.film(number).marks_version
    try:
        made, has_drawing, learned = await _one_at_a_time(
            request, lambda begin: _with_drawing(box, number, by, together=together, begin=begin)
        )
    except BitewrightError as error:
        return cannot_tell(error)
    response.headers["x-marks-version"] = str(version)
    response.headers["x-has-drawing"] = "yes" if has_drawing else "no"
    document: dict[str, Any] = made.document()
    if learned:
        document["caveats"].append(learned)
    return document


@router.get(
    "/light-box/films/{number}/reading",
    response_model=None,
    responses=replies("bitewright.assessment/1", "bitewright.cannot-tell/1"),
)
async def reading(request: Request, number: Number, box: TheBox, by: AskedRating) -> dict[str, Any]:
    """As the assessment, with an answer of the marks so far; quicker than the explanation."""
    film = box.film(number)

    def read(begin: Begin) -> Any:  # noqa: ANN401  as Box
        decoded = kept_film(number, box)
        return assess_kept(decoded, film, by=by, explained=False, quickly=True, begin=begin)

    try:
        made = await while_wanted(request, WHAT, read, at_once=READINGS_AT_ONCE)
    except BitewrightError as error:
        return cannot_tell(error)
    document: dict[str, Any] = made.document()
    return document


async def _one_at_a_time(request: Request, work: Callable[[Begin], Made]) -> Made:
    return await while_wanted(request, WHAT, work, at_once=EXPLANATIONS_AT_ONCE)


def _with_drawing(
    box: Box, number: int, by: RatedBy, *, together: bool, begin: Begin
) -> tuple[Any, bool, str]:
    made = kept_explanation(box, number, by, together=together, begin=begin)
    others = len(others_of_visit(box, box.film(number))) if together else 0
    learned = ""
    if others:
        begin("the same from this film alone")
        alone = kept_explanation(box, number, by, together=False, begin=begin)
        learned = learned_together(alone.correction, made.correction, others)
    begin("the drawing")
    return made, drawing_of(made) is not None, learned


@router.get(
    "/light-box/films/{number}/drawing",
    response_class=Response,
    responses=answers_bytes("image/svg+xml"),
)
async def drawing(
    request: Request, number: Number, box: TheBox, by: AskedRating, *, together: bool = False
) -> Response:
    """The correction's drawing; 204 if the marks cannot tell."""
    made = await _one_at_a_time(
        request,
        lambda begin: drawing_of(kept_explanation(box, number, by, together=together, begin=begin)),
    )
    return Response(status_code=204) if made is None else Response(made, 200, None, "image/svg+xml")


@router.get(
    "/light-box/films/{number}/explained-film", response_class=Response, responses=answers_bytes()
)
async def explained_film(
    request: Request, number: Number, box: TheBox, by: AskedRating, *, together: bool = False
) -> Response:
    """The film that the estimated exposure gives: 8 bits, row by row; 204 if marks cannot tell."""
    made = await _one_at_a_time(
        request,
        lambda begin: explained_picture(
            kept_explanation(box, number, by, together=together, begin=begin), begin=begin
        ),
    )
    if made is None:
        return Response(status_code=204)
    picture, (width_mm, height_mm) = made
    headers = {
        "x-columns": str(picture.shape[1]),
        "x-rows": str(picture.shape[0]),
        "x-width-mm": f"{width_mm:.3f}",
        "x-height-mm": f"{height_mm:.3f}",
    }
    return Response(picture.tobytes(), 200, headers, "application/octet-stream")


_KEPT: MadeOnce[tuple[Any, ...], Any] = MadeOnce(MOST_KEPT)


def kept_explanation(box: Box, number: int, by: RatedBy, *, together: bool, begin: Begin) -> Any:  # noqa: ANN401  as Box
    """An explanation of the marks as they are, kept for its drawing and film."""
    film = box.film(number)
    also = others_of_visit(box, film) if together else ()
    key = (
        box,
        by.question,
        by.scheme.name,
        *((each.id, each.marks_version) for each in (film, *also)),
    )

    def make() -> Any:  # noqa: ANN401  as Box
        decoded = kept_film(number, box)
        return assess_kept(decoded, film, by=by, explained=True, also=also, begin=begin)

    return _KEPT.of(key, make)


__all__ = ["add_to", "kept_explanation"]
