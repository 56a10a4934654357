"""The catalogue: what can be named, where its figures come from, and a user's own entries."""

from collections.abc import AsyncIterator
from typing import Annotated, Any

from fastapi import APIRouter, Body, FastAPI, Query, Request
from fastapi.responses import HTMLResponse, Response

from bitewright.errors import BitewrightError
from bitewright.tasks.catalogue.list_catalogue import list_catalogue
from bitewright.tasks.catalogue.named import equipment
from bitewright.tasks.catalogue.named_mouths import add_mouth, mouth_table, mouth_text, remove_mouth
from bitewright.tasks.catalogue.own_checklists import (
    checklist_cards_bytes,
    checklist_rows,
    checklists_text,
    drop_checklists,
    keep_checklists_text,
)
from bitewright.tasks.catalogue.own_equipment import (
    add_equipment_text,
    entry_fields,
    entry_table,
    own_equipment_text,
    put_entry,
    remove_entry,
)
from bitewright.web.described import REFUSALS
from bitewright.web.page_templates import page

router = APIRouter(responses=REFUSALS)
SECTIONS = ("receptors", "holders", "tubes")
LISTS = ("views", "criteria", "schemes")
MOST_TEXT_BYTES = 1 << 20
TOML = "application/toml"


class TooLongFileError(BitewrightError):
    """A file is longer than any description."""

    status_code = 413

    def __init__(self) -> None:
        super().__init__(
            f"The file is larger than {MOST_TEXT_BYTES >> 10} kB: give an equipment file or one "
            "mouth's description."
        )


def add_to(app: FastAPI) -> None:
    """Register the page and what it asks for."""
    app.include_router(router)


@router.get("/catalogue", response_class=HTMLResponse, include_in_schema=False)
def catalogue(request: Request) -> HTMLResponse:
    """Show every section, with forms for one's own entries."""
    known = equipment()
    return page(
        request,
        "catalogue.html",
        sections={
            name: {"fields": entry_fields(name), "rows": entry_table(name, known)}
            for name in SECTIONS
        },
        mouths=mouth_table(),
        checklists=checklist_rows(),
        lists={name: list_catalogue(name, known)["entries"] for name in LISTS},
    )


@router.put("/catalogue/{section}/{name}", status_code=204)
def put_own_entry(section: str, name: str, entry: Annotated[dict[str, Any], Body()]) -> None:
    """Add one's own entry, or change it."""
    put_entry(section, entry | {"name": name})


@router.delete("/catalogue/{section}/{name}", status_code=204)
def remove_own_entry(section: str, name: str) -> None:
    """Remove one's own entry."""
    if section == "mouths":
        remove_mouth(name)
    else:
        remove_entry(section, name)


@router.post("/catalogue/equipment-file", status_code=204)
async def import_equipment(request: Request) -> None:
    """Add every entry of an equipment file, or none."""
    add_equipment_text(await text_of(request.stream()))


@router.get("/catalogue/equipment-file")
def export_equipment() -> Response:
    """One's own equipment as a file."""
    return download(own_equipment_text(), "equipment.toml")


@router.post("/catalogue/mouth-file", status_code=204)
async def import_mouth(request: Request, name: Annotated[str, Query(max_length=60)]) -> None:
    """Keep a mouth's description under a name."""
    add_mouth(name, await text_of(request.stream()))


@router.get("/catalogue/mouth-file/{name}")
def export_mouth(name: str) -> Response:
    """A mouth's whole description as a file."""
    return download(mouth_text(name), f"{name}.toml")


@router.post("/catalogue/checklist-file", status_code=204)
async def import_checklists(request: Request) -> None:
    """Use one's own checklists, all of a file or none."""
    keep_checklists_text(await text_of(request.stream()))


@router.get("/catalogue/checklist-file")
def export_checklists() -> Response:
    """Every checklist that holds, as a file to change."""
    return download(checklists_text(), "checklists.toml")


@router.delete("/catalogue/checklist-file", status_code=204)
def remove_checklists() -> None:
    """Go back to the checklists that come along."""
    drop_checklists()


@router.get("/catalogue/checklist-cards", include_in_schema=False)
def checklist_cards() -> Response:
    """Every checklist as a card to print."""
    headers = {"content-disposition": 'inline; filename="checklists.pdf"'}
    return Response(checklist_cards_bytes()[0], 200, headers, "application/pdf")


async def text_of(parts: AsyncIterator[bytes]) -> bytes:
    """A request's body, if it is no longer than a description."""
    text = b""
    async for part in parts:
        text += part
        if len(text) > MOST_TEXT_BYTES:
            raise TooLongFileError
    return text


def download(text: bytes, name: str) -> Response:
    """A file to keep."""
    headers = {"content-disposition": f'attachment; filename="{name}"'}
    return Response(text, 200, headers, TOML)


__all__ = ["add_to"]
