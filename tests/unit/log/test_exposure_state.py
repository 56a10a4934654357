"""An exposure as a whole: what must be there, what excludes what, what a later entry changes."""

import pytest

from bitewright.log.days import day_number
from bitewright.log.exposure_state import (
    FieldsDisagreeError,
    MissingFieldError,
    UnknownFieldError,
    after_change,
    changed_fields,
    checked_plain,
    retake_success,
    state_from_text,
)
from bitewright.log.fields import FIELDS, FieldValueError
from tests.stores import PLAIN, TODAY


@pytest.mark.parametrize("name", ["day", "operator", "view"])
def test_what_must_be_there(name: str) -> None:
    with pytest.raises(MissingFieldError) as refused:
        state_from_text({**PLAIN, name: ""}, today=TODAY)
    assert refused.value.field == name


def test_an_exposure_cannot_be_of_tomorrow() -> None:
    with pytest.raises(FieldValueError, match="a day that has come"):
        state_from_text(PLAIN, today=day_number(PLAIN["day"]) - 1)
    assert state_from_text(PLAIN, today=day_number(PLAIN["day"]))


@pytest.mark.parametrize("kind", ["exposure", "extra-view", "planned-stage"])
@pytest.mark.parametrize(("name", "text"), [("retake_of", "a-1"), ("changed", "x")])
def test_extra_and_planned_images_are_no_retakes(kind: str, name: str, text: str) -> None:
    with pytest.raises(FieldsDisagreeError, match=f"belongs to a retake, and this is {kind}"):
        state_from_text({**PLAIN, "kind": kind, name: text}, today=TODAY)


def test_a_decision_has_somebody_who_took_it() -> None:
    given = {**PLAIN, "decision": "accepted"}
    assert state_from_text(given, today=TODAY)["decided_by"] == "T1"
    assert state_from_text({**given, "decided_by": "T2"}, today=TODAY)["decided_by"] == "T2"
    with pytest.raises(MissingFieldError, match="decided_by"):
        state_from_text({**given, "supervisor": ""}, today=TODAY)
    with pytest.raises(MissingFieldError, match="decision"):
        state_from_text({**PLAIN, "decided_by": "T1"}, today=TODAY)


def test_an_unknown_field_is_named_with_those_there_are() -> None:
    with pytest.raises(UnknownFieldError, match="colour"):
        state_from_text({**PLAIN, "colour": "red"}, today=TODAY)


def test_a_later_entry_replaces_and_takes_away() -> None:
    state = state_from_text({**PLAIN, "room": "R1", "case": "C1"}, today=TODAY)
    after = after_change(state, changed_fields({"room": "R2", "case": ""}))
    assert after == {**{n: v for n, v in state.items() if n != "case"}, "room": "R2"}
    assert list(after) == [name for name in FIELDS if name in after]


@pytest.mark.parametrize(
    ("fields", "success"),
    [
        ({}, -1),
        ({"decision": "accepted"}, -1),
        ({"kind": "retake"}, -1),
        ({"kind": "retake", "decision": "accepted"}, 1),
        ({"kind": "retake", "decision": "rejected"}, 0),
        ({"kind": "retake", "decision": "accepted", "succeeded": "no"}, 0),
        ({"kind": "retake", "succeeded": "yes"}, 1),
    ],
)
def test_whether_a_retake_succeeded(fields: dict[str, str], success: int) -> None:
    assert retake_success(state_from_text({**PLAIN, **fields}, today=TODAY)) == success


@pytest.mark.parametrize(
    "body",
    [
        {"succeeded": 1},
        {"teeth": "16"},
        {"teeth": [99]},
        {"faults": [{"size": 1.0}]},
        {"faults": [{"fault": "overlap", "size": "wide"}]},
        {"faults": "overlap"},
        {"day": 20000},
        {"tube_voltage_kv": True},
        {"room": ["R1"]},
    ],
)
def test_plain_data_that_no_text_gives_is_refused(body: dict[str, object]) -> None:
    with pytest.raises(FieldValueError):
        checked_plain(body)


def test_whole_numbers_are_taken_as_numbers() -> None:
    checked = checked_plain({"tube_voltage_kv": 65, "room": None})
    assert checked == {"tube_voltage_kv": 65.0, "room": None}
    assert isinstance(checked["tube_voltage_kv"], float)
