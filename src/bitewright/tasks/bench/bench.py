"""The bench: one station made once, then exposure after exposure as a hand moves."""

import json
from dataclasses import replace
from typing import TYPE_CHECKING

from bitewright.exposing.exposure import (
    CannotOpenError,
    CannotPassError,
    Exposures,
    ReceptorTooLargeError,
    Station,
    fitting,
)
from bitewright.mouth.mouth import Mouth
from bitewright.mouth.mouth_description import mouth_to_description
from bitewright.planning.open_fans import OpenFan, open_fans
from bitewright.quality.predicted import asked
from bitewright.quality.views import View
from bitewright.tasks.bench.bench_drawing import (
    FansDrawing,
    SeatedDrawing,
    fans_drawing,
    seated_drawing,
)
from bitewright.tasks.bench.bench_films import BenchFilms
from bitewright.tasks.catalogue.named import Equipment, station_for
from bitewright.tasks.made_once import MadeOnce
from bitewright.tasks.plan.predict_exposure import ExposurePrediction, predicted
from bitewright.tasks.plan.set_exposure import (
    HandSetting,
    SeatedReceptor,
    SetExposure,
    aim_at,
    seat_receptor,
)
from bitewright.tasks.rated_by import RatedBy

if TYPE_CHECKING:
    from bitewright.quality.questions import AnyQuestion

CANNOT_BE = (ReceptorTooLargeError, CannotOpenError, CannotPassError)
"""Why there can be no exposure of a setting: drawn and told, but never filmed."""

KEPT_BENCHES = 8
"""Stations kept ready at a time."""

KEPT_SETTINGS = 16
"""Exposures and seated receptors kept: both lines of a page ask for the same one, and a hand that
moves the tube alone needs one seat."""

KEPT_FANS = 64
FAN_STEP_DEG = 2.0
"""Fans are worked out for the vertical angle and the opening to this step. [deg]"""


class Bench:
    """A station ready for exposures and their films. Any thread may ask."""

    def __init__(self, of_view: View, station: Station) -> None:
        self.view, self.station = of_view, station
        self.films = BenchFilms(of_view, station)
        self._asked = asked(of_view, station, every_contact=True)
        self._exposures: MadeOnce[HandSetting, SetExposure] = MadeOnce(KEPT_SETTINGS)
        self._seats: MadeOnce[HandSetting, SeatedReceptor] = MadeOnce(KEPT_SETTINGS)
        self._drawings: MadeOnce[HandSetting, SeatedDrawing] = MadeOnce(KEPT_SETTINGS)
        self._fans: MadeOnce[tuple[float, float], tuple[OpenFan, ...]] = MadeOnce(KEPT_FANS)
        self._best: dict[tuple[AnyQuestion, str], HandSetting] = {}
        self._drawn_fans: MadeOnce[tuple[HandSetting, float], FansDrawing] = MadeOnce(KEPT_SETTINGS)

    def found_best(self, by: RatedBy, setting: HandSetting) -> None:
        """Keep the best aim that was found for a question and a scheme."""
        self._best[by.question, by.scheme.name] = setting

    def is_best(self, by: RatedBy, setting: HandSetting) -> bool:
        """Whether a setting is the best aim as it was found; its space to the teeth may be left."""
        best = self._best.get((by.question, by.scheme.name))
        if best is None:
            return False
        if setting.lingual_mm is None:
            best = replace(best, lingual_mm=None)
        return best == setting

    def exposure(self, setting: HandSetting) -> SetExposure:
        """The exposure of a setting, worked out once for all who ask for it."""

        def make() -> SetExposure:
            return aim_at(self.station, self._seat(setting), setting.aim)

        return self._exposures.of(setting, make)

    def filmed(self, setting: HandSetting) -> Exposures:
        """The exposure of a setting, if there can be a film of it.

        Raises
        ------
        ReceptorTooLargeError, CannotOpenError
            If the receptor cannot be there.
        """
        return fitting(self.exposure(setting).exposure)

    def predicted(self, setting: HandSetting, by: RatedBy | None = None) -> ExposurePrediction:
        """One exposure's prediction, as by `predict_exposure`; rated as usual if by None."""
        made = self.exposure(setting)
        return predicted(self.view, self._asked, made, self.fans_of(made), by=by or RatedBy())

    def drawing_while_seated(self, setting: HandSetting) -> SeatedDrawing:
        """What stays in the drawings while only the tube moves."""
        return self._drawings.of(
            setting.of_receptor, lambda: seated_drawing(self.station, self._seat(setting).seat)
        )

    def drawing_of_fans(self, setting: HandSetting) -> FansDrawing:
        """The fans as drawn, which move with the receptor's seat and the vertical angle's steps."""
        made = self.exposure(setting)
        return self._drawn_fans.of(
            (setting.of_receptor, _to_step(setting.vertical_deg)),
            lambda: fans_drawing(self.fans_of(made), self.station, made.exposure.seat),
        )

    def fans_of(self, made: SetExposure) -> tuple[OpenFan, ...]:
        """Fans for an exposure's vertical angle and opening, to the nearest steps."""
        vertical_deg = float(made.aim.arrays()["vertical_deg"][0])
        return self.fans(vertical_deg, float(made.exposure.seat.opening_deg[0]))

    def fans(self, vertical_deg: float, opening_deg: float) -> tuple[OpenFan, ...]:
        """Fans for the nearest steps of a vertical angle and of the mandible's opening."""
        vertical, opening = _to_step(vertical_deg), _to_step(opening_deg)
        return self._fans.of(
            (vertical, opening),
            lambda: open_fans(self.station.outlines, vertical_deg=vertical, opening_deg=opening),
        )

    def _seat(self, setting: HandSetting) -> SeatedReceptor:
        return self._seats.of(setting.of_receptor, lambda: seat_receptor(self.station, setting))


def _to_step(angle_deg: float) -> float:
    return FAN_STEP_DEG * round(angle_deg / FAN_STEP_DEG)


_BENCHES: MadeOnce[tuple[View, str, Equipment], Bench] = MadeOnce(KEPT_BENCHES)


def bench_for(of_view: View, mouth: Mouth, by: Equipment) -> Bench:
    """The bench of a view, a mouth and equipment, made once however many ask and kept ready.

    A mouth or a piece of equipment that was changed is another one, whatever its name.
    """
    described = json.dumps(mouth_to_description(mouth), sort_keys=True)
    return _BENCHES.of(
        (of_view, described, by), lambda: Bench(of_view, station_for(of_view, mouth, by))
    )


__all__ = ["CANNOT_BE", "Bench", "bench_for"]
