"""Pages from templates: one layout, one place in it for each page."""

from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from jinja2 import Environment, PackageLoader, StrictUndefined
from starlette.requests import HTTPConnection
from starlette.responses import HTMLResponse

from bitewright import __version__
from bitewright.tasks.rated_by import RatedBy, question_choices, scheme_choices
from bitewright.words.caution import CAUTION

STATIC = files("bitewright.web") / "static"


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A place in the navigation."""

    name: str
    path: str
    symbol: str
    is_own: bool = False
    """Whether a class is kept out."""


NAVIGATION = (
    Place(name="Bench", path="/bench", symbol="bench"),
    Place(name="Light box", path="/light-box", symbol="light-box"),
    Place(name="Teach", path="/teach", symbol="teach"),
    Place(name="Record", path="/record", symbol="record", is_own=True),
    Place(name="Catalogue", path="/catalogue", symbol="catalogue"),
)

BESIDES = (
    Place(name="what the class can do", path="/competence", symbol="teach", is_own=True),
    Place(name="films of your own", path="/own-films", symbol="teach", is_own=True),
    Place(name="the links and sessions", path="/entering", symbol="teach", is_own=True),
    Place(name="the glossary", path="/glossary", symbol="catalogue"),
)
"""Pages that lie in no navigation: a refusal on one leads back to it."""


@cache
def environment() -> Environment:
    """The packaged templates; a name that was not given is an error."""
    made = Environment(
        loader=PackageLoader("bitewright.web"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.globals |= {
        "navigation": NAVIGATION,
        "besides": BESIDES,
        "questions": question_choices(),
        "schemes": scheme_choices(),
        "usual": RatedBy(),
        "caution": CAUTION,
        "version": __version__,
    }
    return made


def page(
    caller: HTTPConnection, template: str, *, status: int = 200, **given: object
) -> HTMLResponse:
    """Draw a template; ``here`` is the path asked for."""
    session = caller.scope.get("state", {}).get("session")
    user = session.user if session is not None else "own"
    drawn = (
        environment().get_template(template).render(here=caller.scope["path"], user=user, **given)
    )
    return HTMLResponse(drawn, status)


__all__ = ["NAVIGATION", "STATIC", "Place", "page"]
