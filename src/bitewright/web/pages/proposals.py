"""Marks proposed for a film on the light box; its page keeps them, and a person looks at each."""

from typing import Annotated, Any

import anyio
from fastapi import APIRouter, FastAPI, Query, Request

from bitewright.steps import Begin
from bitewright.tasks.light_box.propose_kept import propose_kept
from bitewright.web.described import replies
from bitewright.web.pages.light_box import Number, TheBox, kept_film
from bitewright.web.while_wanted import while_wanted

router = APIRouter()
PROPOSALS_AT_ONCE = anyio.CapacityLimiter(1)
WHAT = "The proposal of marks"
Missing = Annotated[tuple[int, ...], Query(max_length=32)]


def add_to(app: FastAPI) -> None:
    """Register what the light box asks for."""
    app.include_router(router)


@router.get(
    "/light-box/films/{number}/proposal",
    response_model=None,
    responses=replies("bitewright.proposal/1"),
)
async def proposal(
    request: Request, number: Number, box: TheBox, missing: Missing = (), *, view_too: bool = False
) -> dict[str, Any]:
    """Propose marks for a film, and say which are doubtful; nothing is kept.

    The film needs a view, unless that is to be proposed as well: ``view_too``. Teeth are numbered
    by those that are ``missing`` (ISO 3950) besides those kept as absent with its marks.
    """
    film = box.film(number)

    def propose(begin: Begin) -> dict[str, Any]:
        return propose_kept(
            kept_film(number, box), film, view_too=view_too, missing=missing, begin=begin
        )

    return await while_wanted(request, WHAT, propose, at_once=PROPOSALS_AT_ONCE)


__all__ = ["add_to"]
