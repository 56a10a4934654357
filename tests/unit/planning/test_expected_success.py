"""Expected success: the share of drawn exposures on which nothing fails, found again by hand."""

from itertools import pairwise

import numpy as np
import pytest

from bitewright.exposing.aim import Aim
from bitewright.exposing.exposure import Exposures, expose
from bitewright.exposing.placement import Placement
from bitewright.exposing.project import Shapes
from bitewright.planning.expected_success import served
from bitewright.planning.stated_hands import MIDDLING, stated_hands
from bitewright.quality.criteria import CriterionName, Question
from bitewright.quality.predicted import Asked, asked, predict
from bitewright.quality.rating_schemes import rating_scheme
from bitewright.quality.views import view
from tests.scenes import station_of

SWINGS = np.linspace(-24.0, 24.0, 49)


@pytest.fixture(scope="module")
def swung() -> tuple[Exposures, Asked]:
    """A plate's premolar view by tubes swung ever further."""
    at = station_of("right-premolar", "plate-2")
    return expose(at, Placement(lingual_mm=5.0), Aim(ring_offset_deg=SWINGS)), asked(
        view("right-premolar"), at
    )


@pytest.mark.parametrize("question", [Question.ENAMEL, Question.BONE])
def test_the_chance_is_the_share_of_exposures_that_are_graded_acceptable(
    swung: tuple[Exposures, Asked], question: Question
) -> None:
    exposures, of = swung
    found = served(exposures, of, question=question).success()
    grades = predict(exposures, of, question=question).rating.grade(rating_scheme("uk-2020"))
    assert found.chance == pytest.approx(np.mean([grade == "A" for grade in grades]))
    assert found.error == pytest.approx(np.sqrt(found.chance * (1 - found.chance) / len(SWINGS)))


def test_set_ups_tried_at_once_are_told_apart(swung: tuple[Exposures, Asked]) -> None:
    found = served(*swung)
    near, far = found.success(np.abs(SWINGS) <= 3.0), found.success(np.abs(SWINGS) > 20.0)
    assert near.chance > far.chance
    assert near.shown > far.shown
    assert far.fails_most[0][0] is CriterionName.CONTACTS_OPEN


def test_for_caries_all_is_shown_exactly_where_nothing_fails(
    swung: tuple[Exposures, Asked],
) -> None:
    found = served(*swung)
    fails = found.failed.any(axis=1)
    assert fails.any()
    assert not fails.all()
    assert ((found.shown < 1.0) == fails).all()


def test_believed_mouths_count_for_themselves(swung: tuple[Exposures, Asked]) -> None:
    """Half the believed mouths have their crests out of reach: none of these serves bone level."""
    exposures, of = swung
    own = Shapes.of(of.targets)
    moved = own.points_mouth.copy()
    crests = [name.endswith(".crest") for name in of.targets.names[-moved.shape[1] :]]
    moved[:, crests, 2] += np.where(of.targets.point_is_lower[crests], -40.0, 40.0)
    both = Shapes(np.concatenate([own.flanks_mouth] * 2), np.concatenate([own.points_mouth, moved]))
    whose = np.arange(len(SWINGS)) % 2
    found = served(exposures, of, question=Question.BONE, shapes=both, mouth_of=whose)
    alone = served(exposures, of, question=Question.BONE)
    assert (found.failed[whose == 0] == alone.failed[whose == 0]).all()
    assert found.success(whose == 1).chance == 0.0
    assert found.success(whose == 1).fails_most[0][0] is CriterionName.CREST


def test_stated_hands_are_ordered_from_loose_to_steady_and_have_no_bias() -> None:
    spreads = [np.diag(hand.scatter.covariance) for hand in stated_hands().values()]
    assert len(spreads) == 3
    assert all((loose > steady).all() for loose, steady in pairwise(spreads))
    assert all((hand.scatter.mean() == 0.0).all() for hand in stated_hands().values())
    assert MIDDLING in stated_hands()
