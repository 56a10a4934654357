"""Quality as a number on a long scale, such as per cent, from which a limit tells what was kept."""

import re
from collections.abc import Iterable

from bitewright.sheets.cells import plain
from bitewright.sheets.word_meanings import number_in

FEWEST = 5
"""Different numbers from which they are a scale and no grades. Our choice."""
MOSTLY = 0.85
USUAL = (60.0, 50.0, 70.0)
"""Limits in per cent where nothing tells one. Our choice."""
WRITTEN = re.compile(
    r"(\d+(?:[.,]\d+)?)\s*(%|pts?|punkte|points?|puntos|punti|pontos|punten)?", re.IGNORECASE
)
SAYS_LIMIT = frozenset(
    {
        "below",
        "under",
        "less",
        "unter",
        "weniger",
        "dessous",
        "inferieur",
        "moins",
        "debajo",
        "menos",
    }
    | {"menor", "inferior", "sotto", "meno", "inferiore", "abaixo", "onder", "minder", "lager", "<"}
    | {"lower", "min", "minimum", "mindestens", "ab", "from", "pass"}
)


def number_on_scale(text: str, most: float) -> float | None:
    """The number in a cell, in per cent where the scale ends at one; None where there is none."""
    found = number_in(text.replace("%", "").strip())
    if found is None:
        return None
    share = most <= 1.0 and "%" not in text
    number = found[0] * 100 if share else found[0]
    end = scale_end(most)
    return number if 0 <= number <= end else None


def scale_end(most: float) -> float:
    """Where a scale ends whose largest number, slips left out, is known."""
    return (
        100.0
        if most <= 1.0
        else next((end for end in (6.0, 10.0, 20.0, 100.0) if most <= end), most)
    )


def most_on_scale(texts: Iterable[str]) -> float | None:
    """The largest usual number, if nearly all texts are numbers of a long scale; else None."""
    told = [text for text in texts if plain(text) or text.strip()]
    found = [number_in(text.replace("%", "").strip()) for text in told]
    numbers = sorted(each[0] for each in found if each is not None)
    if len(numbers) < max(8, MOSTLY * len(told)) or len(set(numbers)) < FEWEST:
        return None
    most = numbers[int(0.97 * (len(numbers) - 1))]
    is_long = most > 11 or (most <= 1.0 and any(0 < each < 1 for each in numbers))
    is_fine = any(each != int(each) for each in numbers)
    return most if most <= 100 and (is_long or (is_fine and len(set(numbers)) > FEWEST)) else None


def limits_of(titles: Iterable[str], most: float) -> tuple[float, ...]:
    """Limits that titles name, then usual ones."""
    end = scale_end(most)
    said = [
        float(number.replace(",", "."))
        for title in titles
        if SAYS_LIMIT & {*plain(title).split(), *title.split()}
        for number, _ in WRITTEN.findall(title)
        if 0 < float(number.replace(",", ".")) < end
    ]
    usual = [each * end / 100 for each in USUAL]
    return tuple(dict.fromkeys([*said, *usual]))[:4]


__all__ = ["limits_of", "most_on_scale", "number_on_scale", "scale_end"]
