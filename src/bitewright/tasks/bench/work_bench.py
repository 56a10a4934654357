"""The bench: one station made once, then exposure after exposure as a hand moves."""

from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from functools import lru_cache
from threading import RLock
from typing import Any

import numpy as np
from numpy.typing import NDArray

from bitewright import __version__
from bitewright.errors import BitewrightError
from bitewright.exposing.exposure import Exposures, Station, fitting
from bitewright.film.film_parts import FilmMouth
from bitewright.film.moving_film import MovingFilm, moving_film
from bitewright.film.predicted_film import predicted_film
from bitewright.film.radiograph import Radiograph
from bitewright.film.shells import ShellGroup
from bitewright.planning.open_fans import OpenFan, open_fans
from bitewright.quality.predicted import Asked, asked
from bitewright.quality.views import view
from bitewright.solids.thinned import thinned
from bitewright.steps import Begin, unwatched
from bitewright.tasks.all_cores import all_cores
from bitewright.tasks.bench.bench_drawing import moving_drawing, still_drawing
from bitewright.tasks.catalogue.resources import StationRequest, station_for
from bitewright.tasks.film.film_mouths import station_film_mouth, station_thinned_mouth
from bitewright.tasks.long_work import LongWork
from bitewright.tasks.plan.plan_view import PlanRequest, plan_view
from bitewright.tasks.plan.predict_exposure import (
    ExposurePrediction,
    ExposureRequest,
    exposure_at,
    predict_at,
)
from bitewright.words.bench import next_step
from bitewright.words.bench_settings import SETTING_HINTS, SETTING_LABELS
from bitewright.words.caution import CAUTION

BENCH_FORMAT = "bitewright.bench/1"
PLAN_FORMAT = "bitewright.bench-plan/1"
STATION_FORMAT = "bitewright.bench-station/1"
FAN_STEP_DEG = 2.0
"""Fans are worked out for the vertical angle and the opening to this step. [deg]"""

IN_SPACE_MM = 0.1
"""How much further surfaces may move for the view in space, which a processor alone may draw."""

KEPT_BENCHES = 8
"""Stations kept ready at a time."""


