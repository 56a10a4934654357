"""A report as a tagged PDF with everything inside it."""

import json
from dataclasses import asdict
from importlib.resources import files

from bitewright.report import palette
from bitewright.report.figure import Figure
from bitewright.report.report_page import ReportPage, cell_words
from bitewright.report.svg import svg_of
from bitewright.report.typeset import typeset_pdf


def pdf_page(page: ReportPage) -> bytes:
    """The whole report as PDF/UA-1: tagged, with words for every picture."""
    template = files("bitewright.report") / "templates" / "audit.typ"
    beside = {
        f"{figure.name}.svg": svg_of(figure.drawing).encode()
        for figure in page.figures
        if figure.drawing is not None
    }
    films = {
        _film_file(figure, k): film.png
        for figure in page.figures
        for k, film in enumerate(figure.examples.films)
    }
    content = json.dumps(_content(page)).encode()
    return typeset_pdf(
        {"main.typ": template.read_bytes(), "report.json": content, **beside, **films}
    )


def _film_file(figure: Figure, number: int) -> str:
    return f"{figure.name}-film-{number}.png"


def _content(page: ReportPage) -> dict[str, object]:
    figures = [
        {
            "name": figure.name,
            "title": figure.title,
            "says": figure.says,
            "alt": "" if figure.drawing is None else figure.drawing.description,
            "drawn": figure.drawing is not None,
            "shown": figure.shown,
            "header": list(figure.header),
            "rows": [[cell_words(cell) for cell in row] for row in figure.rows],
            "examples": {
                "heading": figure.examples.heading,
                "says": figure.examples.says,
                "films": [
                    {
                        "file": _film_file(figure, k),
                        "title": film.title,
                        "caption": film.caption,
                        "alt": film.alt,
                    }
                    for k, film in enumerate(figure.examples.films)
                ],
            },
        }
        for figure in page.figures
    ]
    return {
        "title": page.title,
        "about": page.about,
        "alarm": None if page.alarm is None else asdict(page.alarm),
        "front": [asdict(row) for row in page.front],
        "signed": page.is_signed,
        "answers": [asdict(line) for line in page.answers],
        "actions": page.actions,
        "figures": figures,
        "methods": [asdict(part) for part in page.methods],
        "caution": page.caution,
        "made": page.made,
        "colours": {
            name: getattr(palette, name)
            for name in ("INK", "QUIET", "RULE", "CALM", "WARM", "ALARM")
        },
    }


__all__ = ["pdf_page"]
