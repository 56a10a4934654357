"""What is kept of mouths built for films."""

from bitewright.words.phrases import counted


def cleared_words(count: int) -> str:
    """How many were removed."""
    return f"Removed {_mouths(count)}; what is needed is built again."


def kept_words(count: int, size_bytes: int, folder: object) -> str:
    """How many are kept, how large they are, and where. [bytes]"""
    return f"{_mouths(count)}, {size_bytes / 1e6:.0f} MB, in {folder}"


def _mouths(count: int) -> str:
    return counted(count, "film mouth or piece", "film mouths and pieces")


__all__ = ["cleared_words", "kept_words"]
