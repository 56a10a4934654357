"""What a film shows of what was read on it, in words."""

from math import isnan

from bitewright.mouth.numbering import ToothName
from bitewright.teaching.planted import PLANTINGS
from bitewright.teaching.reading import LETTERS, OVERLAPS_MM, FilmReading, ReadQuestion
from bitewright.teaching.spoilt_film import SpoiltFilm

ACROSS = ("swing_deg", "turn_deg")
"""What moves crowns over one another."""

GROWN_MM = 0.2
"""So much more overlap than the best exposure leaves is laid to what was off. Our choice."""

SHOWN_MM = 0.05
"""Less is said to be nothing: it is rounded to 0.0 mm."""


def reading_words(reading: FilmReading, film: SpoiltFilm, said: str) -> tuple[str, ...]:
    """What a film shows of what was asked, and what was wrong with it; a sentence each.

    Parameters
    ----------
    reading : FilmReading
    film : SpoiltFilm
    said : str
        What was wrong, as a sentence.
    """
    besides = f"Besides, what was wrong with this film: {said[:1].lower()}{said[1:]}"
    if reading.asks is ReadQuestion.FRONT:
        side = reading.choices[reading.right]
        front = f"The teeth nearer the midline lie to the {side}, so the front is {side}."
        return (front, besides)
    if reading.asks is ReadQuestion.SURFACE:
        return (_surface_words(reading.names[0], film.prediction.landmarks.front_sign), besides)
    overlaps, best = (
        {
            f"{pair[0]}-{pair[1]}": float(overlap)
            for pair, overlap in zip(made.wanted.contacts, made.overlap_mm[0], strict=True)
        }
        for made in (film.prediction.measurements, film.plan.prediction.measurements)
    )
    told = [
        f"{letter}, {name}: {_overlap_words(overlaps[name], best[name])}"
        for letter, name in zip(LETTERS, reading.names, strict=False)
    ]
    is_why = PLANTINGS[film.fault].part in ACROSS and any(
        overlaps[name] >= OVERLAPS_MM and overlaps[name] - best[name] >= GROWN_MM
        for name in reading.names
    )
    return (f"{'; '.join(told)}.", f"Why: {said[:1].lower()}{said[1:]}" if is_why else besides)


def _surface_words(name: str, front_sign: float) -> str:
    """Which surface it is, which tooth that is, and where its two ends lie in the image."""
    code, surface = name.split(".")
    front, back = ("right", "left") if front_sign > 0.0 else ("left", "right")
    return (
        f"A stands at the {surface} surface of {code}, the {ToothName(int(code)).words}: the front "
        f"of the mouth lies to the {front}, so each tooth's mesial surface is its {front} one and "
        f"its distal surface its {back} one."
    )


def _overlap_words(overlap_mm: float, best_mm: float) -> str:
    """What a contact shows, and what the best exposure leaves there."""
    if overlap_mm < OVERLAPS_MM:
        return "open"
    told = f"overlapped by {overlap_mm:.1f} mm"
    if isnan(best_mm):
        return told
    left = f"{best_mm:.1f} mm" if best_mm >= SHOWN_MM else "nothing"
    return f"{told}, where the best exposure leaves {left}"


__all__ = ["reading_words"]
