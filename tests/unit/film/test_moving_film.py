"""The moving film against the whole one of the same exposure."""

from functools import lru_cache

import numpy as np
import pytest

from bitewright.exposing.aim import Aim
from bitewright.exposing.exposure import expose
from bitewright.exposing.placement import Placement
from bitewright.film.develop import develop
from bitewright.film.film_faults import FaultName, FaultNotPossibleError, FilmFault
from bitewright.film.film_kinds import USUAL, Handling
from bitewright.film.film_mouth import FilmMouth
from bitewright.film.moving_film import MovingFilm, moving_film
from bitewright.film.predicted_film import TOOTH_DEPTH_MM, film_lengths, predicted_film
from bitewright.film.shells import ShellGroup
from bitewright.film.thinned_mouth import thinned_mouth
from tests.scenes import film_mouth_in, station_of

MEAN_GREY = 1.0
"""Of 255, where no trabeculae are; thinned surfaces move edges by hundredths of a millimetre."""


@lru_cache(maxsize=1)
def made() -> tuple[FilmMouth, MovingFilm]:
    at = station_of("right-molar", "sensor-2")
    mouth = film_mouth_in(at)
    return mouth, moving_film(at, thinned_mouth(mouth))


@pytest.mark.slow
@pytest.mark.parametrize("swing_deg", [0.0, 9.0])
def test_moving_film_is_the_film_without_bone_texture(
    swing_deg: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Nor has it the swells of teeth and cheek, which the whole film is made without here."""
    monkeypatch.setattr("bitewright.film.predicted_film.add_unevenness", lambda *_, **__: None)
    mouth, moving = made()
    placement = Placement(lingual_mm=6.0)
    exposure = expose(moving.station, placement, Aim(ring_offset_deg=swing_deg, vertical_deg=4.0))
    small = moving.picture(exposure)
    whole = predicted_film(exposure, mouth, pixel_mm=moving.grid.pixel_mm)
    lengths = film_lengths(exposure, mouth, moving.grid).lengths_mm
    plain = lengths[ShellGroup.SPONGIOSA] < 0.3
    plain[-30:, 100:230] = False  # the word SIMULATED
    difference = small[plain].astype(float) - whole.pixels[plain] / 257.0
    assert small.shape == whole.pixels.shape
    assert plain.mean() > 0.3
    assert np.abs(difference).mean() < MEAN_GREY
    assert np.percentile(np.abs(difference), 99) < 12.0


def test_a_moved_tube_moves_the_film() -> None:
    _, moving = made()
    placement = Placement(lingual_mm=6.0)
    still, moved = (
        moving.picture(expose(moving.station, placement, Aim(ring_offset_deg=angle)))
        for angle in (0.0, 6.0)
    )
    assert np.abs(still.astype(float) - moved).mean() > 3.0


def test_its_penumbra_is_the_focal_spots_seen_past_a_tooth(monkeypatch: pytest.MonkeyPatch) -> None:
    """Focal spot times tooth to receptor over source to tooth: similar triangles."""
    _, moving = made()
    asked: list[float] = []

    def noted(*args: object, **given: object) -> object:
        asked.append(given["unsharpness_mm"])  # type: ignore[arg-type]  # a float
        return develop(*args, **given)  # type: ignore[arg-type]  # what it was given

    monkeypatch.setattr("bitewright.film.moving_film.develop", noted)
    moving.picture(expose(moving.station, Placement(lingual_mm=6.0), Aim()))
    at = moving.station
    source_tooth_mm = at.tube.source_to_end_mm + at.holder.ring_to_receptor_mm - TOOTH_DEPTH_MM
    assert asked == [pytest.approx(at.tube.focal_spot_mm * TOOTH_DEPTH_MM / source_tooth_mm)]


def test_a_moving_film_is_exposed_displayed_and_handled_as_the_whole_one() -> None:
    _, moving = made()
    exposure = expose(moving.station, Placement(lingual_mm=6.0), Aim())
    usual = moving.picture(exposure).astype(float)
    assert moving.handled(USUAL) is moving
    soft = moving.handled(Handling(look="soft")).picture(exposure)
    assert soft.std() < usual.std(), "less contrast"
    cut = Handling(faults=(FilmFault(name=FaultName.CONE_CUT_ROUND),))
    assert moving.handled(cut).picture(exposure).mean() > usual.mean() + 5.0, "unexposed is bright"
    dark = moving.handled(Handling(mas=0.05))
    assert dark.exposure < 0.5
    with pytest.raises(FaultNotPossibleError):
        moving.handled(Handling(faults=(FilmFault(name=FaultName.BENT),)))
