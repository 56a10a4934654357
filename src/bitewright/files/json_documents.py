"""Strict JSON documents: a named format, a packaged schema, and one sentence on what is wrong."""

import json
import math
from collections.abc import Mapping
from functools import cache
from importlib import resources
from itertools import islice
from typing import TYPE_CHECKING, Any

from bitewright.errors import BitewrightError, quoted
from bitewright.kept_text import not_kept, place_words

if TYPE_CHECKING:
    from jsonschema import Draft202012Validator, ValidationError

INDENT = 2
MOST_ERRORS = 200
"""So many faults of a document are looked at for the first of them."""


class NotJsonError(BitewrightError):
    """A file is no strict JSON object."""

    def __init__(self, where: str, reason: str) -> None:
        self.where = where
        self.reason = reason
        super().__init__(
            f"{where} is not a JSON document, because {reason}: correct or replace it."
        )


class DocumentFormatError(BitewrightError):
    """A document does not name a format and version that is read here."""

    def __init__(self, where: str, given: object, known: tuple[str, ...]) -> None:
        self.where = where
        self.given = given
        self.known = known
        said = "does not say its format" if given is None else f"says format {quoted(given)}"
        super().__init__(
            f"{where} {said}: here it must be {' or '.join(known)}, given in the field 'format'."
        )


class SchemaViolationError(BitewrightError):
    """A field of a document is missing, unknown or not allowed."""

    def __init__(self, where: str, place: str, problem: str) -> None:
        self.where = where
        self.place = place
        self.problem = problem
        super().__init__(f"{where}, at {place}: {problem}.")


def parse_document(text: bytes, where: str, *, schemas: Mapping[str, str]) -> dict[str, Any]:
    """A checked JSON document.

    Parameters
    ----------
    text : bytes
        UTF-8, with or without a byte order mark.
    where : str
        How to call the document in an error: its path.
    schemas : mapping of str to str
        Schema file in this package by format name, newest first.

    Raises
    ------
    NotJsonError
        If it is not UTF-8, not JSON, repeats a field, or holds NaN or an infinity.
    DocumentFormatError
        If its format is not among the schemas.
    SchemaViolationError
        If it does not fit its schema, or holds what cannot be kept; the first place is named.
    """
    document = _strict_json(text, where)
    check_document(document, where, schemas=schemas)
    return document


def check_document(document: Mapping[str, Any], where: str, *, schemas: Mapping[str, str]) -> None:
    """Refuse a parsed document whose format or content is wrong; errors as `parse_document`."""
    given = document.get("format")
    if not isinstance(given, str) or given not in schemas:
        raise DocumentFormatError(where, given, tuple(schemas))
    not_allowed = not_kept(document)
    if not_allowed is not None:
        raise SchemaViolationError(where, place_words(not_allowed[0]), not_allowed[1])
    errors = islice(_validator(schemas[given]).iter_errors(document), MOST_ERRORS)
    first = min(errors, key=lambda error: [str(part) for part in error.absolute_path], default=None)
    if first is not None:
        raise SchemaViolationError(where, place_words(tuple(first.absolute_path)), _problem(first))


def document_bytes(document: Mapping[str, Any]) -> bytes:
    """The document as UTF-8 JSON, indented, ending in a line feed."""
    text = json.dumps(document, indent=INDENT, ensure_ascii=False, allow_nan=False)
    return (text + "\n").encode("utf-8")


@cache
def schema(name: str) -> dict[str, Any]:
    """A packaged JSON schema by file name."""
    text = (resources.files("bitewright.files") / "schemas" / name).read_text(encoding="utf-8")
    parsed: dict[str, Any] = json.loads(text)
    return parsed


@cache
def _validator(name: str) -> "Draft202012Validator":
    from jsonschema import Draft202012Validator  # noqa: PLC0415  slow to load

    return Draft202012Validator(schema(name))


class _NotStrictError(ValueError):
    """Something `json` lets pass and we do not."""


def _strict_json(text: bytes, where: str) -> dict[str, Any]:
    try:
        document = json.loads(
            text.decode("utf-8-sig"),
            object_pairs_hook=_without_repeats,
            parse_constant=_no_constant,
            parse_float=_finite,
        )
    except UnicodeDecodeError as error:
        raise NotJsonError(where, "its text is not UTF-8") from error
    except json.JSONDecodeError as error:
        reason = f"line {error.lineno}, column {error.colno} breaks its rules ({error.msg})"
        raise NotJsonError(where, reason) from error
    except RecursionError as error:
        raise NotJsonError(where, "it is nested too deeply") from error
    except _NotStrictError as error:
        raise NotJsonError(where, str(error)) from error
    except ValueError as error:
        raise NotJsonError(where, "it holds a number with too many digits") from error
    if not isinstance(document, dict):
        raise NotJsonError(where, "it is not an object in braces")
    return document


def _without_repeats(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    fields = dict(pairs)
    if len(fields) < len(pairs):
        names = [name for name, _ in pairs]
        twice = next(name for name in names if names.count(name) > 1)
        reason = f"it gives the field {quoted(twice)} twice"
        raise _NotStrictError(reason)
    return fields


def _no_constant(name: str) -> float:
    reason = f"it holds {name}, which is no number"
    raise _NotStrictError(reason)


def _finite(text: str) -> float:
    value = float(text)
    if not math.isfinite(value):
        reason = f"it holds {quoted(text)}, which is too large a number"
        raise _NotStrictError(reason)
    return value


def _problem(error: "ValidationError") -> str:
    """What is wrong and what is allowed, in our words: the schema's descriptions."""
    given: Any = error.instance
    rule: Any = error.schema  # every schema of ours is an object
    if error.validator == "required":
        missing = next(name for name in rule["required"] if name not in given)
        return f"the field '{missing}' is missing; add it"
    if error.validator == "additionalProperties":
        known = rule.get("properties", {})
        unknown = next(name for name in given if name not in known)
        return f"the field {quoted(unknown)} is unknown; allowed are {', '.join(known) or 'none'}"
    return f"{quoted(given)} is not allowed; it must be {rule['description']}"


__all__ = [
    "DocumentFormatError",
    "NotJsonError",
    "SchemaViolationError",
    "check_document",
    "document_bytes",
    "parse_document",
    "schema",
]
