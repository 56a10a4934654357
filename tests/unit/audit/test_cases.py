"""Cases worked out once tell the same as counting them one by one."""

from collections import Counter

import numpy as np
import pytest

from bitewright.audit.cases import MOST_PAIRS, Cases, cases_of, code_counts
from bitewright.audit.counted_by import Dimension
from bitewright.audit.design_effect import likeness_of
from tests.unit.audit.made_logs import made_log


def drawn(cases: int, exposures: int, groups: int, seed: int) -> tuple[np.ndarray, np.ndarray]:
    """Cases and groups in no order, some of either not given."""
    rng = np.random.default_rng(seed)
    case = rng.integers(-1 if seed % 2 else 0, cases, exposures).astype(np.int32)
    return case, rng.integers(-1, groups, exposures).astype(np.int32)


def others_one_by_one(case: np.ndarray, group: np.ndarray, groups: int) -> list[float]:
    """Kish 1965: of each group the mean, over its exposures, of the others in the same case."""
    pairs = list(zip(case.tolist(), group.tolist(), strict=True))
    size = Counter(pairs)
    beside = [[size[c, g] - 1 if c >= 0 else 0 for c, g in pairs if g == k] for k in range(groups)]
    return [sum(each) / len(each) if each else 0.0 for each in beside]


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("cases", [1, 3, 40, 400], ids=lambda count: f"{count} cases")
def test_others_of_case_and_group_are_those_counted_one_by_one(cases: int, seed: int) -> None:
    case, group = drawn(cases, 300, 7, seed)
    found = Cases(code=case).others_within(group, 7)
    assert found == pytest.approx(others_one_by_one(case, group, 7), rel=1e-12)


def test_small_cases_and_large_ones_are_told_alike() -> None:
    """One more exposure in each case, and they are sorted where their pairs were listed."""
    per_case = 2 * MOST_PAIRS + 1
    for size in (per_case, per_case + 1):
        case = np.tile(np.arange(20), size).astype(np.int32)
        group = np.repeat(np.arange(size) % 2, 20).astype(np.int32)
        expected = others_one_by_one(case, group, 2)
        assert Cases(code=case).others_within(group, 2) == pytest.approx(expected, rel=1e-12)


def test_nothing_and_exposures_without_a_case_have_no_others() -> None:
    nothing = np.empty(0, dtype=np.int32)
    assert Cases(code=nothing).others == 0.0
    assert Cases(code=nothing).others_within(nothing, 2).tolist() == [0.0, 0.0]
    alone = Cases(code=np.full(4, -1, dtype=np.int32))
    assert (alone.others, alone.not_given) == (0.0, 4)
    assert alone.others_within(np.array([0, 0, 1, -1], dtype=np.int32), 3).tolist() == [0, 0, 0]


def test_events_are_counted_in_their_case() -> None:
    case = np.array([2, 0, -1, 2, 2], dtype=np.int32)
    events = np.array([True, False, True, True, False])
    assert Cases(code=case).hits(events).tolist() == [0, 0, 2]
    assert Cases(code=case).sizes.tolist() == [1, 0, 3]
    assert Cases(code=case).others == pytest.approx((0 + 0 + 2 + 2 + 2) / 5)


def test_few_exposures_of_a_record_with_many_cases_come_to_the_same() -> None:
    case = np.array([2, 0, -1, 2, 2], dtype=np.int32)
    far = np.where(case < 0, -1, case * 1_000_000 + 7).astype(np.int32)
    events = np.array([True, False, True, True, False])
    assert Cases(code=far).sizes.tolist() == [1, 3]
    assert Cases(code=far).hits(events).tolist() == [0, 2]
    assert likeness_of(events, far) == likeness_of(events, case)
    assert Cases(code=far).others == Cases(code=case).others


def test_codes_are_counted_and_what_is_not_given_is_left_out() -> None:
    assert code_counts(np.array([1, -1, 1, 0], dtype=np.int32), 4).tolist() == [1, 2, 0, 0]


def test_a_log_has_its_cases_once_and_fewer_exposures_have_their_own() -> None:
    log = made_log(rejected=[0, 1, 0, 1], codes={Dimension.CASE: [0, 0, 1, 1]})
    assert log.cases is log.cases
    assert cases_of(log.cases) is log.cases
    assert log.cases.others == 1.0
    fewer = log.where(np.array([True, False, True, True]))
    assert fewer.cases.sizes.tolist() == [1, 2]
    assert made_log(rejected=[0, 1]).cases.not_given == 2
