"""Films of known exposures, explained: a smaller version of benchmarks/explain.py."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from bitewright.estimation.allowances import allowed
from bitewright.estimation.estimate import FilmEvidence, estimate
from bitewright.estimation.exposure_unknowns import NAMES, SPREAD, exposures_at, usual_unknowns
from bitewright.estimation.mouth_belief import population
from bitewright.estimation.mouth_prior import mean_mouth
from bitewright.estimation.mouth_shapes import MouthShapes, mouth_shapes
from bitewright.explanation.correction import Cause, CauseName, Estimated, Need, Part, Verdict
from bitewright.explanation.explain import explain
from bitewright.explanation.explanation import Explanation
from bitewright.explanation.needed_amounts import spread_about
from bitewright.explanation.needed_movement import DRAWS
from bitewright.explanation.needs import AsMarked
from bitewright.explanation.set_up_ways import BORNE_OUT, lies_the_way_of
from bitewright.exposing.exposure import Station, station
from bitewright.exposing.project import project
from bitewright.exposing.targets import targets
from bitewright.marking.mark_order import mark_order
from bitewright.marking.marked_landmarks import landmarks_from_marks
from bitewright.marking.marks import Mark, MarkedFilm
from bitewright.marking.simulated_marker import marked_by_simulation
from bitewright.mouth.outlines import build_outlines
from bitewright.quality.views import mirrored_view, view
from bitewright.words.movement_rows import movement_row
from trials.judged import Judged, estimated, explained, judged
from trials.known_films import (
    SINGLE_FAULTS,
    Equipment,
    KnownFilm,
    known_film,
    single_fault,
    strange_mouth,
)

TEETH = tuple(mean_mouth().teeth)
VIEWS = ("right-premolar", "left-molar")
FILMS = 12


@cache
def held_out(number: int) -> tuple[KnownFilm, Explanation, Judged]:
    """A film of a mouth the estimator does not know the like of."""
    generator = np.random.default_rng([77, number])
    film = known_film(
        strange_mouth(generator), view(VIEWS[number % len(VIEWS)]), Equipment.usual(), generator
    )
    said = explained(film, generator)
    return film, said, judged(film, said)


@pytest.mark.slow
def test_swings_are_found_as_well_as_the_accuracy_page_says() -> None:
    """Twelve films: medians allowed half as much again as a thousand films give."""
    results = [held_out(number)[2] for number in range(FILMS)]
    errors = {part: np.abs([each.error[part] for each in results]) for part in Part}
    assert np.median(errors[Part.SWING]) < 3.4
    assert errors[Part.SWING].max() < 14.0
    assert np.median(errors[Part.VERTICAL]) < 4.6
    assert np.median(errors[Part.FORWARD]) < 2.1
    assert np.median(errors[Part.HEIGHT]) < 1.5


@pytest.mark.slow
def test_the_way_to_swing_is_right_where_it_matters() -> None:
    needing = [
        each
        for _, _, each in map(held_out, range(FILMS))
        if abs(each.true[Part.SWING]) > 5.0 and each.verdict is not Verdict.CANNOT_TELL
    ]
    assert len(needing) >= 5
    for each in needing:
        assert (each.error[Part.SWING] + each.true[Part.SWING]) * each.true[Part.SWING] > 0.0


@pytest.mark.slow
def test_intervals_hold_the_truth_about_nine_times_in_ten() -> None:
    covered = [
        each.covered[part]
        for _, _, each in map(held_out, range(FILMS))
        for part in (Part.SWING, Part.VERTICAL, Part.FORWARD, Part.HEIGHT)
    ]
    assert np.mean(covered) > 0.75  # binomial: 48 at 0.88 fall below this once in a hundred runs


@pytest.mark.slow
def test_the_table_and_the_set_up_go_one_way() -> None:
    """What is told as needed of the tube's height and the receptor's place is what is set up."""
    told = []
    for _, said, _ in map(held_out, range(FILMS)):
        for part in BORNE_OUT:
            movement = said.correction.of(part)
            if said.next is not None and movement.need is Need.MOVE:
                told.append(part)
                assert lies_the_way_of(movement, said.next.goes)
    assert set(told) == set(BORNE_OUT)


@pytest.mark.slow
@pytest.mark.parametrize(
    "name", ["tube 10 degrees to the front", "receptor's front 8 degrees down"]
)
def test_a_single_fault_is_named_first(name: str) -> None:
    generator = np.random.default_rng(5)
    film = single_fault(name, mean_mouth(), view("right-molar"), Equipment.usual(), generator)
    causes = explained(film, generator).correction.causes
    assert causes[0].name in SINGLE_FAULTS[name].causes


@pytest.mark.slow
def test_a_film_that_is_level_as_marked_is_not_to_be_levelled() -> None:
    generator = np.random.default_rng(5)
    name = "receptor's front 8 degrees down"
    film = single_fault(name, mean_mouth(), view("right-molar"), Equipment.usual(), generator)
    found = estimated(film)
    sloping, level = (
        explain(
            found, film.view, marked=AsMarked(slope_deg=slope), generator=np.random.default_rng(1)
        ).correction
        for slope in (-8.0, 2.0)
    )
    assert sloping.of(Part.ROLL).need is Need.MOVE
    assert level.of(Part.ROLL).need is Need.STAY
    rolled = (CauseName.RECEPTOR_ROLLED_FRONT_DOWN, CauseName.RECEPTOR_ROLLED_FRONT_UP)
    assert sloping.causes[0].name in rolled
    assert not {cause.name for cause in level.causes} & set(rolled)


def usual_station(view_name: str) -> Station:
    return station(
        build_outlines(mean_mouth()),
        view(view_name).region,
        Equipment.usual().receptor,
        Equipment.usual().holder,
        Equipment.usual().tube,
    )


def marks_of(view_name: str, swing_deg: float, *, sd_mm: float) -> MarkedFilm:
    """The mean mouth, its usual exposure swung, marked."""
    at = usual_station(view_name)
    unknowns = usual_unknowns(at)
    unknowns[NAMES.index("azimuth_deg")] += swing_deg
    marks, _ = project(exposures_at(at, unknowns[None]), targets(at.outlines, at.region))
    return marked_by_simulation(
        marks,
        view(view_name),
        pixel_mm=0.02,
        image_name="a.png",
        receptor="sensor-2",
        sd_mm=sd_mm,
        generator=np.random.default_rng(0),
    )


def evidence_of(film: MarkedFilm) -> FilmEvidence:
    of_view = view(film.view)
    marks = landmarks_from_marks(film, of_view, pixel_mm=0.02, receptor=Equipment.usual().receptor)
    return FilmEvidence(landmarks=marks, station=usual_station(film.view))


def azimuth(film: MarkedFilm) -> tuple[float, float]:
    """Estimated tube direction and its standard deviation. [deg]"""
    evidence = evidence_of(film)
    found = estimate([evidence], mouth_shapes(TEETH, evidence.station.region), population(TEETH))
    at = NAMES.index("azimuth_deg")
    return float(found.unknowns[0, at]), float(np.sqrt(found.covariance[at, at]))


@pytest.mark.parametrize("swing_deg", [-9.0, 0.0, 12.0])
def test_a_projected_exposure_comes_back_within_its_uncertainty(swing_deg: float) -> None:
    film = marks_of("right-premolar", swing_deg, sd_mm=0.05)
    found, sd = azimuth(film)
    usual = usual_unknowns(usual_station("right-premolar"))[NAMES.index("azimuth_deg")]
    assert abs(found - usual - swing_deg) < 2.0 * sd
    assert sd < 4.0


@pytest.mark.slow
def test_mirrored_marks_give_the_mirrored_estimate() -> None:
    film = marks_of("right-premolar", 8.0, sd_mm=0.1)
    mirrored = replace(
        film,
        view=mirrored_view(view("right-premolar")).name,
        marks={_mirrored_name(n): _mirrored_mark(m, film) for n, m in film.marks.items()},
    )
    (one, one_sd), (other, other_sd) = azimuth(film), azimuth(mirrored)
    assert one == pytest.approx(other, abs=0.05)
    assert one_sd == pytest.approx(other_sd, rel=0.02)


def _mirrored_name(name: str) -> str:
    return {"1": "2", "2": "1", "3": "4", "4": "3"}[name[0]] + name[1:]


def _mirrored_mark(mark: Mark, film: MarkedFilm) -> Mark:
    return mark if mark.x_px is None else replace(mark, x_px=film.columns - mark.x_px)


@pytest.mark.slow
def test_a_known_mouth_is_told_sharper() -> None:
    film = marks_of("right-molar", 6.0, sd_mm=0.15)
    evidence = evidence_of(film)
    at = NAMES.index("azimuth_deg")
    known = estimate(
        [evidence], MouthShapes.known(evidence.station.outlines, evidence.station.region), None
    )
    assert np.sqrt(known.covariance[at, at]) < 0.7 * azimuth(film)[1]


@pytest.mark.slow
def test_two_films_of_one_mouth_teach_more_than_one() -> None:
    films = [evidence_of(marks_of("right-premolar", swing, sd_mm=0.1)) for swing in (-6.0, 6.0)]
    shapes, before = mouth_shapes(TEETH, films[0].station.region), population(TEETH)
    one, both = (estimate(each, shapes, before).belief(before) for each in (films[:1], films))
    assert (one.films, both.films) == (1, 2)
    assert np.trace(both.covariance) < np.trace(one.covariance) < np.trace(before.covariance)


def test_too_few_marks_cannot_tell_and_name_marks_that_would() -> None:
    film = marks_of("right-premolar", 4.0, sd_mm=0.15)
    few = {"14.distal", "15.mesial", "44.distal", "45.mesial", "14.buccal.cusp", "44.buccal.cusp"}
    film = replace(film, marks={name: film.marks[name] for name in few})
    shapes = mouth_shapes(TEETH, view(film.view).region)
    found = estimate([evidence_of(film)], shapes, population(TEETH))
    said = explain(found, view(film.view), generator=np.random.default_rng(0)).correction
    assert said.verdict is Verdict.CANNOT_TELL
    assert said.of(Part.SWING).need is Need.UNSURE, "the table said perhaps, the sentence not told"
    assert said.settling_marks
    asked = set(mark_order(view(film.view))) - few
    assert set(said.settling_marks) <= asked, "a mark that the page does not ask for"


def test_a_misnamed_mark_is_doubted() -> None:
    film = marks_of("right-premolar", 0.0, sd_mm=0.05)
    marks = dict(film.marks)
    moved = marks["15.mesial"]
    marks["15.mesial"] = replace(moved, x_px=moved.x_px - 150)
    found = estimate(
        [evidence_of(replace(film, marks=marks))],
        mouth_shapes(TEETH, view(film.view).region),
        population(TEETH),
    )
    said = explain(found, view(film.view), generator=np.random.default_rng(0)).correction
    assert said.doubtful_marks[0].name in ("15.mesial", "14.distal")


@pytest.mark.slow
def test_misfit_is_about_one_for_marks_as_they_are_assumed() -> None:
    """Of a known mouth: exposures from the estimate's own prior, marks with its own noise."""
    at = usual_station("right-molar")
    shapes = MouthShapes.known(at.outlines, at.region)
    found = [estimate([noisy(at, seed)], shapes, None).misfit for seed in range(30)]
    # Each is a chi-square of some hundred degrees of freedom over that number: SD 0.14.
    assert np.mean(found) == pytest.approx(1.0, abs=0.09)


