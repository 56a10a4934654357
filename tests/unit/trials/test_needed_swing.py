"""Where contacts are open together, and scores of swings told."""

from dataclasses import replace

import numpy as np
import pytest

from bitewright.explanation.correction import Verdict
from bitewright.mouth.mouth import textbook_mouth
from bitewright.planning.best_aim import best_aim
from bitewright.quality.views import view
from tests.sample_corrections import plan_of
from tests.scenes import station_in
from trials.known_films import marked
from trials.needed_swing import (
    OpenTogether,
    SwingJudged,
    SwingScore,
    azimuth_deg,
    swung,
    without_marks,
)

TUBES_DEG = np.arange(-30.0, 60.1, 1.0)


def test_the_worst_of_two_contacts_is_least_between_them() -> None:
    """0.02 mm a degree off 10 and off 20; one stands 0.3 apart, which costs nothing."""
    overlap = 0.02 * np.abs(TUBES_DEG[:, None] - [10.0, 20.0]) + [0.0, -0.3]
    found = OpenTogether.of(TUBES_DEG, overlap)
    assert found.azimuth_deg == pytest.approx(15.0, abs=0.06)
    assert found.least_mm == pytest.approx((0.0, -0.3))
    assert found.worst_mm.min() == pytest.approx(0.1, abs=2e-3)
    assert found.beyond_best_mm(5.0) == pytest.approx(0.2, abs=2e-3)


def test_a_steeper_contact_counts_for_more() -> None:
    overlap = np.abs(TUBES_DEG[:, None] - [10.0, 20.0]) * [0.03, 0.01]
    assert OpenTogether.of(TUBES_DEG, overlap).azimuth_deg == pytest.approx(12.5, abs=0.06)


@pytest.mark.parametrize("view_name", ["right-premolar", "left-molar"])
def test_a_tube_is_swung_to_the_azimuth_asked_for(view_name: str) -> None:
    plan = plan_of(view_name)
    wanted = np.array([-20.0, 0.0, 35.0])
    exposures = swung(plan, wanted)
    side = plan.station.region.front_sign
    ray = exposures.beam.rays_mouth
    assert np.rad2deg(np.arctan2(ray[:, 1], side * ray[:, 0])) == pytest.approx(wanted)
    assert exposures.seat.centres_mouth == pytest.approx(
        np.repeat(plan.exposure.seat.centres_mouth, 3, axis=0)
    )


def test_a_plan_of_outlines_lies_where_their_contacts_are_open() -> None:
    """Of the textbook's: in the standard mouth the plan leaves 43-44 off, open far in front."""
    at = station_in(textbook_mouth(), "right-premolar", "sensor-2")
    plan = best_aim(view("right-premolar"), at)
    found = OpenTogether.of_plan(plan)
    assert found.azimuth_deg == pytest.approx(azimuth_deg(plan, plan.exposure), abs=2.0)
    assert found.least_mm == pytest.approx(np.zeros(6), abs=0.05)


def test_marks_are_left_out_with_their_covariance() -> None:
    plan = plan_of()
    film = marked(plan.view, plan.station, plan.exposure, plan, np.random.default_rng(1))
    fewer = without_marks(film, "cej", "crest")
    assert {name.rsplit(".", 1)[1] for name in fewer.landmarks.names} == {
        "cusp",
        "mesial",
        "distal",
    }
    assert set(fewer.film.marks) == set(fewer.landmarks.names)
    name = fewer.landmarks.names[-1]
    assert fewer.landmarks.points(name) == pytest.approx(film.landmarks.points(name), nan_ok=True)
    places = [2 * each.landmarks.column[name] for each in (film, fewer)]
    full, part = (each.landmarks.covariance_mm2 for each in (film, fewer))
    assert full is not None
    assert part is not None
    assert part[places[1], places[1]] == full[places[0], places[0]]


def judged(needed: float, told: float, verdict: Verdict = Verdict.MOVE) -> SwingJudged:
    return SwingJudged(
        needed_deg=needed,
        worst_needed_deg=needed,
        told_deg=told,
        covered=abs(told - needed) < 2.0,
        worst_covered=abs(told - needed) < 2.0,
        verdict=verdict,
        is_unlike=verdict is Verdict.CANNOT_TELL,
        before_mm=0.5,
        after_mm=0.1,
    )


def test_a_score_counts_what_it_says() -> None:
    """Direction only where more than 5 degrees are needed: one of two right."""
    films = [judged(10.0, 11.0), judged(-10.0, 4.0), judged(4.0, -1.0, Verdict.CANNOT_TELL)]
    score = SwingScore.of(films)
    assert score.n == 3
    assert score.median_deg == pytest.approx(5.0)
    assert score.mean_deg == pytest.approx((1.0 + 14.0 - 5.0) / 3.0)
    assert score.right_share == pytest.approx(0.5)
    assert score.covered_share == pytest.approx(1.0 / 3.0)
    assert score.cannot_tell_share == pytest.approx(1.0 / 3.0)
    assert score.unlike_share == pytest.approx(1.0 / 3.0)
    assert np.isnan(SwingScore.of([replace(films[2])]).right_share)
