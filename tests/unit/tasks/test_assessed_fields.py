"""What an assessment means for the log."""

from typing import Any

import pytest

from bitewright.tasks.assessed_fields import failed_as_faults


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
        (
            [finding("contacts-shown", -1.0, 0.5), finding("canine-distal", -3.0, 1.0)],
            [{"fault": "receptor-placement", "size": 4.0}],
        ),
    ],
)
def test_a_failed_criterion_is_a_fault_with_its_size(criteria: list[Any], faults: object) -> None:
    assert failed_as_faults(criteria) == faults
