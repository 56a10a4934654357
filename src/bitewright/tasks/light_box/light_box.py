"""The light box: films entered without identities, told to a page, decided on by a person."""

from collections.abc import Mapping
from datetime import datetime
from pathlib import Path
from typing import Any

from bitewright import __version__
from bitewright.equipment.catalogue import Catalogue
from bitewright.equipment.entries import readable_name
from bitewright.errors import BitewrightError, quoted
from bitewright.files.images import film_picture, read_image
from bitewright.kept_text import check_text
from bitewright.log.decisions import DECISION_KINDS
from bitewright.marking.mark_order import mark_order
from bitewright.marking.raw_image import RawImage
from bitewright.quality.questions import plain_question
from bitewright.quality.views import view, view_names
from bitewright.store.light_box import KeptFilm, LightBoxStore, light_box_file, open_light_box
from bitewright.tasks.assess.decoded_film import DecodedFilm
from bitewright.tasks.assess.identity_signs import MayNameSomebodyError, identity_signs
from bitewright.tasks.light_box.kept_marks import closed_on_kept, own_name, usable_marks
from bitewright.tasks.rated_by import RatedBy, question_choices, scheme_choices
from bitewright.words.kept_films import (
    CHARACTERS_REPLACED,
    NOT_AS_WRITTEN,
    marks_not_read,
    record_damaged,
)
from bitewright.words.landmarks import landmark_title, landmark_words
from bitewright.words.not_rated import NOT_RATED_WORDS

LIGHT_BOX_FORMAT = "bitewright.light-box/1"
MOST_TEXT = 200
DECISIONS = (*(kind.title for kind in DECISION_KINDS.values()), "undecided")
"""What can be decided on a film: as in the log, or nothing yet. Films decided on before may hold
"retake proposed"."""


class UnknownDecisionError(BitewrightError):
    """A decision is none of those there are."""

    def __init__(self, given: object) -> None:
        super().__init__(f"The decision {quoted(given)} is not one of {', '.join(DECISIONS)}.")


class TooLongTextError(BitewrightError):
    """A text is longer than is kept."""

    def __init__(self, what: str, length: int) -> None:
        super().__init__(f"The {what} has {length} characters, at most {MOST_TEXT} are kept.")


class PictureGoneError(BitewrightError):
    """The pixels of a film on the light box cannot be read any more."""

    status_code = 410

    def __init__(self, number: int, file: str) -> None:
        self.number = number
        super().__init__(
            f"The picture of film {number} cannot be read any more ({file}): take the film off the "
            "light box and bring it in again, or put that file back from a copy."
        )


def open_own_light_box(file: Path | None = None) -> LightBoxStore:
    """The user's light box, or another file."""
    return open_light_box(file or light_box_file())


def enter_film(
    store: LightBoxStore, film: DecodedFilm, *, visit: str, now: datetime, looked_at: bool = False
) -> KeptFilm:
    """Put a film on the light box by its name; only pixels and the listed facts are kept.

    ``looked_at``: a person has looked at what in it may say whose it is, and keeps it.

    Raises
    ------
    MayNameSomebodyError
        If something may, and nobody has looked; nothing is kept then.
    BitewrightError
        If its name or the visit's is too long, or its pixels cannot be written; nothing is kept
        then.
    """
    _check_text("label", film.name)
    _check_text("visit", visit)
    signs = () if looked_at else identity_signs(film)
    if signs:
        raise MayNameSomebodyError(film.name, signs, on_page=True)
    raw = film.image
    return store.add(
        film_picture(raw.pixels, description="Bitewright light box"),
        now=now,
        sha256=film.sha256,
        label=film.name,
        visit=visit,
        columns=raw.columns,
        rows=raw.rows,
        bits=raw.bits,
        pixel_mm=raw.pixel_mm,
        source=raw.source,
        attributes=raw.attributes,
        caveats=raw.caveats,
    )


def change_words(store: LightBoxStore, number: int, *, label: str, visit: str) -> KeptFilm:
    """Give a film other words or another visit.

    Raises
    ------
    NoSuchFilmError, TooLongTextError, TextNotKeptError
    """
    _check_text("label", label)
    _check_text("visit", visit)
    return store.change_label(number, label=label, visit=visit)


