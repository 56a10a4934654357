"""Columns of a log: chosen, shortened and refused."""

import numpy as np
import pytest

from bitewright.audit.counted_by import Dimension
from bitewright.audit.logged_exposures import Filter, UnequalColumnsError, UnknownLabelError
from tests.unit.audit.made_logs import FIRST_DAY, made_log

LOG = made_log(
    rejected=[1, 0, 1, 0, 0],
    codes={Dimension.ROOM: [0, 1, 0, 2, -1], Dimension.VIEW: [0, 0, 1, 1, 1]},
    faults=((0, 0, 0.5), (0, 1, np.nan), (2, 0, 0.7), (4, 2, np.nan)),
)


def test_an_empty_filter_takes_all_and_copies_nothing() -> None:
    assert LOG.taken(Filter(only={})) is LOG


def test_filters_join_and_a_row_without_the_dimension_is_left_out() -> None:
    wanted = Filter(only={Dimension.ROOM: ("a", "c"), Dimension.VIEW: ("b",)})
    assert LOG.chosen(wanted).tolist() == [False, False, True, True, False]


def test_days_are_taken_with_both_ends() -> None:
    wanted = Filter(only={}, first_day=FIRST_DAY + 1, last_day=FIRST_DAY + 2)
    assert LOG.chosen(wanted).tolist() == [False, True, True, False, False]


def test_faults_follow_their_exposures() -> None:
    kept = LOG.where(np.array([False, True, True, False, True]))
    assert kept.fault_row.tolist() == [1, 2]
    assert [kept.fault_labels[k] for k in kept.fault] == ["overlap", "movement"]


def test_a_label_that_is_not_there_is_named() -> None:
    with pytest.raises(UnknownLabelError, match="room 'attic'"):
        LOG.chosen(Filter(only={Dimension.ROOM: ("attic",)}))


def test_a_dimension_the_log_lacks_is_given_nowhere() -> None:
    assert LOG.code(Dimension.OPERATOR).tolist() == [-1] * 5
    assert len(LOG.names(Dimension.OPERATOR)) == 0


def test_columns_of_unequal_length_are_refused() -> None:
    with pytest.raises(UnequalColumnsError, match="rejected"):
        made_log(rejected=[0, 1], day=[1])


def test_codes_beyond_their_labels_are_refused() -> None:
    with pytest.raises(UnequalColumnsError, match="room"):
        made_log(rejected=[0], codes={Dimension.ROOM: [26]})
