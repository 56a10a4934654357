"""How much a cone cut leaves blank, against the field as the film is exposed through it."""

import numpy as np
import pytest
from numpy.typing import NDArray

from bitewright.exposing.aim import Aim
from bitewright.exposing.beam_cover import BEAM_PLACES, BeamPlace, beam_cover_mm, cut_landmarks
from bitewright.exposing.exposure import expose
from bitewright.exposing.landmarks import Status
from bitewright.exposing.placement import Placement
from bitewright.film.beam_faults import cone_cut_rectangular, cone_cut_round
from bitewright.film.beam_mask import beam_mask
from bitewright.film.film_faults import FaultName, FilmFault, clear_edge
from bitewright.film.receptor_grid import ReceptorGrid
from bitewright.quality.criteria import CriterionName
from bitewright.quality.predicted import asked, predict
from bitewright.quality.rating import ContactState, Outcome
from bitewright.quality.rating_schemes import rating_scheme
from bitewright.quality.views import view
from tests.scenes import station_of

PIXEL_MM = 0.1
TUBES = ("rectangular-300", "round-300", "round-200")


def blank_mm(shown: NDArray[np.float32]) -> dict[str, float]:
    """Blank at the ends of a row and a column through the middle of what a film shows."""
    lit = shown > 0.5
    rows, columns = lit.nonzero()
    for _ in range(2):
        row = round(float(rows.mean())) if len(rows) else 0
        columns = lit[row].nonzero()[0]
        column = round(float(columns.mean()))
        rows = lit[:, column].nonzero()[0]
    return {
        "left": PIXEL_MM * columns.min(),
        "right": PIXEL_MM * (lit.shape[1] - 1 - columns.max()),
        "upper": PIXEL_MM * rows.min(),
        "lower": PIXEL_MM * (lit.shape[0] - 1 - rows.max()),
    }


@pytest.mark.parametrize("tube", TUBES)
@pytest.mark.parametrize("view_name", ["right-premolar", "left-molar"])
@pytest.mark.parametrize("cut_mm", [2.0, 5.0, 10.0, 15.0, 20.0])
@pytest.mark.parametrize("way", ["tube_forward_mm", "tube_up_mm"])
def test_a_cone_cut_is_measured_within_0_3_mm_of_the_film(
    tube: str, view_name: str, cut_mm: float, way: str
) -> None:
    """Tubes slid until 2 to 20 mm stay blank; the film's own field is the other measurement."""
    at = station_of(view_name, "sensor-2", tube=tube)
    spare = beam_cover_mm(expose(at, Placement(), Aim()))[0]
    edge = BeamPlace.BACK if way == "tube_forward_mm" else BeamPlace.LOWER
    slide = cut_mm + float(spare[BEAM_PLACES.index(edge)])
    exposure = expose(at, Placement(), Aim(**{way: slide}))
    told = dict(zip(BEAM_PLACES, beam_cover_mm(exposure)[0], strict=True))
    assert told[edge] == pytest.approx(-cut_mm, abs=0.3)
    grid = ReceptorGrid.covering(
        width_mm=2.0 * at.half_width_mm, height_mm=2.0 * at.half_height_mm, pixel_mm=PIXEL_MM
    )
    film = blank_mm(beam_mask(exposure, grid))
    back = "left" if at.region.front_sign > 0 else "right"
    seen = film[back if edge is BeamPlace.BACK else "lower"]
    assert max(-told[edge], 0.0) == pytest.approx(seen, abs=0.3)


@pytest.mark.parametrize("fault", [FaultName.CONE_CUT_ROUND, FaultName.CONE_CUT_RECTANGULAR])
@pytest.mark.parametrize("size", [0.5, 1.0, 2.0])
@pytest.mark.parametrize("view_name", ["right-premolar", "left-molar"])
def test_a_cone_cut_to_order_is_measured_as_the_film_shows_it(
    fault: FaultName, size: float, view_name: str
) -> None:
    at = station_of(view_name, "plate-2")
    cut = clear_edge((FilmFault(name=fault, size=size),), at)
    exposure = expose(at, Placement(), Aim())
    told = dict(zip(BEAM_PLACES, beam_cover_mm(exposure, cut=cut)[0], strict=True))
    spoil = cone_cut_round if fault is FaultName.CONE_CUT_ROUND else cone_cut_rectangular
    film = blank_mm(spoil(np.ones((310, 410), dtype=np.float32), PIXEL_MM, size))
    right = BeamPlace.FRONT if at.region.front_sign > 0 else BeamPlace.BACK
    assert max(-told[right], 0.0) == pytest.approx(film["right"], abs=0.3)


def test_a_beam_that_covers_the_receptor_has_the_same_to_spare_on_opposite_edges() -> None:
    at = station_of("right-premolar", "film-2", tube="rectangular-300")
    front, back, upper, lower = beam_cover_mm(expose(at, Placement(), Aim()))[0, :4]
    # 38 x 30 mm at the end, 300 of 360 mm from the source: 45.6 x 36 mm over 41 x 31 mm.
    assert [front, back, upper, lower] == pytest.approx([2.3, 2.3, 2.5, 2.5], abs=0.1)


def test_a_round_beam_takes_the_corners_first() -> None:
    at = station_of("right-premolar", "film-2", tube="round-300")
    cover = dict(
        zip(
            BEAM_PLACES,
            beam_cover_mm(expose(at, Placement(), Aim(tube_forward_mm=15.0)))[0],
            strict=True,
        )
    )
    assert cover[BeamPlace.BACK] > 0.0
    assert min(cover[BeamPlace.BACK_UPPER], cover[BeamPlace.BACK_LOWER]) < 0.0
    assert min(cover[BeamPlace.FRONT_UPPER], cover[BeamPlace.FRONT_LOWER]) > 0.0


def test_a_cone_cut_that_hides_a_wanted_surface_fails_the_film() -> None:
    at = station_of("right-premolar", "sensor-2")
    of = asked(view("right-premolar"), at)
    rating = predict(expose(at, Placement(), Aim(tube_forward_mm=-20.0)), of).rating
    assert ContactState.NOT_SHOWN in rating.states[0]
    assert rating.grade(rating_scheme("uk-2020")) == ["N"]


def test_a_cone_cut_that_hides_nothing_wanted_falls_short_and_is_no_faultless_film() -> None:
    at = station_of("right-premolar", "sensor-2")
    of = asked(view("right-premolar"), at)
    rating = predict(expose(at, Placement(), Aim(tube_forward_mm=9.0)), of).rating
    assert rating.outcomes[0, rating.names.index(CriterionName.BEAM)] == Outcome.SHORT
    assert rating.grade(rating_scheme("uk-2001"))[0] != "1"


def test_what_lies_in_the_blank_part_of_a_spoilt_film_is_cut_off() -> None:
    at = station_of("right-premolar", "plate-2")
    of = asked(view("right-premolar"), at)
    cut = clear_edge((FilmFault(name=FaultName.CONE_CUT_RECTANGULAR, size=3.0),), at)
    assert cut is not None
    exposure = expose(at, Placement(), Aim())
    whole, spoilt = predict(exposure, of), predict(exposure, of, cut=cut)
    assert whole.landmarks.status_of("13.distal")[0] == Status.SEEN
    assert spoilt.landmarks.status_of("13.distal")[0] == Status.CUT
    assert cut_landmarks(whole.landmarks, cut).status_of("46.mesial")[0] == Status.SEEN
    assert spoilt.rating.grade(rating_scheme("uk-2020")) == ["N"]
