"""Ask the running server for another link, as its user may."""

import json
import ssl
from typing import Any
from urllib.error import URLError
from urllib.request import Request, urlopen

from bitewright.tasks.serving.serving_note import NoServerError, newest_note

DOOR_HEADER = "x-bitewright-door"
WAIT_S = 10.0


def ask_for_link(kind: str, *, port: int | None) -> str:
    """The address of a new link of a kind.

    Raises
    ------
    NoServerError
    """
    note = newest_note(port)
    origin = str(note["origin"])
    asked = Request(  # noqa: S310  our own server's address
        f"{origin}/entering/links",
        data=json.dumps({"kind": kind}).encode(),
        headers={
            "content-type": "application/json",
            "accept": "application/json",
            "origin": origin,
            DOOR_HEADER: str(note["door"]),
        },
        method="POST",
    )
    try:
        with urlopen(asked, timeout=WAIT_S, context=_trusting(note)) as answer:  # noqa: S310
            made: dict[str, Any] = json.load(answer)
    except (URLError, OSError, ValueError) as error:
        raise NoServerError(port) from error
    return str(made["address"])


def _trusting(note: dict[str, Any]) -> ssl.SSLContext | None:
    """Nobody but the very server that left the note."""
    if not note.get("certificate"):
        return None
    context = ssl.create_default_context(cafile=str(note["certificate"]))
    context.check_hostname = False
    return context


__all__ = ["DOOR_HEADER", "ask_for_link"]
