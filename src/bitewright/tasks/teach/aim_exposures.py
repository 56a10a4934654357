"""Aiming with the film hidden: the set-up drawn, exposures taken, and what is told at the end."""

from collections.abc import Mapping, Sequence
from typing import Any

from bitewright.errors import BitewrightError
from bitewright.exposing.exposure import Exposures, fitting
from bitewright.quality.predicted import Prediction, asked, predict
from bitewright.report.exercise_film import exercise_film
from bitewright.tasks.bench.bench_drawing import seated_drawing, still_drawing, tube_drawing
from bitewright.tasks.bench.bench_settings import hand_setting
from bitewright.tasks.plan.set_exposure import HandSetting, set_exposure
from bitewright.tasks.teach.exercise_places import PIXEL_MM, exercise_place
from bitewright.tasks.teach.make_items import MadeItem
from bitewright.teaching.aiming import MOST_EXPOSURES, still_off
from bitewright.words.aiming import aimed_words, exposures_words, still_off_words

AIMED = ("ring_offset_deg", "vertical_deg", "forward_mm", "turn_deg", "height_mm", "lingual_mm")
"""What of the bench's settings an exercise of aiming lets a hand set."""

FLUSH_DEG = 1.0
"""A rim this near to its ring is flush with it. Our choice. [deg]"""


class NoMoreExposuresError(BitewrightError):
    """More exposures were asked for than an exercise allows."""

    status_code = 409

    def __init__(self) -> None:
        super().__init__(
            f"There were {MOST_EXPOSURES} exposures, the most that one exercise allows: commit to "
            "what these films show."
        )


class NothingExposedError(BitewrightError):
    """An exercise of aiming was committed to without a film."""

    status_code = 422

    def __init__(self) -> None:
        super().__init__("There is no film yet: set up, expose, then commit.")


def beginning_document(made: MadeItem) -> dict[str, Any]:
    """The mouth drawn, and the set-up from which a person begins; no film, and nothing of it."""
    film = made.exercise.film
    of, slip = film.plan.setting, film.slip
    begins: dict[str, float | None] = dict.fromkeys(AIMED, 0.0)
    begins |= {
        "ring_offset_deg": of.ring_offset_deg + slip.swing_deg,
        "vertical_deg": of.vertical_deg + slip.vertical_deg,
        "forward_mm": of.forward_mm + slip.forward_mm,
        "turn_deg": of.turn_deg + slip.turn_deg,
        "lingual_mm": None,
    }
    return {
        "still": still_drawing(film.exposure),
        "begins": begins,
        "most_exposures": MOST_EXPOSURES,
    }


def set_up_document(made: MadeItem, given: Mapping[str, object]) -> dict[str, Any]:
    """A set-up drawn as the bench draws it, without fans, film or findings."""
    setting = hand_setting(given)
    at = exercise_place(made.place).station
    made_so = set_exposure(at, setting)
    exposure = made_so.exposure
    drawn = tube_drawing(exposure, ())
    return {
        "moves": {name: drawn[name] for name in ("above", "row", "side")},
        "seated": seated_drawing(at, exposure.seat),
        "lingual_mm": round(float(made_so.placement.arrays()["lingual_mm"][0]), 1),
        "does_not_fit": _why_not(exposure),
    }


def exposed_setting(made: MadeItem, given: Mapping[str, object]) -> HandSetting:
    """The set-up of an exposure, if there can be a film of it.

    Raises
    ------
    ReceptorTooLargeError, CannotOpenError, UnknownSettingError, SettingValueError
    """
    setting = hand_setting(given)
    _exposure(made, setting)
    return setting


def exposed_film(made: MadeItem, setting: HandSetting, *, seed: int) -> bytes:
    """The film of a set-up, to look at."""
    shot = exercise_place(made.place).film(_exposure(made, setting), seed=seed)
    return exercise_film(shot.pixels, pixel_mm=PIXEL_MM, places_mm={})


def exposed_words(made: MadeItem, count: int) -> str:
    """How many exposures there were, and their dose."""
    return exposures_words(count, exercise_place(made.place).station.tube.field)


def predictions_of(made: MadeItem, aims: Sequence[HandSetting]) -> tuple[Prediction, ...]:
    """What each film of an exercise shows of the view."""
    plan = made.exercise.film.plan
    of = asked(plan.view, plan.station)
    return tuple(predict(_exposure(made, each), of) for each in aims)


def aim_explanation(made: MadeItem, aims: Sequence[HandSetting]) -> tuple[str, ...]:
    """What the films came to beside the best aim, and what was still off; a sentence each."""
    plan = made.exercise.film.plan
    films = predictions_of(made, aims)
    off = still_off(plan, _exposure(made, aims[-1]))
    was_flush = abs(aims[-1].ring_offset_deg) <= FLUSH_DEG
    return (
        *aimed_words(plan, films),
        still_off_words(plan, films[-1], off, was_flush=was_flush),
        *made.item.explanation,
        f"{exposed_words(made, len(aims))}.",
    )


def last_exposure(made: MadeItem, aims: Sequence[HandSetting]) -> Exposures:
    """The exposure of the last film."""
    return _exposure(made, aims[-1])


def _exposure(made: MadeItem, setting: HandSetting) -> Exposures:
    return fitting(set_exposure(exercise_place(made.place).station, setting).exposure)


def _why_not(exposure: Exposures) -> str | None:
    try:
        fitting(exposure)
    except BitewrightError as error:
        return str(error)
    return None


__all__ = [
    "AIMED",
    "NoMoreExposuresError",
    "NothingExposedError",
    "aim_explanation",
    "beginning_document",
    "exposed_film",
    "exposed_setting",
    "exposed_words",
    "last_exposure",
    "predictions_of",
    "set_up_document",
]
