"""What an assessed film on the light box says of an exposure, for the log's form."""

import json
from collections.abc import Iterable, Mapping
from typing import Any

from bitewright.errors import BitewrightError, quoted
from bitewright.log.decisions import DECISION_KINDS
from bitewright.quality.views import view, view_names
from bitewright.store.light_box import KeptFilm
from bitewright.tasks.assess.decoded_film import DecodedFilm
from bitewright.tasks.light_box.assess_kept import assess_kept
from bitewright.tasks.log.assessed_fields import assessed_fields
from bitewright.tasks.rated_by import RatedBy

KEY_START = "film-"
SHA_LETTERS = 40


class OtherViewThanFilmError(BitewrightError):
    """An entry of a film of the light box names another view than the film has there."""

    def __init__(self, *, of_film: str, given: str) -> None:
        self.field = "view"
        titles = {name: view(name).title for name in view_names()}
        super().__init__(
            f"On the light box the film's view is {titles.get(of_film, of_film)}, here it is "
            f"{titles.get(given, given)}: choose the film's view here, or change it there and log "
            "the film anew."
        )


class MarksToCheckError(BitewrightError):
    """A film whose marks are to be checked first tells nothing to log."""

    def __init__(self, label: str, why: str) -> None:
        super().__init__(
            f"Of the film {quoted(label)} nothing is filled in, for its marks are to be checked "
            f"first, on the light box. {why}"
        )


def check_view_of_film(fields: Mapping[str, str], key: str, films: Iterable[KeptFilm]) -> None:
    """Refuse an entry that says another view of a film than the light box does.

    Entries of no film, and of films that are gone or have no view there, are let through.

    Raises
    ------
    OtherViewThanFilmError
    """
    sha, given = key.removeprefix(KEY_START), fields.get("view", "")
    if not (key.startswith(KEY_START) and len(sha) == SHA_LETTERS and given):
        return
    views = [
        str(film.marks["view"])
        for film in films
        if film.sha256.startswith(sha) and film.marks.get("view")
    ]
    if views and given not in views:
        raise OtherViewThanFilmError(of_film=views[0], given=given)


def loggable_film(film: DecodedFilm, kept: KeptFilm, *, by: RatedBy) -> dict[str, Any]:
    """Fields as text, the key that lets one film be logged once, and the film's label.

    The aim is left out where the marks do not tell it.

    Raises
    ------
    MarksToCheckError
    BitewrightError
        If the marks tell no grade yet.
    """
    try:
        made = assess_kept(film, kept, by=by, explained=True)
    except BitewrightError:
        made = assess_kept(film, kept, by=by, explained=False)
    if made.answer.marks_first:
        raise MarksToCheckError(kept.label, made.answer.why)
    fields = assessed_fields(json.dumps(made.document()).encode(), kept.label)
    equipment = {
        name: str(kept.marks[name]) for name in ("receptor", "holder") if kept.marks.get(name)
    }
    titles = {kind.title: name for name, kind in DECISION_KINDS.items()}
    decided = titles.get(str(kept.decision.get("decision", "")))
    decision = {} if decided is None else {"decision": decided}
    who = str(kept.decision.get("by", ""))
    if decided is not None and who:
        decision["decided_by"] = who
    if who and "marks_proposed" in fields:  # at one light box, who decides has looked
        decision["marks_confirmed_by"] = fields.get("marks_confirmed_by", who)
    remark = str(kept.decision.get("note", "")).strip()
    if decided is not None and remark:
        decision["note"] = remark
    return {
        "label": kept.label,
        "key": f"{KEY_START}{kept.sha256[:SHA_LETTERS]}",
        "fields": {**equipment, **fields, **decision},
    }


__all__ = ["MarksToCheckError", "OtherViewThanFilmError", "check_view_of_film", "loggable_film"]