class UnknownSettingError(BitewrightError):
    """A number was sent for a setting that the bench does not have, or none at all."""

    def __init__(self, name: str, given: object) -> None:
        self.name = name
        self.given = given
        super().__init__(
            f"The bench has no setting {name[:40]!r} with the value {given!r:.40}; it has "
            f"{', '.join(SETTINGS)}, each a number (lingual_mm may be left out)."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchSetting:
    """One number a hand can set on the bench. [mm, deg]

    ``low`` and ``high`` bound the slider; numbers beyond may be typed as far as a receptor can be
    seated and a tube aimed.
    """

    label: str
    hint: str
    low: float
    high: float
    step: float
    group: str


_RANGES = {
    "ring_offset_deg": ("Tube", -40.0, 40.0),
    "vertical_deg": ("Tube", -20.0, 30.0),
    "tube_forward_mm": ("Tube", -30.0, 30.0),
    "tube_up_mm": ("Tube", -30.0, 30.0),
    "forward_mm": ("Receptor", -16.0, 16.0),
    "lingual_mm": ("Receptor", 1.0, 20.0),
    "turn_deg": ("Receptor", -20.0, 30.0),
    "height_mm": ("Receptor", -12.0, 12.0),
    "tilt_deg": ("Receptor", -20.0, 20.0),
    "roll_deg": ("Receptor", -20.0, 20.0),
}
SETTINGS: Mapping[str, BenchSetting] = {
    name: BenchSetting(
        label=SETTING_LABELS[name],
        hint=SETTING_HINTS[name],
        low=low,
        high=high,
        step=0.5,
        group=group,
    )
    for name, (group, low, high) in _RANGES.items()
}


class Bench:
    """A station ready for exposures; its film is made when first asked for. Any thread may ask."""

    def __init__(self, request: ExposureRequest) -> None:
        self.request = request
        self.station: Station = station_for(view(request.view), request.station)
        self._of: Asked = asked(view(request.view), self.station, every_contact=True)
        self.build = LongWork("The mouth for this film")
        self._making = RLock()
        self._film_mouth: FilmMouth | None = None
        self._moving: MovingFilm | None = None
        self._fans: dict[tuple[float, ...], tuple[OpenFan, ...]] = {}

    def still_document(self) -> dict[str, Any]:
        """What stays while a hand moves: teeth, fans, what can be set."""
        at = self.station
        exposure = self.predicted({}).exposure
        return {
            "format": STATION_FORMAT,
            "version": __version__,
            "view": self.request.view,
            "view_title": view(self.request.view).title,
            "purpose": view(self.request.view).purpose,
            "mouth": at.outlines.mouth.name,
            "caution": CAUTION,
            "settings": [{"name": name, **_plain(setting)} for name, setting in SETTINGS.items()],
            "drawing": still_drawing(exposure),
            "film_mm": [round(2.0 * at.half_width_mm, 3), round(2.0 * at.half_height_mm, 3)],
        }

    def moving_document(self, settings: Mapping[str, object]) -> dict[str, Any]:
        """Prediction and drawing of one exposure; ``does_not_fit`` says why it cannot be."""
        made = self.predicted(settings)
        refused = _why_not(made.exposure)
        drawing = moving_drawing(made.exposure, self.fans(_vertical_deg(made), _opening_deg(made)))
        return {
            **made.document(),
            "format": BENCH_FORMAT,
            "does_not_fit": refused,
            "next_step": next_step(
                made.contacts, made.contact_errors_deg, drawing["beam_in_fan"], refused=refused
            ),
            "drawing": drawing,
        }

    def predicted(self, settings: Mapping[str, object]) -> ExposurePrediction:
        """One exposure's prediction, the same as by `predict_exposure`."""
        return predict_at(self.station, self._of, with_settings(self.request, settings))

    def exposure(self, settings: Mapping[str, object]) -> Exposures:
        """The exposure itself, for its film."""
        return exposure_at(self.station, self._of, with_settings(self.request, settings))

    def fans(self, vertical_deg: float, opening_deg: float) -> tuple[OpenFan, ...]:
        """Fans for the nearest steps of a vertical angle and of the mandible's opening."""
        steps = tuple(
            FAN_STEP_DEG * round(angle / FAN_STEP_DEG) for angle in (vertical_deg, opening_deg)
        )
        if steps not in self._fans:
            self._fans[steps] = open_fans(
                self.station.outlines, vertical_deg=steps[0], opening_deg=steps[1]
            )
        return self._fans[steps]

    def moving_picture(self, settings: Mapping[str, object]) -> NDArray[np.uint8]:
        """The small film of one exposure, (rows, columns)."""
        return self.moving_film().picture(self.exposure(settings))

    def full_film(
        self, settings: Mapping[str, object], *, seed: int = 1, begin: Begin = unwatched
    ) -> Radiograph:
        """The whole film of one exposure, everything on.

        Raises
        ------
        StoppedError
            If `begin` stopped it, or the bench's films are stopped.
        """
        exposure = self.exposure(settings)

        def go_on(doing: str) -> None:
            self.build.go_on()
            begin(doing)

        with all_cores() as threads:
            return predicted_film(
                exposure,
                self.film_mouth(),
                generator=np.random.default_rng(seed),
                threads=threads,
                provenance={"view": self.request.view, "seed": seed, "version": __version__},
                begin=go_on,
            )

    def film_mouth(self) -> FilmMouth:
        """The mouth's film form, made once."""
        with self._making:
            if self._film_mouth is None:
                self._film_mouth = station_film_mouth(
                    self.station, self.build.begin, expect=self.build.expect
                )
                self.build.finish()
            return self._film_mouth

    def moving_film(self) -> MovingFilm:
        """The moving film, made once."""
        with self._making:
            if self._moving is None:
                thin = station_thinned_mouth(self.station, self.film_mouth)
                self.build.begin("the first small film")
                self._moving = moving_film(self.station, thin)
                self.build.finish()
            return self._moving

    def solids(self) -> bytes:
        """The side's teeth for the view in space: upper jaw, then lower.

        Four little-endian counts (vertices and triangles of the upper, then of the lower jaw),
        then float32 vertices in the mouth frame and uint32 triangles of each. [mm]
        """
        counts, arrays = [], []
        with self._making:
            thin = station_thinned_mouth(self.station, self.film_mouth)
        for lower in (False, True):
            meshes = [
                thinned(part.mesh, IN_SPACE_MM)
                for part in thin.parts
                if part.is_lower is lower and part.group is ShellGroup.TOOTH
            ]
            starts = np.cumsum([0, *(len(mesh.vertices_mm) for mesh in meshes)])
            vertices = np.concatenate([mesh.vertices_mm for mesh in meshes] or [np.empty((0, 3))])
            triangles = np.concatenate(
                [mesh.triangles + start for mesh, start in zip(meshes, starts, strict=False)]
                or [np.empty((0, 3))]
            )
            counts += [len(vertices), len(triangles)]
            arrays += [vertices.astype("<f4"), triangles.astype("<u4")]
        return np.array(counts, dtype="<u4").tobytes() + b"".join(a.tobytes() for a in arrays)

    def plan_document(self, *, begin: Begin = unwatched) -> dict[str, Any]:
        """The plan of the bench's view: the best setting and the room left about it."""
        found = plan_view(
            PlanRequest(
                view=self.request.view,
                station=self.request.station,
                question=self.request.question,
                scheme=self.request.scheme,
            ),
            begin=begin,
        )
        setting = found.plan.setting
        zero: dict[str, float] = dict.fromkeys(SETTINGS, 0.0)
        best = zero | {n: round(float(getattr(setting, n)), 3) for n in _PLANNED}
        return {**found.document(), "format": PLAN_FORMAT, "settings": best}


_PLANNED = ("forward_mm", "lingual_mm", "turn_deg", "ring_offset_deg", "vertical_deg")


@lru_cache(maxsize=KEPT_BENCHES)
def bench(request: ExposureRequest) -> Bench:
    """The bench of a request; only the view, mouth, equipment, question and scheme of it count."""
    return Bench(request)


def forget_benches() -> None:
    """Let go of every station kept ready: what it was made from has changed."""
    bench.cache_clear()


def bench_for(*, view_name: str, station: StationRequest, scheme: str = "uk-2020") -> Bench:
    """The bench of a view, a mouth and equipment, kept ready."""
    return bench(ExposureRequest(view=view_name, station=station, scheme=scheme))


def with_settings(request: ExposureRequest, settings: Mapping[str, object]) -> ExposureRequest:
    """A request with the bench's numbers; those left out are 0.

    Without ``lingual_mm`` the receptor lies as near to the teeth as it fits.

    Raises
    ------
    UnknownSettingError
        For a name the bench does not have, or a value that is no number.
    """
    numbers: dict[str, Any] = {"forward_mm": 0.0, "turn_deg": 0.0, "ring_offset_deg": 0.0}
    numbers |= {"vertical_deg": 0.0, "lingual_mm": None}
    for name, value in settings.items():
        if name not in SETTINGS:
            raise UnknownSettingError(str(name), value)
        if value is None and name == "lingual_mm":
            continue
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise UnknownSettingError(name, value)
        try:
            numbers[name] = float(value)
        except OverflowError:
            raise UnknownSettingError(name, value) from None
    return replace(request, **numbers)


def _why_not(exposure: Exposures) -> str | None:
    """The sentence that says why a receptor cannot be there; None if it can."""
    try:
        fitting(exposure)
    except BitewrightError as error:
        return str(error)
    return None


def _vertical_deg(made: ExposurePrediction) -> float:
    return float(made.aim.arrays()["vertical_deg"][0])


def _opening_deg(made: ExposurePrediction) -> float:
    return float(made.exposure.seat.opening_deg[0])


def _plain(setting: BenchSetting) -> dict[str, Any]:
    return {field.name: getattr(setting, field.name) for field in fields(setting)}


__all__ = [
    "SETTINGS",
    "Bench",
    "BenchSetting",
    "UnknownSettingError",
    "bench_for",
    "forget_benches",
    "with_settings",
]
