"""What a log says of one exposure as a whole: fields that need one another, and its meaning."""

from collections.abc import Mapping, Sequence
from typing import Any

from bitewright.errors import BitewrightError, quoted
from bitewright.log.days import day_number
from bitewright.log.decisions import DECISION_KINDS, DECISIONS, RETAKEN
from bitewright.log.field_forms import Plain
from bitewright.log.fields import FIELDS, FieldValueError, as_text, from_text

State = dict[str, Any]
"""Fields of one exposure by name as plain data; what is not known is left out."""

REQUIRED = ("day", "operator", "view")
AUDITED = ("day", "decision")
"""Without these an exposure cannot be counted."""
ONLY_RETAKES = ("retake_of", "changed", "succeeded")


class UnknownFieldError(BitewrightError):
    """An entry has a field that there is not."""

    def __init__(self, given: str) -> None:
        self.given = given
        super().__init__(f"There is no field {quoted(given)}: use one of {', '.join(FIELDS)}.")


class MissingFieldError(BitewrightError):
    """A field is missing that the rest of the entry needs."""

    def __init__(self, field: str, why: str) -> None:
        self.field = field
        self.problem = f"it is empty: {why}"
        super().__init__(f"The field {field} is missing: {why}.")


class FieldsDisagreeError(BitewrightError):
    """Two fields of an entry cannot both be true."""

    def __init__(self, field: str, problem: str) -> None:
        self.field = field
        self.problem = f"it {problem}"
        super().__init__(f"The field {field} {problem}.")


def state_from_text(given: Mapping[str, str], *, today: int) -> State:
    """A checked exposure from its fields as text; an empty text is a field left out.

    Parameters
    ----------
    given : mapping of str to str
    today : int
        Exposures of a later day are refused. [days since 1970-01-01]

    Raises
    ------
    UnknownFieldError, FieldValueError, MissingFieldError, FieldsDisagreeError
    """
    return completed(_plain(given), today=today)


def audited_from_text(given: Mapping[str, str]) -> State:
    """What an audit needs to know of an exposure: its day and what was decided, all else if given.

    ``given`` and errors as `state_from_text`.
    """
    state = _plain(given)
    _require(state, AUDITED)
    return state


def _plain(given: Mapping[str, str]) -> State:
    state: State = {}
    for name, text in given.items():
        if name not in FIELDS:
            raise UnknownFieldError(name)
        if text:
            state[name] = from_text(name, text)
    return state


def _require(state: State, names: Sequence[str]) -> None:
    for name in names:
        if name not in state:
            raise MissingFieldError(name, f"give {FIELDS[name].form.allowed}")


def completed(state: State, *, today: int) -> State:
    """The state with what follows from it filled in, after checking that its fields agree.

    An exposure is an ordinary one where not said otherwise. Our choice: a supervisor who is named
    has decided where nobody else is said to have.
    """
    _require(state, REQUIRED)
    if day_number(state["day"]) > today:
        raise FieldValueError("day", state["day"], "a day that has come")
    state.setdefault("kind", "exposure")
    if state["kind"] != "retake":
        for name in ONLY_RETAKES:
            if name in state:
                raise FieldsDisagreeError(
                    name, f"belongs to a retake, and this is {state['kind']}: leave one out"
                )
    if "decision" in state and "decided_by" not in state:
        if "supervisor" not in state:
            raise MissingFieldError("decided_by", "a decision has somebody who took it; say who")
        state["decided_by"] = state["supervisor"]
    if "decided_by" in state and "decision" not in state:
        raise MissingFieldError("decision", f"somebody decided; say one of {', '.join(DECISIONS)}")
    if "retaken_as" in state and state.get("decision") != RETAKEN:
        raise FieldsDisagreeError(
            "retaken_as", f"belongs to the decision {RETAKEN}: give that, or leave it out"
        )
    return {name: state[name] for name in FIELDS if name in state}


def changed_fields(given: Mapping[str, str]) -> dict[str, Any]:
    """Fields of a correction from text; an empty text takes the field away (None)."""
    changes: dict[str, Any] = {}
    for name, text in given.items():
        if name not in FIELDS:
            raise UnknownFieldError(name)
        changes[name] = from_text(name, text) if text else None
    return changes


def after_change(state: Mapping[str, Any], changes: Mapping[str, Any]) -> State:
    """The state after a later entry: its fields take the place of the earlier, None takes away."""
    merged = {**state, **changes}
    return {name: merged[name] for name in FIELDS if merged.get(name) is not None}


def checked_plain(body: Mapping[str, Any]) -> dict[str, Any]:
    """Plain fields, such as those of a foreign file, refused where text could not give them.

    Raises
    ------
    UnknownFieldError, FieldValueError
    """
    checked: dict[str, Any] = {}
    for name, value in body.items():
        if name not in FIELDS:
            raise UnknownFieldError(name)
        checked[name] = None if value is None else _checked_value(name, value)
    return checked


def _checked_value(name: str, value: Plain) -> Plain:
    try:
        text = as_text(name, value)
    except (AttributeError, TypeError, KeyError, ValueError) as error:
        raise FieldValueError(name, str(value), FIELDS[name].form.allowed) from error
    read = from_text(name, text)
    if isinstance(read, bool) != isinstance(value, bool) or read != value:
        raise FieldValueError(name, text, FIELDS[name].form.allowed)
    return read


def is_retake(state: Mapping[str, Any]) -> bool:
    """Whether it is a further exposure for the same purpose because of a fault."""
    return bool(state.get("kind") == "retake")


def retake_success(state: Mapping[str, Any]) -> int:
    """1 yes, 0 no, -1 not known or no retake.

    Our choice: where nobody said, a retake succeeded that was accepted, and failed that was not.
    """
    if not is_retake(state):
        return -1
    if "succeeded" in state:
        return int(state["succeeded"])
    decided = DECISION_KINDS.get(state.get("decision", ""))
    return -1 if decided is None else int(decided.kept)


__all__ = [
    "AUDITED",
    "FieldsDisagreeError",
    "MissingFieldError",
    "State",
    "UnknownFieldError",
    "after_change",
    "audited_from_text",
    "changed_fields",
    "checked_plain",
    "completed",
    "is_retake",
    "retake_success",
    "state_from_text",
]
