"""The chance of success at once: certain without errors, lost with many, and of the right kind."""

from dataclasses import replace

import numpy as np
import pytest

from bitewright.exposing.scatter import Scatter
from bitewright.planning.best_aim import Plan, best_aim
from bitewright.planning.first_time import FirstTime, first_time
from bitewright.quality.criteria import CriterionName
from bitewright.quality.views import view
from tests.scenes import station_of

STEADY = Scatter(
    contact_error_deg=0.0,
    vertical_error_deg=0.0,
    forward_mm=0.0,
    height_mm=0.0,
    covariance=np.diag([1.0, 1.0, 0.5, 0.3]) ** 2,
)


@pytest.fixture(scope="module")
def plan() -> Plan:
    return best_aim(view("right-premolar"), station_of("right-premolar", "plate-2"))


def chance(plan: Plan, scatter: Scatter) -> FirstTime:
    return first_time(plan, scatter, np.random.default_rng(0))


def test_more_scatter_and_more_bias_cost_more(plan: Plan) -> None:
    steady = chance(plan, STEADY)
    loose = chance(plan, replace(STEADY, covariance=16 * STEADY.covariance))
    biased = chance(plan, replace(STEADY, contact_error_deg=12.0))
    assert steady.none_failed > loose.none_failed
    assert steady.none_failed > biased.none_failed
    assert steady.as_planned >= biased.as_planned
    assert biased.costs_most is CriterionName.CONTACTS_OPEN


def test_none_failed_is_never_rarer_than_as_planned(plan: Plan) -> None:
    for size in (0.0, 1.0, 9.0):
        found = chance(plan, replace(STEADY, covariance=size * STEADY.covariance))
        assert found.none_failed >= found.as_planned
