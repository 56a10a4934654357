"""What sentences are put together from: counts with their plural, words in a row, capitals."""

from collections.abc import Sequence


def counted(count: int, one: str, many: str | None = None) -> str:
    """A count and its noun: "1 film", "2 films"; ``many`` where it takes no "s"."""
    return f"{count} {noun(count, one, many)}"


def noun(count: int, one: str, many: str | None = None) -> str:
    """The noun that goes with a count, without the count: "film" or "films"."""
    return one if count == 1 else many or f"{one}s"


def are(count: int) -> str:
    """The verb that goes with a count: "is" or "are"."""
    return "is" if count == 1 else "are"


def listed(words: Sequence[str], *, last: str = "and") -> str:
    """Words in a row: "a", "a and b", "a, b and c"."""
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} {last} {words[-1]}"


def in_turn(sentences: Sequence[str]) -> str:
    """Longer wordings in a row: "a", "a; and b", "a; b; and c"."""
    if len(sentences) < 2:
        return "".join(sentences)
    return f"{'; '.join(sentences[:-1])}; and {sentences[-1]}"


def capital(words: str) -> str:
    """Words with a capital to begin with, the rest as it is."""
    return words[:1].upper() + words[1:]


__all__ = ["are", "capital", "counted", "in_turn", "listed", "noun"]
