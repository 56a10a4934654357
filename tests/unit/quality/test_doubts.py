"""A verdict from marks says how near it lies to turning."""

from dataclasses import replace
from math import erf, sqrt

import numpy as np
import pytest

from bitewright.quality.criteria import CriterionName, Question, criteria
from bitewright.quality.doubts import doubt
from bitewright.quality.findings import Finding, findings
from bitewright.quality.measure import Measurements
from bitewright.quality.rating import Outcome, rate
from bitewright.words.reasons import reason
from tests.unit.quality.test_rating import good, one_overlap

OPEN = CriterionName.CONTACTS_OPEN


def marked(overlap_mm: float, sd_mm: float) -> Measurements:
    plain = one_overlap(overlap_mm)
    return replace(plain, sd={"overlap_mm": np.full_like(plain.overlap_mm, sd_mm)})


def found(measured: Measurements, name: CriterionName, **asked: Question) -> Finding:
    rating = rate(measured, **asked)
    (one,) = (f for f in findings(measured, rating, **asked) if f.criterion.name is name)
    return one


def beyond(sds: float) -> float:
    return 0.5 * (1.0 - erf(sds / sqrt(2.0)))


def test_an_overlap_a_little_beyond_its_limit_says_so() -> None:
    measured = marked(0.67, 0.14)
    finding = found(measured, OPEN)
    assert finding.outcome is Outcome.FAILED
    assert finding.doubt is not None
    assert finding.doubt.limit == pytest.approx(0.625)
    assert finding.doubt.other is Outcome.SHORT
    assert finding.doubt.chance == pytest.approx(beyond(0.045 / 0.14), abs=1e-3)
    assert reason(finding).startswith("The widest overlap is 0.67 ± 0.14 mm, at ")
    assert reason(finding).endswith(
        "Uncertain: the limit is 0.62 mm, and the marks leave a chance of 37% that this falls "
        "short without failing."
    )


def test_what_lies_far_from_every_limit_is_not_called_uncertain() -> None:
    for overlap in (0.36, 1.2):
        finding = found(marked(overlap, 0.14), OPEN)
        assert finding.doubt is None
        assert "ncertain" not in reason(finding)


def test_an_overlap_near_its_target_is_doubted_at_the_target() -> None:
    """Whether an overlap is slight or open is the same grade in this scheme."""
    finding = found(marked(0.14, 0.14), OPEN)
    assert finding.doubt is not None
    assert finding.doubt.is_target
    assert "the target is 0.10 mm" in reason(finding)
    assert "that this meets its target." in reason(finding)


def test_a_prediction_has_no_marks_to_doubt() -> None:
    assert found(one_overlap(0.67), OPEN).doubt is None


def test_no_overlap_fails_when_bone_is_the_question() -> None:
    finding = found(marked(0.67, 0.14), OPEN, question=Question.BONE)
    assert finding.outcome is Outcome.SHORT
    assert finding.doubt is None


@pytest.mark.parametrize(
    ("name", "value", "other", "is_target"),
    [
        (CriterionName.CREST, 0.1, Outcome.FAILED, False),
        (CriterionName.CREST, 0.9, Outcome.MET, True),
        (CriterionName.CREST, -0.1, Outcome.SHORT, False),
        (CriterionName.CREST, 1.1, Outcome.SHORT, True),
    ],
)
def test_limits_that_must_be_reached_are_doubted_from_both_sides(
    name: CriterionName, value: float, other: Outcome, *, is_target: bool
) -> None:
    crest = np.full((1, 12), 3.0)
    crest[0, 4] = value
    sd = {"crest_clearance_mm": np.full((1, 12), 0.2)}
    finding = found(good(crest_clearance_mm=crest, sd=sd), name, question=Question.BOTH)
    assert finding.doubt is not None
    assert (finding.doubt.other, finding.doubt.is_target) == (other, is_target)
    assert finding.doubt.chance == pytest.approx(beyond(0.5), abs=1e-3)


def test_a_slope_is_doubted_alike_to_both_sides() -> None:
    level = criteria()[CriterionName.LEVEL]
    up, down = (
        doubt(level, Outcome.MET, way * (level.met - 0.1), 0.2, fails=level.fails)
        for way in (1.0, -1.0)
    )
    assert up is not None
    assert up == down
