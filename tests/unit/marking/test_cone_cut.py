"""A cone cut that a person saw: how much it leaves blank, and what follows from it."""

from dataclasses import replace

import numpy as np
import pytest

from bitewright.exposing.aim import Aim
from bitewright.exposing.beam_cover import BEAM_PLACES, BeamPlace, beam_cover_mm
from bitewright.exposing.exposure import Exposures, expose
from bitewright.exposing.landmarks import Status
from bitewright.exposing.placement import Placement
from bitewright.exposing.project import project
from bitewright.exposing.targets import targets
from bitewright.film.beam_mask import beam_mask
from bitewright.film.film_faults import FaultName, FilmFault, clear_edge
from bitewright.film.receptor_grid import ReceptorGrid
from bitewright.marking.assess import Assessment, assess
from bitewright.marking.cone_cut import edge_places_px
from bitewright.marking.marks import (
    FilmRemark,
    MarkedFilm,
    MarkedFilmError,
    MarkStatus,
    Mounting,
)
from bitewright.marking.simulated_marker import marked_by_simulation, true_marks
from bitewright.quality.criteria import CriterionName, Question
from bitewright.quality.predicted import asked, predict
from bitewright.quality.questions import needs
from bitewright.quality.rating import Outcome
from bitewright.quality.rating_schemes import rating_scheme
from bitewright.quality.views import view
from tests.scenes import station_of

PIXEL_MM = 0.05


def exposed(tube: str, **aim: float) -> Exposures:
    at = station_of("right-premolar", "sensor-2", tube=tube)
    return expose(at, Placement(), Aim(**aim))


def marked(exposure: Exposures, edge_px: tuple[tuple[float, float], ...] = ()) -> MarkedFilm:
    """The film as a careful person marks it, with a cone cut and its edge."""
    at = exposure.station
    landmarks, _ = project(exposure, targets(at.outlines, at.region))
    film = marked_by_simulation(
        landmarks,
        view("right-premolar"),
        pixel_mm=PIXEL_MM,
        image_name="film.png",
        receptor="sensor-2",
        sd_mm=0.1,
        generator=np.random.default_rng(7),
    )
    return replace(film, observations=(FilmRemark(name="cone-cut", edge_px=edge_px),))


def edge_of(exposure: Exposures, count: int) -> tuple[tuple[float, float], ...]:
    """Places on the blank part's edge, as the film shows it. [px]"""
    at = exposure.station
    grid = ReceptorGrid.covering(
        width_mm=2.0 * at.half_width_mm, height_mm=2.0 * at.half_height_mm, pixel_mm=PIXEL_MM
    )
    lit = beam_mask(exposure, grid) > 0.5
    rows = [row for row in np.linspace(20, lit.shape[0] - 20, count).astype(int) if lit[row].any()]
    return tuple((float(lit[row].argmax()), row + 0.5) for row in rows)


def assessed(film: MarkedFilm) -> Assessment:
    at = station_of("right-premolar", "sensor-2")
    return assess(film, view("right-premolar"), pixel_mm=PIXEL_MM, receptor=at.receptor)


@pytest.mark.parametrize(("tube", "count"), [("rectangular-300", 2), ("round-300", 9)])
@pytest.mark.parametrize("slid_mm", [12.0, 18.0, 25.0])
def test_a_marked_edge_tells_how_much_is_blank(tube: str, count: int, slid_mm: float) -> None:
    exposure = exposed(tube, tube_forward_mm=slid_mm + (10.0 if tube == "round-300" else 0.0))
    truth = beam_cover_mm(exposure)[0, BEAM_PLACES.index(BeamPlace.BACK)]
    found = assessed(marked(exposure, edge_of(exposure, count)))
    told = found.measurements.beam_margin_mm[0, BEAM_PLACES.index(BeamPlace.BACK)]
    assert told == pytest.approx(truth, abs=0.3)
    beam = next(each for each in found.findings if each.criterion.name is CriterionName.BEAM)
    assert beam.outcome is Outcome.SHORT
    assert beam.place == BeamPlace.BACK


def test_a_mirrored_film_has_its_cone_cut_on_the_same_edge_of_the_mouth() -> None:
    exposure = exposed("rectangular-300", tube_forward_mm=18.0)
    film = marked(exposure, edge_of(exposure, 2))
    turned = replace(
        film,
        mounting=Mounting.MIRRORED,
        marks={
            name: mark if mark.x_px is None else replace(mark, x_px=film.columns - mark.x_px)
            for name, mark in film.marks.items()
        },
        observations=(
            FilmRemark(
                name="cone-cut",
                edge_px=tuple((film.columns - x, y) for x, y in film.observations[0].edge_px),
            ),
        ),
    )
    as_seen, mirrored = (assessed(each).measurements.beam_margin_mm for each in (film, turned))
    assert mirrored == pytest.approx(as_seen)


def test_a_cone_cut_whose_edge_is_not_marked_falls_short_by_an_unknown_amount() -> None:
    found = assessed(marked(exposed("rectangular-300", tube_forward_mm=12.0)))
    beam = next(each for each in found.findings if each.criterion.name is CriterionName.BEAM)
    assert (beam.outcome, beam.value) == (Outcome.SHORT, None)
    assert found.rating.grade(rating_scheme("uk-2001"))[0] != "1"


