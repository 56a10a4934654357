"""Dose is told only where an output was measured at that voltage and in that room."""

from dataclasses import replace

import numpy as np
import pytest

from bitewright.audit.counted_by import Dimension
from bitewright.audit.dose_side import MeasuredOutput, dose_by_view, entrance_mgy, spread_of
from bitewright.audit.exposure_columns import ExposureColumns, exposures_of
from bitewright.audit.logged_exposures import LoggedExposures
from bitewright.log.days import day_number

OUTPUT = MeasuredOutput(
    day=day_number("2026-02-01"),
    room="R1",
    tube_voltage_kv=65.0,
    tube_current_ma=7.0,
    exposure_time_s=0.2,
    entrance_mgy=1.4,
    measured_by="office",
)


@pytest.fixture(scope="module")
def log() -> LoggedExposures:
    """Six exposures: as measured, twice as long, another room, another kV, no time, before."""
    rows: list[dict[str, object]] = [
        {"exposure_time_s": 0.2},
        {"exposure_time_s": 0.4, "kind": "retake"},
        {"exposure_time_s": 0.2, "room": "R2"},
        {"exposure_time_s": 0.2, "tube_voltage_kv": 70.0},
        {},
        {"exposure_time_s": 0.1, "day": "2026-01-01", "view": "left-molar"},
    ]
    columns = ExposureColumns()
    for row in rows:
        columns.add(
            {
                "day": "2026-03-01",
                "room": "R1",
                "view": "right-molar",
                "kind": "exposure",
                "decision": "accepted",
                "tube_voltage_kv": 65.0,
                "tube_current_ma": 7.0,
            }
            | row
        )
    return exposures_of(*columns.finished({}))


def test_dose_grows_with_mas_and_is_carried_over_to_nothing_else(log: LoggedExposures) -> None:
    told = entrance_mgy(log, [OUTPUT])
    expected = [1.4, 2.8, np.nan, np.nan, np.nan, 0.7]
    np.testing.assert_allclose(told, expected, rtol=1e-6)
    assert np.isnan(entrance_mgy(log, [])).all()


def test_the_latest_measurement_before_the_exposure_counts(log: LoggedExposures) -> None:
    later = replace(OUTPUT, day=day_number("2026-02-20"), entrance_mgy=2.0)
    after = replace(OUTPUT, day=day_number("2026-03-02"), entrance_mgy=9.0)
    told = entrance_mgy(log, [after, OUTPUT, later])
    assert told[0] == pytest.approx(2.0)
    assert told[5] == pytest.approx(0.7), "the first one after, where none was before"
    anywhere = entrance_mgy(log, [replace(OUTPUT, room="")])
    assert anywhere[2] == pytest.approx(1.4)


def test_every_view_has_its_settings_and_retakes(log: LoggedExposures) -> None:
    rows, overall = dose_by_view(log, [OUTPUT])
    assert [row.view for row in rows] == ["left-molar", "right-molar"]
    assert [(row.retakes.count, row.retakes.total) for row in rows] == [(0, 1), (1, 5)]
    assert overall.exposures == len(log) == 6
    assert overall.entrance_mgy is not None
    assert overall.entrance_mgy.count == 3
    assert rows[1].exposure_time_s is not None
    assert (rows[1].exposure_time_s.least, rows[1].exposure_time_s.most) == pytest.approx(
        (0.2, 0.4)
    )
    assert log.names(Dimension.ROOM) == ["R1", "R2"]
    assert spread_of(np.array([np.nan])) is None
