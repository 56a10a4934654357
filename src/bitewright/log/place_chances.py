"""Chances of places as the log keeps them: "44.distal:0.86|45.mesial:0.85"."""

from collections.abc import Mapping


def chances_as_text(chances: Mapping[str, float]) -> str:
    """Text of chances by place, to two digits."""
    return "|".join(f"{name}:{chance:.2f}" for name, chance in chances.items()).replace(
        ":1.00", ":1"
    )


def chances_from_text(text: str) -> dict[str, float]:
    """Chances by place."""
    pairs = (each.rpartition(":") for each in text.split("|"))
    return {name: float(chance) for name, _, chance in pairs}


__all__ = ["chances_as_text", "chances_from_text"]
