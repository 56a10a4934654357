"""A film with one planted fault: what it shows otherwise than the best one, and how plainly."""

from dataclasses import dataclass

import numpy as np

from bitewright.explanation.film_pattern import FilmPattern, film_pattern
from bitewright.exposing.exposure import Exposures
from bitewright.planning.best_aim import Plan
from bitewright.quality.predicted import Prediction, asked, predict
from bitewright.teaching.fault_names import PlantedFault
from bitewright.teaching.handled import Handled
from bitewright.teaching.planted import PLANTINGS
from bitewright.teaching.slips import HandSlip, slipped_exposure


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SpoiltFilm:
    """One exposure with a fault in it, beside the plan it is off from.

    ``handled``: what was done to it where it was aimed well.
    """

    plan: Plan
    fault: PlantedFault
    slip: HandSlip
    exposure: Exposures
    prediction: Prediction
    pattern: FilmPattern
    handled: Handled | None = None

    @property
    def sign(self) -> float:
        """How much of the fault's own sign the film shows, in what is plainly seen: 1 and more is.

        Overlap grown at a contact, buccal cusps against lingual ones, teeth along the film, the
        bite further off the middle or less level than on the best film, or what the beam left
        blank. What handling did to it counts by its size.
        """
        if self.handled is not None:
            return self.handled.size
        measured, best = self.prediction.measurements, self.plan.prediction.measurements
        grown = self.pattern.grown
        slope, best_slope = (abs(float(m.occlusal_slope_deg[0])) for m in (measured, best))
        off, best_off = (abs(float(m.occlusal_offset_mm[0])) for m in (measured, best))
        signs = {
            "swing_deg": grown[0].more_mm if grown else 0.0,
            "turn_deg": grown[0].more_mm if grown else 0.0,
            "vertical_deg": abs(self.pattern.buccal_down_mm),
            "forward_mm": abs(self.pattern.teeth_forward_mm),
            "height_mm": off - best_off,
            "roll_deg": slope - best_slope,
            "tube_forward_mm": -float(measured.beam_margin_mm[0].min()),
        }
        part = PLANTINGS[self.fault].part
        return float(np.nan_to_num(signs[part])) / PLAINLY_SEEN[part]


PLAINLY_SEEN = {
    "swing_deg": 0.3,
    "turn_deg": 0.3,
    "vertical_deg": 0.9,
    "forward_mm": 2.5,
    "height_mm": 2.0,
    "roll_deg": 4.0,
    "tube_forward_mm": 3.0,
}
"""How much of each sign a person sees without measuring. Our choice. [mm, deg]"""


def spoilt_film(plan: Plan, fault: PlantedFault, slip: HandSlip) -> SpoiltFilm:
    """The film of a plan with a slip in it.

    Raises
    ------
    ReceptorTooLargeError, CannotOpenError, SettingValueError
        If nobody could expose it so.
    """
    exposure = slipped_exposure(plan, slip)
    made = predict(exposure, asked(plan.view, plan.station))
    return SpoiltFilm(
        plan=plan,
        fault=fault,
        slip=slip,
        exposure=exposure,
        prediction=made,
        pattern=film_pattern(made.landmarks, made.measurements, plan),
    )


def mishandled_film(plan: Plan, fault: PlantedFault, done: Handled) -> SpoiltFilm:
    """The film of a plan, aimed as planned, with a fault of handling."""
    made = plan.prediction
    return SpoiltFilm(
        plan=plan,
        fault=fault,
        slip=HandSlip(),
        exposure=plan.exposure,
        prediction=made,
        pattern=film_pattern(made.landmarks, made.measurements, plan),
        handled=done,
    )


__all__ = ["PLAINLY_SEEN", "SpoiltFilm", "mishandled_film", "spoilt_film"]
