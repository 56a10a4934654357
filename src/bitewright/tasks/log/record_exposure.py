"""Record an exposure, correct one, decide on one, link a film to one: each an entry appended."""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from uuid import uuid4

from bitewright.errors import BitewrightError
from bitewright.files.disk import read_file
from bitewright.log.decisions import RETAKEN
from bitewright.log.entry import Act, Entry, checked_key, standing
from bitewright.log.entry_row import LONGEST_WHY
from bitewright.log.exposure_state import (
    State,
    after_change,
    changed_fields,
    completed,
    state_from_text,
)
from bitewright.log.fields import from_text
from bitewright.store.appending import SPOKEN_OF, append
from bitewright.store.entries import exposure_key, history
from bitewright.store.kept_files import content_digest, keep_file, kept_for_entries
from bitewright.store.opening import Store, opened_store
from bitewright.tasks.log.store_place import now_utc, store_place, today_number

ADDED_FORMAT = "bitewright.log-added/1"


class WhyMissingError(BitewrightError):
    """A correction or decision gives no reason, or one that is not a line of text."""

    def __init__(self) -> None:
        super().__init__(
            f"The reason is missing or no line of up to {LONGEST_WHY} characters: say with --why "
            "what was wrong, so that the history can be understood."
        )


class NothingToChangeError(BitewrightError):
    """A correction names no field, or only what stands there already."""

    def __init__(self, exposure: str) -> None:
        super().__init__(
            f"Nothing would change in exposure {exposure}: give --set FIELD=VALUE with what is "
            "right, or --set FIELD= to take a field away."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class AddRequest:
    """An exposure to record.

    Parameters
    ----------
    fields : mapping of str to str
        As text; they go before what an assessment says.
    key : str or None
        None makes one. A retry with the same key adds nothing.
    by : str or None
        Who writes it; the operator where None.
    film, assessment : Path or None
        Kept beside the store.
    looked_at : bool
        Whether a person has looked at what in the film may say whose it is, and keeps it.
    store : str or None
    """

    fields: Mapping[str, str]
    key: str | None = None
    by: str | None = None
    film: Path | None = None
    assessment: Path | None = None
    looked_at: bool = False
    store: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangeRequest:
    """A later entry about an exposure, named by number or key."""

    exposure: str
    by: str
    why: str | None = None
    fields: Mapping[str, str] = field(default_factory=dict)
    film: Path | None = None
    assessment: Path | None = None
    looked_at: bool = False
    key: str | None = None
    store: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Recorded:
    """What was written."""

    number: int
    key: str
    added: bool
    act: Act
    state: State
    store: str

    def document(self) -> dict[str, Any]:
        """As data for machines."""
        return {
            "format": ADDED_FORMAT,
            "number": self.number,
            "key": self.key,
            "added": self.added,
            "act": self.act.value,
            "exposure": self.state,
            "store": self.store,
        }


def record_exposure(request: AddRequest) -> Recorded:
    """Append an exposure; nothing is written unless all of it is allowed."""
    location = store_place(request.store)
    fields = {name: text for name, text in request.fields.items() if text}
    contents = _contents(request)
    if request.assessment is not None:
        found = _assessed(contents["assessment"], request.assessment)
        fields = {**found, **fields}
    key = checked_key(request.key) if request.key else f"entry-{uuid4().hex}"
    by = _code(request.by)
    spoken_of = {name: fields.pop(name) for name in SPOKEN_OF if name in fields}
    state = state_from_text(fields, today=today_number())
    with opened_store(location, make=True) as store:
        if spoken_of:
            state = completed({**state, **_keys_of(store, spoken_of)}, today=today_number())
        with _kept(store, contents) as kept:
            state |= kept
            entry = Entry(
                key=key,
                act=Act.EXPOSURE,
                about=None,
                written_at=now_utc(),
                written_by=by or state["operator"],
                why=None,
                body=state,
            )
            return _written(store, entry, state)


def correct_exposure(request: ChangeRequest) -> Recorded:
    """Append what is right in place of what was wrong; the earlier entry stays."""
    if not request.fields:
        raise NothingToChangeError(request.exposure)
    _check_why(request.why)
    return _change(request, Act.CORRECTION, changed_fields(request.fields))


def decide_exposure(
    request: ChangeRequest, decision: str, *, by: str, retaken_as: str | None = None
) -> Recorded:
    """Append what was decided on an image, who decided, and which exposure was made in its place.

    ``retaken_as`` names that exposure by number or key. Another decision takes it away again.
    The request's fields are written with the decision.
    """
    if request.why is not None:
        _check_why(request.why)
    changes = changed_fields({**request.fields, "decision": decision, "decided_by": by})
    if retaken_as is not None or decision != RETAKEN:
        changes["retaken_as"] = retaken_as
    return _change(request, Act.DECISION, changes)


def link_exposure(request: ChangeRequest) -> Recorded:
    """Append which film or assessment belongs to an exposure; both are kept beside the store."""
    contents = _contents(request)
    changes: dict[str, Any] = {}
    if request.assessment is not None:
        found = _assessed(contents["assessment"], request.assessment)
        changes = changed_fields({name: text for name, text in found.items() if name != "view"})
    if not contents:
        raise NothingToChangeError(request.exposure)
    return _change(request, Act.LINK, changes, contents)


def _change(
    request: ChangeRequest,
    act: Act,
    changes: Mapping[str, Any],
    contents: Mapping[str, bytes] | None = None,
) -> Recorded:
    by = _code(request.by)
    key = checked_key(request.key) if request.key else f"entry-{uuid4().hex}"
    with (
        opened_store(store_place(request.store)) as store,
        _kept(store, contents or {}) as kept,
    ):
        changes = {**changes, **kept}
        about = _key_of(store, request.exposure)
        if "retaken_as" in changes and changes["retaken_as"] is None and act is Act.DECISION:
            with store.reading() as connection:
                before = standing(each.entry for each in history(connection, about))
            if "retaken_as" not in before:
                changes = {name: value for name, value in changes.items() if value is not None}
        changes = {**changes, **_keys_of(store, changes)}
        entry = Entry(
            key=key,
            act=act,
            about=about,
            written_at=now_utc(),
            written_by=by,
            why=request.why,
            body=changes,
        )
        return _written(store, entry, None, given=request.exposure)


def _written(store: Store, entry: Entry, state: State | None, *, given: str = "") -> Recorded:
    """Append one entry; a change is checked against the exposure as it stands at that moment."""
    with store.writing() as connection:
        if state is None and entry.about is not None:
            before = [each.entry for each in history(connection, entry.about)]
            if entry.key not in {each.key for each in before}:
                standing_now = standing(before)
                merged = after_change(standing_now, entry.body)
                if merged == standing_now:
                    raise NothingToChangeError(given)
                state = completed(merged, today=today_number())
            else:
                state = standing(before)
        result = append(connection, [entry])
        if result.refused:
            raise result.refused[0].error
    return Recorded(
        number=result.last_number,
        key=entry.key,
        added=result.added == 1,
        act=entry.act,
        state=state or {},
        store=str(store.location),
    )


@contextmanager
def _kept(store: Store, contents: Mapping[str, bytes]) -> Iterator[dict[str, str]]:
    """Digests of a film and an assessment, kept if what is appended inside the ``with`` is."""
    digests = {name: content_digest(content) for name, content in contents.items()}
    with kept_for_entries(store.location, tuple(digests.values()), store.names):
        yield {name: keep_file(store.location, content) for name, content in contents.items()}


def _contents(request: AddRequest | ChangeRequest) -> dict[str, bytes]:
    named = {"film": request.film, "assessment": request.assessment}
    contents = {name: read_file(path) for name, path in named.items() if path is not None}
    if request.film is not None and not request.looked_at:
        from bitewright.tasks.assess.identity_signs import (  # noqa: PLC0415  slow, seldom needed
            check_looked_at,
        )

        check_looked_at(contents["film"], request.film.name)
    return contents


def _assessed(content: bytes, path: Path) -> dict[str, str]:
    from bitewright.tasks.log.assessed_fields import (  # noqa: PLC0415  slow, and seldom needed
        assessed_fields,
    )

    return assessed_fields(content, str(path))


def _key_of(store: Store, given: str) -> str:
    with store.reading() as connection:
        return exposure_key(connection, given)


def _keys_of(store: Store, fields: Mapping[str, Any]) -> dict[str, str]:
    """The keys of other exposures that fields speak of by number or key."""
    return {name: _key_of(store, str(fields[name])) for name in SPOKEN_OF if fields.get(name)}


def _code(by: str | None) -> str | None:
    if by is not None:
        from_text("operator", by)
    return by


def _check_why(why: str | None) -> None:
    if not why or len(why) > LONGEST_WHY or not why.isprintable():
        raise WhyMissingError


__all__ = [
    "AddRequest",
    "ChangeRequest",
    "Recorded",
    "correct_exposure",
    "decide_exposure",
    "link_exposure",
    "record_exposure",
]
