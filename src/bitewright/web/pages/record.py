"""The record: bring in a sheet, answer what it leaves open, look at every fault, take it back."""

from pathlib import Path
from typing import Annotated, Any

import anyio.to_thread
from fastapi import APIRouter, FastAPI, Query, Request
from fastapi.responses import HTMLResponse, Response

from bitewright.errors import BitewrightError
from bitewright.tasks.log.import_sheet import ImportOptions
from bitewright.tasks.log.sheet_page import (
    TAKEN_TITLES,
    brought_in,
    imports_shown,
    mapping_text,
    sheet_page,
    taken_back,
)
from bitewright.web.page_templates import page

router = APIRouter()
MOST_SHEET_BYTES = 64 << 20
NAME = Annotated[str, Query(max_length=200)]
ANSWERS = Annotated[list[str] | None, Query(max_length=400)]


class TooLargeSheetError(BitewrightError):
    """A sheet is larger than is taken."""

    status_code = 413

    def __init__(self) -> None:
        super().__init__(
            f"The sheet is larger than {MOST_SHEET_BYTES >> 20} MB: use `bitewright log import`."
        )


class NoSheetError(BitewrightError):
    """Nothing was sent."""

    def __init__(self) -> None:
        super().__init__("The file is empty: choose a sheet as XLSX, ODS, XLS or CSV.")


def add_to(app: FastAPI) -> None:
    """Register the page and what it asks for."""
    app.include_router(router)


@router.get("/record", response_class=HTMLResponse, include_in_schema=False)
def record(request: Request) -> HTMLResponse:
    """Show the page with the imports there are."""
    return page(request, "record.html", imports=imports_shown())


@router.post("/record/sheet", response_class=HTMLResponse, include_in_schema=False)
async def understand(request: Request, name: NAME, answer: ANSWERS = None) -> HTMLResponse:
    """What is made of a sheet, as a part of the page; nothing is written."""
    content = await sheet_bytes(request)
    shown = await anyio.to_thread.run_sync(sheet_page, content, _path(name), tuple(answer or ()))
    return page(request, "record_sheet.html", sheet=shown, titles=TAKEN_TITLES)


@router.post("/record/import", response_class=HTMLResponse, include_in_schema=False)
async def bring_in(
    request: Request,
    name: NAME,
    answer: ANSWERS = None,
    *,
    skip_bad_rows: bool = False,
    again: Annotated[str | None, Query(max_length=10)] = None,
) -> HTMLResponse:
    """Take the sheet into the log as one import."""
    content = await sheet_bytes(request)
    options = ImportOptions(skip_bad_rows=skip_bad_rows, again=again)

    def taken() -> dict[str, Any]:
        return brought_in(content, _path(name), tuple(answer or ()), options)

    done = await anyio.to_thread.run_sync(taken)
    return page(request, "record_done.html", done=done, imports=imports_shown())


@router.post("/record/undo", response_class=HTMLResponse, include_in_schema=False)
def undo(request: Request, identifier: Annotated[str, Query(max_length=20)]) -> HTMLResponse:
    """Take an import back."""
    said = taken_back(identifier)
    return page(request, "record_undone.html", said=said, imports=imports_shown())


@router.post("/record/mapping", include_in_schema=False)
async def mapping(request: Request, name: NAME, answer: ANSWERS = None) -> Response:
    """The mapping of a sheet for next month, as a file for the command line."""
    content = await sheet_bytes(request)
    text = mapping_text(content, _path(name), tuple(answer or ()))
    return Response(text, media_type="application/toml")


def _path(name: str) -> Path:
    """A name for the sheet; what a browser says of folders is dropped."""
    return Path(Path(name.replace("\\", "/")).name or "sheet")


async def sheet_bytes(request: Request) -> bytes:
    """A request's body, if it is no larger than a sheet."""
    data = bytearray()
    async for part in request.stream():
        data += part
        if len(data) > MOST_SHEET_BYTES:
            raise TooLargeSheetError
    if not data:
        raise NoSheetError
    return bytes(data)


__all__ = ["add_to"]