def noisy(at: Station, seed: int) -> FilmEvidence:
    """Every landmark of an exposure drawn from the prior, off by mark and allowance together."""
    generator = np.random.default_rng([5, seed])
    unknowns = usual_unknowns(at) + 0.5 * SPREAD * generator.standard_normal(len(SPREAD))
    marks, _ = project(exposures_at(at, unknowns[None]), targets(at.outlines, at.region))
    beside = allowed(marks.names, marks.points_receptor[0], marks.front_sign)
    variance = np.full(2 * len(marks.names), 0.1**2)
    root = np.linalg.cholesky(beside.own + beside.together + np.diag(variance))
    off = (beside.shift + root @ generator.standard_normal(len(variance))).reshape(-1, 2)
    return FilmEvidence(
        landmarks=replace(
            marks,
            points_receptor=marks.points_receptor + off,
            covariance_mm2=np.diag(variance),
        ),
        station=at,
    )


def test_an_interval_of_few_draws_holds_nine_of_ten_further_ones() -> None:
    """Their own outer ones would hold 83 of 100."""
    generator = np.random.default_rng(1)
    draws = generator.standard_normal((4000, DRAWS))
    middle = [spread_about(float(row.mean()), row, 0.0, 1.0) for row in draws]
    held = [each.low <= truth <= each.high for each, truth in zip(middle, ONE_MORE, strict=True)]
    assert np.mean(held) == pytest.approx(0.90, abs=0.015)
    wider = spread_about(0.0, draws[0], 0.0, 2.0)
    assert wider.high - wider.low == pytest.approx(2.0 * (middle[0].high - middle[0].low))