def test_a_film_on_which_no_cone_cut_was_seen_is_not_asked_about_its_beam() -> None:
    film = replace(marked(exposed("rectangular-300")), observations=())
    assert CriterionName.BEAM not in {each.criterion.name for each in assessed(film).findings}


def test_an_edge_that_bulges_towards_the_marks_is_refused() -> None:
    film = marked(exposed("rectangular-300", tube_forward_mm=12.0))
    bulging = tuple((150.0 - ((y - 300.0) / 60.0) ** 2, y) for y in (50.0, 200.0, 300.0, 500.0))
    film = replace(film, observations=(FilmRemark(name="cone-cut", edge_px=bulging),))
    with pytest.raises(MarkedFilmError, match="bulging away from the marks"):
        assessed(film)


def test_only_a_cone_cut_has_an_edge_and_it_has_two_places_or_more() -> None:
    with pytest.raises(MarkedFilmError, match="other than cone-cut"):
        FilmRemark(name="bent-plate", edge_px=((1.0, 2.0), (3.0, 4.0)))
    with pytest.raises(MarkedFilmError, match="2 for a straight edge"):
        FilmRemark(name="cone-cut", edge_px=((1.0, 2.0),))


@pytest.mark.parametrize("fault", [FaultName.CONE_CUT_ROUND, FaultName.CONE_CUT_RECTANGULAR])
@pytest.mark.parametrize("size", [1.0, 2.0])
def test_a_cone_cut_to_order_is_told_as_a_person_marks_it(fault: FaultName, size: float) -> None:
    """What is blank is hidden, and the told edge gives back how much that is."""
    at = station_of("right-premolar", "sensor-2")
    cut = clear_edge((FilmFault(name=fault, size=size),), at)
    assert cut is not None
    exposure = expose(at, Placement(), Aim())
    spoilt = predict(exposure, asked(view("right-premolar"), at), cut=cut)
    film = true_marks(
        spoilt.landmarks,
        view("right-premolar"),
        pixel_mm=PIXEL_MM,
        image_name="film.png",
        receptor="sensor-2",
    )
    edge = edge_places_px(cut, columns=film.columns, rows=film.rows, pixel_mm=PIXEL_MM)
    film = replace(film, observations=(FilmRemark(name="cone-cut", edge_px=edge),))
    told = assessed(film).measurements.beam_margin_mm[0]
    true = beam_cover_mm(exposure, cut=cut)[0]
    for place in (BeamPlace.FRONT, BeamPlace.FRONT_UPPER, BeamPlace.FRONT_LOWER):
        column = BEAM_PLACES.index(place)
        if true[column] < 0.0:
            assert told[column] == pytest.approx(true[column], abs=0.3)
    for name, mark in film.marks.items():
        if spoilt.landmarks.status_of(name)[0] == Status.CUT:
            assert mark.status is MarkStatus.HIDDEN


@pytest.mark.parametrize("tube", ["rectangular-300", "round-300", "round-200"])
@pytest.mark.parametrize("view_name", ["right-premolar", "left-molar"])
@pytest.mark.parametrize("receptor", ["sensor-2", "plate-2"])
@pytest.mark.parametrize("question", [Question.ENAMEL, Question.BONE, Question.BOTH])
def test_no_cone_cut_of_2_to_20_mm_that_hides_what_is_needed_leaves_the_film_acceptable(
    tube: str, view_name: str, receptor: str, question: Question
) -> None:
    """Tubes slid until 2 to 20 mm stay blank at each edge in turn."""
    at = station_of(view_name, receptor, tube=tube)
    of = asked(view(view_name), at)
    need = needs(question, of.wanted)
    spare = dict(zip(BEAM_PLACES, beam_cover_mm(expose(at, Placement(), Aim()))[0], strict=True))
    hidden_somewhere = 0
    for edge, way, sign in (
        (BeamPlace.BACK, "tube_forward_mm", 1.0),
        (BeamPlace.FRONT, "tube_forward_mm", -1.0),
        (BeamPlace.LOWER, "tube_up_mm", 1.0),
        (BeamPlace.UPPER, "tube_up_mm", -1.0),
    ):
        slid = sign * (np.arange(2.0, 21.0) + spare[edge])
        exposure = expose(at, Placement(), Aim(**{way: slid}))
        found = predict(exposure, of, question=question)
        cut = -found.measurements.beam_margin_mm[:, BEAM_PLACES.index(edge)]
        assert cut == pytest.approx(np.arange(2.0, 21.0), abs=0.3)
        hides = np.any(
            [found.landmarks.status_of(name) == Status.CUT for name in need.surfaces | need.crests],
            axis=0,
        )
        hidden_somewhere += int(hides.sum())
        grades = np.array(found.rating.grade(rating_scheme("uk-2020")))
        assert set(grades[hides]) <= {"N"}, edge
        # Whatever stays blank, the film is not called faultless.
        faultless = np.array(found.rating.grade(rating_scheme("uk-2001"))) == "1"
        assert not faultless.any()
    assert 0 < hidden_somewhere < 4 * 19
