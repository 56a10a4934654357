"""A report as a tagged PDF with everything inside it."""

import json
import shutil
from dataclasses import asdict
from importlib.resources import files
from pathlib import Path
from tempfile import TemporaryDirectory

import typst

from bitewright.report.report_page import ReportPage, cell_words


def pdf_page(page: ReportPage) -> bytes:
    """The whole report as PDF/UA-1: tagged, with words for every picture."""
    template = files("bitewright.report") / "templates" / "audit.typ"
    with TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "report.json").write_text(json.dumps(_content(page)), encoding="utf-8")
        for figure in page.figures:
            if figure.svg:
                (folder / f"{figure.name}.svg").write_text(figure.svg, encoding="utf-8")
        with template.open("rb") as source, (folder / "audit.typ").open("wb") as target:
            shutil.copyfileobj(source, target)
        made: bytes = typst.compile(
            str(folder / "audit.typ"),
            root=str(folder),
            format="pdf",
            pdf_standards=["ua-1"],
            ignore_system_fonts=True,
        )
    return made


def _content(page: ReportPage) -> dict[str, object]:
    content = asdict(page)
    content["figures"] = [
        {
            "name": figure.name,
            "title": figure.title,
            "says": figure.says,
            "alt": figure.alt,
            "drawn": bool(figure.svg),
            "shown": figure.shown,
            "header": list(figure.header),
            "rows": [[cell_words(cell) for cell in row] for row in figure.rows],
        }
        for figure in page.figures
    ]
    return content


__all__ = ["pdf_page"]
