"""A failure a person can mend, told as a page or as JSON; one place for every page."""

from pathlib import Path
from typing import Any

from fastapi import FastAPI
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException
from starlette.requests import ClientDisconnect, HTTPConnection, Request
from starlette.responses import JSONResponse, Response

from bitewright.errors import BitewrightError, plainly, quoted
from bitewright.web.page_templates import page
from bitewright.words.equipment_fields import in_peoples_words

ERROR_FORMAT = "bitewright.error/1"
BAD_REQUEST, NOT_FOUND = 400, 404
WORDS = {
    404: "There is no page at this address: use the names at the top of the page.",
    405: "This address does not take that kind of request.",
}


def error_answer(caller: HTTPConnection, error: Exception, status: int | None = None) -> Response:
    """Tell a failure as a page to people, as JSON to programs.

    An error's class may carry ``status_code``; a `BitewrightError` without one is 400.
    """
    code = status or int(getattr(error, "status_code", BAD_REQUEST))
    sentence = without_folders(error)
    if wants_page(caller):
        return page(caller, "error.html", status=code, sentence=sentence, status_code=code)
    told = {"format": ERROR_FORMAT, "error": sentence}
    field = getattr(error, "field", None)
    if isinstance(field, str):
        told |= {"field": field, "at_field": in_peoples_words(sentence)}
    return JSONResponse(told, code)


def without_folders(error: Exception) -> str:
    """An error's sentence for pages, with the names of files, not where they lie here.

    An error may carry one of its own as ``on_page``.
    """
    sentence = str(getattr(error, "on_page", error))
    for about in ("file", "path"):
        path = getattr(error, about, None)
        if isinstance(path, Path):
            sentence = sentence.replace(str(path), path.name)
    return sentence


def wants_page(caller: HTTPConnection) -> bool:
    """Whether the caller would rather read HTML than JSON."""
    accepted = caller.headers.get("accept", "")
    html, json = accepted.find("text/html"), accepted.find("application/json")
    return html >= 0 and (json < 0 or html < json)


def validation_sentence(problems: list[dict[str, Any]]) -> str:
    """Every problem of a request in one sentence: which field, what was wrong, what was given."""
    told = []
    for problem in problems:
        name = plainly(".".join(str(part) for part in problem["loc"][1:])) or "the request"
        given = problem.get("input")
        was = f" (given: {quoted(str(given))})" if isinstance(given, str | int | float) else ""
        told.append(f"{name}: {problem['msg'][0].lower()}{problem['msg'][1:]}{was}")
    return f"The request is not as it should be: {'; '.join(told)}."


def add_error_answers(app: FastAPI) -> None:
    """Translate every failure of one application once."""

    async def mendable(request: Request, error: Exception) -> Response:
        return error_answer(request, error)

    async def gone(_request: Request, _error: Exception) -> Response:
        return Response(status_code=BAD_REQUEST)  # which nobody reads any more

    async def invalid(request: Request, error: Exception) -> Response:
        problems = error.errors() if isinstance(error, RequestValidationError) else []
        return error_answer(request, ValueError(validation_sentence(list(problems))), 422)

    async def refused(request: Request, error: Exception) -> Response:
        code = error.status_code if isinstance(error, HTTPException) else BAD_REQUEST
        said = error.detail if isinstance(error, HTTPException) else str(error)
        told = error_answer(request, ValueError(WORDS.get(code, said)), code)
        if isinstance(error, HTTPException) and error.headers:
            told.headers.update(error.headers)
        return told

    app.add_exception_handler(BitewrightError, mendable)
    app.add_exception_handler(ClientDisconnect, gone)
    app.add_exception_handler(RequestValidationError, invalid)
    app.add_exception_handler(HTTPException, refused)


__all__ = ["ERROR_FORMAT", "add_error_answers", "error_answer", "validation_sentence", "wants_page"]
