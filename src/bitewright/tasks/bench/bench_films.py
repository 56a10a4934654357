"""The films of a bench: its mouth is built once for all, watched, and stopped if need be."""

from threading import RLock

import numpy as np

from bitewright import __version__
from bitewright.exposing.exposure import Exposures, Station
from bitewright.film.film_kinds import USUAL, Handling
from bitewright.film.film_parts import FilmMouth
from bitewright.film.moving_film import MovingFilm, moving_film
from bitewright.film.predicted_film import predicted_film
from bitewright.film.radiograph import Radiograph
from bitewright.quality.views import View
from bitewright.steps import Begin, unwatched
from bitewright.tasks.all_cores import all_cores
from bitewright.tasks.film.film_mouths import station_film_mouth, station_thinned_mouth
from bitewright.tasks.long_work import LongWork


class BenchFilms:
    """What films of one station are made from, each made when first asked for.

    Any thread may ask. ``build`` tells how far the mouth is built, and stops it.
    """

    def __init__(self, of_view: View, station: Station) -> None:
        self.view, self.station = of_view, station
        self.build = LongWork("The mouth for this film")
        self._making = RLock()
        self._whole: FilmMouth | None = None
        self._moving: MovingFilm | None = None

    def whole_film(
        self,
        exposure: Exposures,
        *,
        handling: Handling = USUAL,
        seed: int = 1,
        begin: Begin = unwatched,
    ) -> Radiograph:
        """The whole film of one exposure, everything on.

        Raises
        ------
        StoppedError
            If `begin` stopped it, or the bench's films are stopped.
        """

        def go_on(doing: str) -> None:
            self.build.go_on()
            begin(doing)

        with all_cores() as threads:
            return predicted_film(
                exposure,
                self.whole_mouth(),
                handling=handling,
                generator=np.random.default_rng(seed),
                threads=threads,
                provenance={"view": self.view.name, "seed": seed, "version": __version__},
                begin=go_on,
            )

    def moving_film(self) -> MovingFilm:
        """The small film that follows a hand."""
        with self._making:
            if self._moving is None:
                thin = self.thinned_mouth()
                self.build.begin("the first small film")
                self._moving = moving_film(self.station, thin)
                self.build.finish()
            return self._moving

    def whole_mouth(self) -> FilmMouth:
        """The mouth's film form."""
        with self._making:
            if self._whole is None:
                self._whole = station_film_mouth(
                    self.station, self.build.begin, expect=self.build.expect
                )
                self.build.finish()
            return self._whole

    def thinned_mouth(self) -> FilmMouth:
        """The same with fewer triangles."""
        with self._making:
            return station_thinned_mouth(self.station, self.whole_mouth)


__all__ = ["BenchFilms"]
