"""Where the pages are to be found."""

ONCE = "The address works once and on this computer only. Ctrl-C ends it."


def ready_words(address: str) -> str:
    """The address to open."""
    return f"Bitewright is ready: {address}"


__all__ = ["ONCE", "ready_words"]
