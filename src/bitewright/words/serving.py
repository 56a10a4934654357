"""Where the pages are to be found."""

ONCE = (
    "The address works once, on this computer only; `bitewright link` gives another. "
    "Ctrl-C ends it."
)
BEYOND = (
    "Other computers and phones can reach it, over TLS. The address works once and does all "
    "that you may do; `bitewright link --class` gives one for a class, which looks and exercises. "
    "Ctrl-C ends it."
)


def ready_words(address: str) -> str:
    """The address to open."""
    return f"Bitewright is ready: {address}"


def link_words(*, for_class: bool) -> str:
    """What a link of a kind does."""
    if for_class:
        return "It lets a class look and exercise for twelve hours, until you close it on Entering."
    return "It works once, within twelve hours, and does all that you may do: give it to nobody."


def fingerprint_words(fingerprint: str) -> str:
    """What tells a browser's user that the certificate is this computer's."""
    return (
        "Browsers will warn of a certificate that this computer made itself. Its SHA-256 "
        f"fingerprint: {fingerprint}"
    )


__all__ = ["BEYOND", "ONCE", "fingerprint_words", "link_words", "ready_words"]
