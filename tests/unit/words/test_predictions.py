"""A setting is told with directions, and what is not shown is named."""

import pytest

from bitewright.cli.options import RatingOptions, StationOptions
from bitewright.quality.criteria import CriterionName, criteria
from bitewright.quality.findings import Finding
from bitewright.quality.rating import Outcome
from bitewright.quality.views import view
from bitewright.tasks.plan.predict_exposure import predict_exposure
from bitewright.tasks.plan.wanted_setting import WantedSetting
from bitewright.words.predictions import beam_off, closure_words, shown_words
from bitewright.words.reasons import reason


@pytest.mark.parametrize(
    ("error_deg", "said"),
    [(3.24, "3.2 degrees to the front"), (-8.0, "8.0 degrees to the back"), (-0.04, "0.0 degrees")],
)
def test_a_beam_off_has_a_direction_and_no_sign(error_deg: float, said: str) -> None:
    assert beam_off(error_deg) == said


def test_what_the_view_wants_and_does_not_show_is_named() -> None:
    assert shown_words((), shown=81, of=88).startswith("Everything the view wants is shown. Of 88 ")
    said = shown_words(("13 distal (outside)",), shown=1, of=88)
    assert said.startswith("The view wants and does not show: 13 distal (outside). ")
    assert "1 is shown" in said


@pytest.mark.parametrize(
    ("closure_mm", "said"),
    [(-0.3, "closed on it"), (0.04, "closed on it"), (2.7, "2.7 mm off it")],
)
def test_the_teeth_stand_on_the_block_as_the_criterion_says(closure_mm: float, said: str) -> None:
    found = Finding(
        criterion=criteria()[CriterionName.CLOSURE],
        outcome=Outcome.SHORT if closure_mm > 2.0 else Outcome.MET,
        value=closure_mm,
        sd=None,
        place=None,
    )
    assert closure_words(closure_mm) == said
    assert said.replace("off it", "off the bite block").replace("on it", "on the bite") in reason(
        found
    )


def test_a_prediction_has_one_figure_for_the_teeth_on_the_block() -> None:
    """A receptor held 4 mm high keeps the teeth apart: both say by how much, and alike."""
    of_view = view("right-premolar")
    at = StationOptions(receptor="sensor-2").station(of_view, None)
    raised = WantedSetting(height_mm=4.0)
    answer = predict_exposure(of_view, at, raised, by=RatingOptions().rated_by())
    (closure,) = (each for each in answer.findings if each.criterion.name is CriterionName.CLOSURE)
    assert closure.value == pytest.approx(answer.closure_mm)
    assert answer.closure_mm > 2.0
