"""`bitewright serve`: the pages in the browser."""

import webbrowser
from importlib.util import find_spec
from typing import Annotated

import typer

from bitewright.cli.screen import caution, console
from bitewright.errors import ExtraMissingError
from bitewright.words.serving import ONCE, ready_words

EXAMPLE = "bitewright serve\n\nbitewright serve --port 9000 --no-browser"
NEEDED = ("fastapi", "uvicorn", "websockets")


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command(name="serve", epilog=f"Example:\n\n{EXAMPLE}")(serve)


def serve(
    port: Annotated[
        int, typer.Option(min=0, max=65535, help="Port of this computer; 0 takes any free one.")
    ] = 8642,
    browser: Annotated[
        bool, typer.Option("--browser/--no-browser", help="Open the pages in your browser.")
    ] = True,
) -> None:
    """Open the bench, the light box and the catalogue in the browser; Ctrl-C ends it."""
    missing = [name for name in NEEDED if find_spec(name) is None]
    if missing:
        raise ExtraMissingError("The pages", missing, extra="web")
    from bitewright.web.serving import leave_at_once, serve_pages

    screen = console()

    def tell(address: str) -> None:
        screen.print(ready_words(address), soft_wrap=True)
        screen.print(ONCE)

    screen.print(caution())
    serve_pages(port=port, open_browser=browser and _has_browser(), tell=tell)
    screen.print("Ended.")
    leave_at_once()


def _has_browser() -> bool:
    """Whether this computer knows a browser to open."""
    try:
        webbrowser.get()
    except webbrowser.Error:
        return False
    return True


__all__ = ["add_to", "serve"]
