"""Exercises on a page of their own, and on paper: a handout and, apart from it, its key."""

import json
from base64 import b64decode
from collections.abc import Mapping, Sequence
from functools import cache
from importlib.resources import files
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined

from bitewright.report import palette
from bitewright.report.typeset import typeset_pdf


def exercises_html(
    *, title: str, document: str, notes: Sequence[str], caution: str, sure: Sequence[str]
) -> str:
    """One HTML file that needs nothing beside it; ``document`` is the set as JSON."""
    return (
        _environment()
        .get_template("exercises.html")
        .render(
            title=title,
            document=document,
            notes=notes,
            caution=caution,
            sure=sure,
            colours=palette,
        )
    )


def exercises_pdf(
    *, title: str, about: str, items: Sequence[Mapping[str, Any]], caution: str
) -> bytes:
    """Exercises, or their key, as PDF/UA-1.

    Parameters
    ----------
    title, about, caution : str
    items : sequence of mappings
        Each with ``title``, ``question``, ``choices``, ``lines`` (sentences), ``film`` (PNG in
        base64) and ``alt`` (what the film is, in words).
    """
    template = files("bitewright.report") / "templates" / "exercises.typ"
    beside = {f"film-{k}.png": b64decode(item["film"]) for k, item in enumerate(items)}
    content = {
        "title": title,
        "about": about,
        "caution": caution,
        "items": [
            {name: item[name] for name in ("title", "question", "choices", "lines", "alt")}
            for item in items
        ],
    }
    given = {"main.typ": template.read_bytes(), "exercises.json": json.dumps(content).encode()}
    return typeset_pdf({**given, **beside})


@cache
def _environment() -> Environment:
    return Environment(
        loader=PackageLoader("bitewright.report"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )


__all__ = ["exercises_html", "exercises_pdf"]
