"""An earlier and a later film beside each other: what their angulation alone does to the crest."""

from typing import Annotated

import anyio
from fastapi import APIRouter, FastAPI, Query, Request
from fastapi.responses import HTMLResponse, Response

from bitewright.errors import BitewrightError
from bitewright.steps import StoppedError
from bitewright.tasks.catalogue.named import equipment
from bitewright.tasks.light_box.kept_recall import (
    films_offered,
    films_side_by_side,
    kept_recall,
    kept_repeat_card,
)
from bitewright.tasks.visit.recall_tables import exposure_rows, site_rows
from bitewright.web.page_templates import page
from bitewright.web.pages.light_box import TheBox
from bitewright.web.while_wanted import while_wanted
from bitewright.words.recalls import RECALL_CAUTION

router = APIRouter(include_in_schema=False)
PAGE = "/light-box/recall"
WHAT = "The comparison of two films"
AT_ONCE = anyio.CapacityLimiter(1)
REFUSED = 400
Chosen = Annotated[str, Query(max_length=20, pattern="^[0-9]*$")]
Number = Annotated[int, Query(ge=1, le=2**63 - 1)]


def add_to(app: FastAPI) -> None:
    """Register the page and its card."""
    app.include_router(router)


@router.get(PAGE, response_class=HTMLResponse)
async def recall_page(
    request: Request, box: TheBox, earlier: Chosen = "", later: Chosen = ""
) -> HTMLResponse:
    """Show the answer for two films, both of them, and which others may be chosen."""
    known = equipment()
    told, wrong, status = None, "", 200
    if earlier and later:
        try:
            told = await while_wanted(
                request,
                WHAT,
                lambda begin: kept_recall(box, int(earlier), int(later), known, begin),
                at_once=AT_ONCE,
            )
        except StoppedError:
            raise
        except BitewrightError as error:
            wrong, status = str(error), int(getattr(error, "status_code", REFUSED))
    return page(
        request,
        "recall.html",
        status=status,
        told=told,
        wrong=wrong,
        sites=() if told is None else site_rows(told),
        exposures=() if told is None else exposure_rows(told),
        films=None if told is None else films_side_by_side(told, int(earlier), int(later)),
        offered=films_offered(box),
        earlier=earlier,
        later=later,
        recall_caution=RECALL_CAUTION,
    )


@router.get(f"{PAGE}/card.pdf")
async def recall_card(request: Request, box: TheBox, earlier: Number, later: Number) -> Response:
    """The card that repeats the earlier film's geometry, as PDF."""
    known = equipment()
    content = await while_wanted(
        request,
        WHAT,
        lambda begin: kept_repeat_card(kept_recall(box, earlier, later, known, begin)),
        at_once=AT_ONCE,
    )
    return Response(content, media_type="application/pdf")


__all__ = ["add_to"]
