"""What an assessment means for the log."""

from typing import Any

import pytest

from bitewright.tasks.log.assessed_fields import aim_fields, failed_as_faults


def finding(criterion: str, value: float | None, target: float, outcome: str = "failed") -> Any:
    return {"criterion": criterion, "value": value, "target": target, "outcome": outcome}


@pytest.mark.parametrize(
    ("criteria", "faults"),
    [
        ([finding("contacts-open", 0.62, 0.1)], [{"fault": "overlap", "size": 0.62}]),
        ([finding("level", -16.2, 5.0)], [{"fault": "tilted", "size": 16.2}]),
        ([finding("crest", -0.5, 1.0)], [{"fault": "crest-missing", "size": 1.5}]),
        ([finding("crest", None, 1.0)], [{"fault": "crest-missing"}]),
        ([finding("crest", 0.5, 1.0, "short"), finding("level", 1.0, 5.0, "met")], []),
        ([finding("beam", -9.3, 0.0, "short")], [{"fault": "cone-cut", "size": 9.3}]),
        ([finding("beam", None, 0.0, "short")], [{"fault": "cone-cut"}]),
        ([finding("beam", 2.3, 0.0, "met")], []),
        (
            [finding("contacts-shown", -1.0, 0.5), finding("canine-distal", -3.0, 1.0)],
            [{"fault": "receptor-placement", "size": 4.0}],
        ),
    ],
)
def test_a_failed_criterion_is_a_fault_with_its_size(criteria: list[Any], faults: object) -> None:
    assert failed_as_faults(criteria) == faults


def movement(part: str, value: float) -> dict[str, Any]:
    return {"part": part, "value": value, "low": value - 3.29, "high": value + 3.29}


def test_the_aim_was_off_by_the_needed_movement_turned_round() -> None:
    said = {
        "verdict": "move",
        "movements": [movement("swing", -7.0), movement("height", 1.5), movement("turn", 4.0)],
    }
    assert aim_fields(said) == {
        "contact_error_deg": "7.00",
        "contact_error_sd_deg": "2.00",
        "height_mm": "-1.50",
        "height_sd_mm": "2.00",
    }


@pytest.mark.parametrize("said", [None, {"verdict": "cannot-tell", "movements": []}])
def test_marks_that_cannot_tell_say_nothing_of_the_aim(said: dict[str, Any] | None) -> None:
    assert aim_fields(said) == {}
