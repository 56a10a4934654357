"""What an assessed film on the light box says of an exposure, for the log's form."""

import json
from typing import Any

from bitewright.errors import BitewrightError
from bitewright.log.decisions import DECISION_KINDS
from bitewright.store.light_box import KeptFilm
from bitewright.tasks.assess.decoded_film import DecodedFilm
from bitewright.tasks.light_box.assess_kept import assess_kept
from bitewright.tasks.log.assessed_fields import assessed_fields
from bitewright.tasks.rated_by import RatedBy


def loggable_film(film: DecodedFilm, kept: KeptFilm, *, by: RatedBy) -> dict[str, Any]:
    """Fields as text, the key that lets one film be logged once, and the film's label.

    The aim is left out where the marks do not tell it.

    Raises
    ------
    BitewrightError
        If the marks tell no grade yet.
    """
    try:
        made = assess_kept(film, kept, by=by, explained=True)
    except BitewrightError:
        made = assess_kept(film, kept, by=by, explained=False)
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
        "key": f"film-{kept.sha256[:40]}",
        "fields": {**equipment, **fields, **decision},
    }


__all__ = ["loggable_film"]
