"""Aiming with the film hidden: from where a person begins, and what the films taken come to."""

from collections.abc import Sequence

import numpy as np

from bitewright.estimation.exposure_unknowns import pose_of
from bitewright.explanation.correction import Part
from bitewright.explanation.needed_amounts import POSE_OF
from bitewright.explanation.needs import WORTH
from bitewright.exposing.exposure import CannotOpenError, Exposures, ReceptorTooLargeError
from bitewright.exposing.hand_settings import SettingValueError
from bitewright.planning.best_aim import Plan
from bitewright.quality.predicted import Prediction
from bitewright.teaching.correcting import WORTH_OF, contacts_won
from bitewright.teaching.fault_names import PlantedFault
from bitewright.teaching.planted import planted_slip
from bitewright.teaching.slips import HandSlip
from bitewright.teaching.spoilt_film import SpoiltFilm, spoilt_film

MOST_EXPOSURES = 5
"""So many films of one exercise at most. Our choice."""

EACH_FURTHER = 0.75
"""Each exposure after the first takes a quarter of what the films show. Our choice."""

LEAST_TO_WIN = 1.5
"""Contacts that the best aim wins over the beginning at least, as `contacts_won` counts."""

BEGUN_OFF = (
    PlantedFault.TUBE_TOO_FAR_FORWARD,
    PlantedFault.TUBE_TOO_FAR_BACK,
    PlantedFault.TURNED_TO_CANINE,
    PlantedFault.TURNED_TO_TEETH,
    PlantedFault.RECEPTOR_TOO_FAR_FORWARD,
    PlantedFault.RECEPTOR_TOO_FAR_BACK,
)
"""What is most off where a person begins; other things are off besides."""

OTHERS_OFF = {"swing_deg": 6.0, "vertical_deg": 8.0, "turn_deg": 5.0, "forward_mm": 4.0}
"""How far the other parts are off at most, either way. Our choice. [deg, mm]"""

TOLD_PARTS = (Part.SWING, Part.VERTICAL, Part.FORWARD, Part.HEIGHT, Part.ROLL)


def drawn_beginning(
    plan: Plan, generator: np.random.Generator, faults: Sequence[PlantedFault]
) -> SpoiltFilm | None:
    """Where an exercise of aiming begins; None where what was drawn makes none.

    Most off is one of ``faults``; every other part of the set-up is off by less. The best aim wins
    at least `LEAST_TO_WIN` over it, so that letting it stand is no answer.
    """
    allowed = [each for each in faults if each in BEGUN_OFF]
    if not allowed:
        return None
    fault = allowed[int(generator.integers(len(allowed)))]
    most = planted_slip(fault, generator)
    others = {
        name: 0.5 * round(2.0 * reach * generator.uniform(-1.0, 1.0))
        for name, reach in OTHERS_OFF.items()
        if not getattr(most, name)
    }
    try:
        film = spoilt_film(plan, fault, most + HandSlip(**others))
    except (ReceptorTooLargeError, CannotOpenError, SettingValueError):
        return None
    to_win = contacts_won(plan.prediction) - contacts_won(film.prediction)
    return film if to_win >= LEAST_TO_WIN else None


def contacts_on(films: Sequence[Prediction]) -> float:
    """Contacts that films show together, each by the film that shows it best (`WORTH_OF`)."""
    states = np.array([film.rating.states[0] for film in films])
    worth = np.zeros(states.shape)
    for state, counts in WORTH_OF.items():
        worth[states == state] = counts
    return float(worth.max(axis=0).sum())


def aim_score(plan: Plan, films: Sequence[Prediction]) -> float:
    """How well somebody aimed, 0 to 1.

    Our measure: contacts that the films show together, over those that the best aim shows on one,
    times `EACH_FURTHER` for each exposure after the first.
    """
    best = contacts_won(plan.prediction)
    shown = min(contacts_on(films) / best, 1.0) if best > 0.0 else 0.0
    return shown * EACH_FURTHER ** (len(films) - 1)


def still_off(plan: Plan, exposure: Exposures) -> dict[Part, float]:
    """Movements that would bring an exposure to the best aim, where they are worth it. [deg, mm]"""
    frame = plan.station.seating.frame
    along = (frame.front_mouth, frame.tongue_mouth)
    now, best = pose_of(exposure, *along), pose_of(plan.exposure, *along)
    needed = {
        part: float((getattr(best, POSE_OF[part]) - getattr(now, POSE_OF[part]))[0])
        for part in TOLD_PARTS
    }
    return {part: far for part, far in needed.items() if abs(far) >= WORTH[part]}


__all__ = [
    "BEGUN_OFF",
    "EACH_FURTHER",
    "MOST_EXPOSURES",
    "aim_score",
    "contacts_on",
    "drawn_beginning",
    "still_off",
]
