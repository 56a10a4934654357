"""What each address answers, as the described interface tells it: the packaged JSON schemas."""

from typing import Any

from fastapi import FastAPI
from fastapi.openapi.utils import get_openapi

from bitewright.tasks.page_documents import PAGE_FORMATS, page_schema

ERROR = "bitewright.error/1"
PLACE = "#/components/schemas/"
BYTES = "application/octet-stream"


def replies(*formats: str, status: int = 200, many: bool = False) -> dict[int | str, Any]:
    """Responses of an address that answers in one of these formats, or refuses with a sentence."""
    shape: dict[str, Any] = {"$ref": _place(formats[0])}
    if len(formats) > 1:
        shape = {"anyOf": [{"$ref": _place(each)} for each in formats]}
    if many:
        shape = {"type": "array", "items": shape}
    return {status: {"content": {"application/json": {"schema": shape}}}, **REFUSALS}


def answers_bytes(media_type: str = BYTES) -> dict[int | str, Any]:
    """Responses of an address that answers with bytes, or refuses with a sentence."""
    return {200: {"content": {media_type: {"schema": {"type": "string"}}}}, **REFUSALS}


def takes(of_format: str) -> dict[str, Any]:
    """The body an address takes."""
    return {
        "requestBody": {"content": {"application/json": {"schema": {"$ref": _place(of_format)}}}}
    }


def describe(app: FastAPI) -> None:
    """Let the application describe itself with the packaged schemas among its own."""

    def openapi() -> dict[str, Any]:
        if app.openapi_schema is None:
            made = get_openapi(
                title=app.title, version=app.version, summary=app.summary, routes=app.routes
            )
            shapes = made.setdefault("components", {}).setdefault("schemas", {})
            shapes |= {_name(each): _moved(page_schema(each), each) for each in PAGE_FORMATS}
            app.openapi_schema = made
        return app.openapi_schema

    app.openapi = openapi  # type: ignore[method-assign]


def _name(of_format: str) -> str:
    return of_format.replace("/", ".")


def _place(of_format: str) -> str:
    return PLACE + _name(of_format)


REFUSALS: dict[int | str, Any] = {
    "4XX": {
        "description": "Refused, with one sentence that says why",
        "content": {"application/json": {"schema": {"$ref": _place(ERROR)}}},
    }
}


def _moved(part: Any, of_format: str) -> Any:  # noqa: ANN401  any part of a schema
    """A schema as part of a larger document: without names of its own, its references longer."""
    if isinstance(part, list):
        return [_moved(each, of_format) for each in part]
    if not isinstance(part, dict):
        return part
    kept = {key: value for key, value in part.items() if key not in {"$schema", "$id"}}
    return {
        key: value.replace("#/", f"{_place(of_format)}/")
        if key == "$ref" and isinstance(value, str)
        else _moved(value, of_format)
        for key, value in kept.items()
    }


__all__ = ["REFUSALS", "answers_bytes", "describe", "replies", "takes"]
