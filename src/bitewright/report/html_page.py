"""A report as one HTML file that needs nothing beside it."""

from base64 import b64encode
from functools import cache

from jinja2 import Environment, PackageLoader, StrictUndefined

from bitewright.report import palette
from bitewright.report.report_page import ReportPage, cell_words
from bitewright.report.svg import svg_of


def html_page(page: ReportPage) -> str:
    """The whole page; every word in it is escaped, the drawings alone are taken as they are."""
    return page_of("audit.html", page=page, colours=palette)


def page_of(template: str, **content: object) -> str:
    """A page of a template, every word in it escaped."""
    return _environment().get_template(template).render(**content)


@cache
def _environment() -> Environment:
    made = Environment(
        loader=PackageLoader("bitewright.report"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    made.filters |= {"words": cell_words, "svg": svg_of, "inside": _inside}
    return made


def _inside(png: bytes) -> str:
    """The address of a picture that the page itself holds."""
    return f"data:image/png;base64,{b64encode(png).decode()}"


__all__ = ["html_page", "page_of"]