ONE_MORE = np.random.default_rng(2).standard_normal(4000)


def test_nothing_is_wrong_with_a_film_as_planned() -> None:
    generator = np.random.default_rng(3)
    name = "tube 10 degrees to the front"
    film = single_fault(name, mean_mouth(), view("right-molar"), Equipment.usual(), generator)
    good = replace(film, exposure=film.best.exposure)
    marks, _ = project(good.exposure, targets(film.station.outlines, film.station.region))
    marked = marked_by_simulation(
        marks,
        film.view,
        pixel_mm=0.02,
        image_name="a.png",
        receptor="sensor-2",
        sd_mm=0.05,
        generator=generator,
    )
    landmarks = landmarks_from_marks(
        marked, film.view, pixel_mm=0.02, receptor=Equipment.usual().receptor
    )
    found = estimated(replace(good, film=marked, landmarks=landmarks))
    fine = AsMarked(likely_failed=False)
    told = explain(found, film.view, marked=fine, generator=generator)
    said = told.correction
    assert told.next is None
    assert said.verdict is Verdict.NOTHING
    assert said.causes[0].name is CauseName.NONE


def test_no_cause_is_told_in_place_of_another_that_the_table_says_no_to(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Of a film that served, "the receptor stood too low" stood beside "no" to moving it."""
    size = Estimated(value=2.0, low=0.5, high=4.0)
    first = Cause(name=CauseName.TUBE_TOO_FAR_FORWARD, size=size, unit="deg", weight=1.0)
    low = replace(first, name=CauseName.RECEPTOR_TOO_LOW, unit="mm", is_alternative=True)
    monkeypatch.setattr("bitewright.explanation.explain.likely_causes", lambda *_: (first, low))
    film = marks_of("right-molar", 0.0, sd_mm=0.05)
    shapes = mouth_shapes(TEETH, view(film.view).region)
    found = estimate([evidence_of(film)], shapes, population(TEETH))
    said = explain(
        found,
        view(film.view),
        marked=AsMarked(serves=True),
        generator=np.random.default_rng(0),
    ).correction
    row = movement_row(said.of(Part.HEIGHT), rim_radius_mm=60.0)
    assert row.need == "cannot tell"