def film_of(store: LightBoxStore, film: KeptFilm) -> DecodedFilm:
    """A kept film as it came: its pixels, and the digest of the file they were decoded from.

    Raises
    ------
    PictureGoneError
        If its pixels are not there, or are not as they were kept.
    """
    try:
        kept = read_image(store.pixel_file(film))
    except BitewrightError as error:
        raise PictureGoneError(film.id, str(store.pixel_file(film))) from error
    image = RawImage(
        pixels=kept.pixels,
        bits=film.bits,
        pixel_mm=film.pixel_mm,
        source=film.source,
        attributes=film.attributes,
        caveats=film.caveats,
    )
    return DecodedFilm(name=own_name(film), sha256=film.sha256, image=image)


def film_document(film: KeptFilm, known: Catalogue) -> dict[str, Any]:
    """A film for a page: what is kept of it, its marks and the marks it still wants.

    ``known`` has the titles of what the marks name. Whatever is kept, there is a document: what
    cannot be used of it is left out, and a caveat says so.
    """
    marks, why_not = usable_marks(film)
    caveats = [] if film.is_as_written else [NOT_AS_WRITTEN]
    caveats += [record_damaged(list(film.damaged))] if film.damaged else []
    caveats += [CHARACTERS_REPLACED] if film.has_signs else []
    caveats += [marks_not_read(why_not)] if why_not else []
    document: dict[str, Any] = {
        "format": LIGHT_BOX_FORMAT,
        "version": __version__,
        "id": film.id,
        "label": film.label,
        "visit": film.visit,
        "sha256": film.sha256,
        "columns": film.columns,
        "rows": film.rows,
        "bits": film.bits,
        "pixel_mm": film.pixel_mm,
        "kept": {"source": film.source, **film.attributes},
        "caveats": [*film.caveats, *caveats],
        "added": film.added,
        "marks": dict(marks),
        "marks_version": film.marks_version,
        "titles": _titles(marks, known) | _decided_titles(film.decision),
        "decision": dict(film.decision),
        "wanted": [],
    }
    if marks.get("view") in view_names():
        names = mark_order(
            view(marks["view"]),
            absent_teeth=tuple(marks.get("absent_teeth", ())),
            closed=closed_on_kept(film, known),
        )
        document["wanted"] = [
            {"name": name, "words": landmark_words(name), "title": landmark_title(name)}
            for name in names
        ]
    return document


def _titles(marks: Mapping[str, Any], known: Catalogue) -> dict[str, str]:
    """What is shown of what the marks name; of a name that is none, the name with spaces."""
    titles = {
        "view": {name: view(name).title for name in view_names()},
        "receptor": {name: each.title for name, each in known.receptors.items()},
        "holder": {name: each.title for name, each in known.holders.items()},
    }
    return {
        kind: titles[kind].get(marks[kind], readable_name(marks[kind]))
        for kind in titles
        if marks.get(kind)
    }


def _decided_titles(decision: Mapping[str, Any]) -> dict[str, str]:
    """What is shown of the question and the scheme that a decision was made by."""
    titles = {
        "question": {each.name: each.title for each in question_choices()},
        "scheme": {each.name: each.title for each in scheme_choices()},
    }
    said = {
        kind: titles[kind].get(decision[kind], readable_name(decision[kind]))
        for kind in titles
        if decision.get(kind)
    }
    why_not = NOT_RATED_WORDS.get(decision.get("not_rated", ""))
    return said | ({"not_rated": why_not} if why_not else {})


def keep_decision(
    store: LightBoxStore,
    number: int,
    *,
    decision: str,
    by: str,
    note: str,
    rated_by: RatedBy,
    not_rated: str = "",
    now: datetime,
) -> KeptFilm:
    """Keep what a person decided; the tool proposes, a person decides.

    ``rated_by`` is what the film was rated for, and by, when they decided; ``not_rated`` why it had
    no rating then, a key of `NOT_RATED_WORDS`, empty where it had one.

    Raises
    ------
    UnknownDecisionError, TooLongTextError
    """
    if decision not in DECISIONS:
        raise UnknownDecisionError(decision)
    _check_text("decider's code", by)
    _check_text("note", note)
    made = {
        "decision": decision,
        "by": by,
        "note": note,
        "when": now.isoformat(timespec="seconds"),
        "question": plain_question(rated_by.question).value,
        "scheme": rated_by.scheme.name,
    } | ({"not_rated": not_rated} if not_rated else {})
    return store.decide(number, made)


def _check_text(what: str, given: str) -> None:
    if len(given) > MOST_TEXT:
        raise TooLongTextError(what, len(given))
    check_text(what, given)


__all__ = [
    "DECISIONS",
    "PictureGoneError",
    "change_words",
    "enter_film",
    "film_document",
    "film_of",
    "keep_decision",
    "open_own_light_box",
]
