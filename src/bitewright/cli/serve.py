"""`bitewright serve`: the pages in the browser."""

import webbrowser
from importlib.util import find_spec
from pathlib import Path
from typing import Annotated

import typer

from bitewright.cli.screen import caution, console
from bitewright.errors import BitewrightError, ExtraMissingError
from bitewright.words.serving import BEYOND, ONCE, fingerprint_words, ready_words

EXAMPLE = (
    "bitewright serve\n\nbitewright serve --port 9000 --no-browser\n\n"
    "bitewright serve --listen 0.0.0.0"
)
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
    listen: Annotated[
        str | None,
        typer.Option(
            help="Let other computers reach it, over TLS, at this address; 0.0.0.0: at every one."
        ),
    ] = None,
    certificate: Annotated[
        Path | None,
        typer.Option(help="With --listen: your certificate (PEM). Without one, one is made here."),
    ] = None,
    key: Annotated[Path | None, typer.Option(help="The certificate's key (PEM).")] = None,
    name: Annotated[
        list[str] | None,
        typer.Option(help="With --listen: a name that browsers call this computer by; repeat it."),
    ] = None,
) -> None:
    """Open the bench, the light box and the catalogue in the browser; Ctrl-C ends it."""
    missing = [name for name in NEEDED if find_spec(name) is None]
    if missing:
        raise ExtraMissingError("The pages", missing, extra="web")
    if (certificate is None) != (key is None) or (listen is None and certificate is not None):
        raise CertificateAloneError
    from bitewright.web.serving import Listening, Reached, leave_at_once, serve_pages

    screen = console()

    def tell(reached: Reached) -> None:
        screen.print(ready_words(reached.address), soft_wrap=True)
        screen.print(ONCE if listen is None else BEYOND)
        if reached.certificate and certificate is None:
            screen.print(fingerprint_words(reached.certificate.fingerprint), soft_wrap=True)

    screen.print(caution())
    at = Listening(
        port=port, address=listen, certificate=certificate, key=key, names=tuple(name or ())
    )
    serve_pages(at, open_browser=browser and _has_browser(), tell=tell)
    screen.print("Ended.")
    leave_at_once()


class CertificateAloneError(BitewrightError):
    """A certificate was given without its key or without --listen, or a key without one."""

    def __init__(self) -> None:
        super().__init__(
            "A certificate, its key and --listen go together: give --listen ADDRESS --certificate "
            "FILE --key FILE, or --listen alone for a certificate made here."
        )


def _has_browser() -> bool:
    """Whether this computer knows a browser to open."""
    try:
        webbrowser.get()
    except webbrowser.Error:
        return False
    return True


__all__ = ["add_to", "serve"]
