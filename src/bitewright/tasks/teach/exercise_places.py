"""Where exercises play: a mouth, a view and equipment, with the best exposure and its films."""

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from bitewright.exposing.exposure import Exposures, Station
from bitewright.film.film_faults import FaultName, FilmFault
from bitewright.film.film_kinds import Handling
from bitewright.film.film_parts import FilmMouth
from bitewright.film.predicted_film import predicted_film
from bitewright.film.radiograph import Radiograph
from bitewright.planning.best_aim import Plan, best_aim
from bitewright.quality.views import view
from bitewright.report.exercise_film import exercise_film
from bitewright.steps import Begin, unwatched
from bitewright.tasks.all_cores import all_cores
from bitewright.tasks.catalogue.named import equipment, named_equipment, station_for
from bitewright.tasks.catalogue.named_mouths import known_mouth
from bitewright.tasks.film.film_mouths import station_film_mouth
from bitewright.tasks.made_once import MadeOnce
from bitewright.tasks.plan.set_exposure import HandSetting, set_exposure
from bitewright.teaching.handled import Handled

RECEPTOR, HOLDER, TUBE = "plate-2", "ring-holder", "rectangular-300"
FILM = "film-2"
"""As large as the plate."""

PIXEL_MM = 0.05
"""Of films for exercises: large enough to fill a screen. [mm]"""

KEPT_PLACES = 6
BEST_SEED = 1
"""Of the best film's noise."""


@dataclass(frozen=True, slots=True, order=True)
class PlaceName:
    """A mouth and a view by name."""

    mouth: str
    view: str


@dataclass(frozen=True, kw_only=True, eq=False)
class ExercisePlace:
    """A station ready for exercises. What takes long is made when first asked for."""

    name: PlaceName
    station: Station

    @cached_property
    def plan(self) -> Plan:
        """The best exposure with the rim of the ring flush, as the bench plans it."""
        flush = self.station.holder.ring
        with all_cores() as threads:
            return best_aim(view(self.name.view), self.station, flush=flush, threads=threads)

    @cached_property
    def film_mouth(self) -> FilmMouth:
        """The mouth as films need it: from the cache, or built and kept."""
        return station_film_mouth(self.station)

    @cached_property
    def neutral(self) -> Exposures:
        """Receptor and tube square to the row at the region's usual place, for drawings."""
        return set_exposure(self.station, HandSetting()).exposure

    @cached_property
    def best_png(self) -> bytes:
        """The picture of the best exposure."""
        shot = self.film(self.plan.exposure, seed=BEST_SEED)
        return exercise_film(shot.pixels, pixel_mm=PIXEL_MM, places_mm={})

    @cached_property
    def best_film_png(self) -> bytes:
        """The same with a film for a receptor."""
        shot = self.film(on_film(self.plan.exposure), seed=BEST_SEED)
        return exercise_film(shot.pixels, pixel_mm=PIXEL_MM, places_mm={})

    def film(
        self,
        exposure: Exposures,
        *,
        seed: int,
        handled: Handled | None = None,
        begin: Begin = unwatched,
    ) -> Radiograph:
        """The film of one exposure here, and what was done with it."""
        if "film_mouth" not in vars(self):
            station_film_mouth(self.station, begin)  # built here, so that its steps are told
        done = () if handled is None else (film_fault(handled),)
        if handled is not None and handled.on_film:
            exposure = on_film(exposure)
        with all_cores() as threads:
            return predicted_film(
                exposure,
                self.film_mouth,
                pixel_mm=PIXEL_MM,
                handling=Handling(faults=done, fault_seed=seed),
                generator=np.random.default_rng(seed),
                threads=threads,
                begin=begin,
            )


def on_film(exposure: Exposures) -> Exposures:
    """The same exposure with a film of the plate's size for a receptor."""
    at = replace(exposure.station, receptor=equipment().receptor(FILM))
    return replace(exposure, station=at)


def film_fault(of: Handled) -> FilmFault:
    """What an exercise's handling does to a film."""
    return FilmFault(name=FaultName(of.film_fault), size=of.size)


_PLACES: MadeOnce[PlaceName, ExercisePlace] = MadeOnce(KEPT_PLACES)


def exercise_place(name: PlaceName) -> ExercisePlace:
    """The place of a name, made once."""

    def make() -> ExercisePlace:
        by = named_equipment(equipment(), receptor=RECEPTOR, holder=HOLDER, tube=TUBE)
        at = station_for(view(name.view), known_mouth(name.mouth), by)
        return ExercisePlace(name=name, station=at)

    return _PLACES.of(name, make)


__all__ = ["PIXEL_MM", "ExercisePlace", "PlaceName", "exercise_place", "film_fault", "on_film"]
