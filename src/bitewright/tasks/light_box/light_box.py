"""The light box: films entered without identities, marked, assessed, explained."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from bitewright import __version__
from bitewright.equipment.entries import readable_name
from bitewright.errors import BitewrightError
from bitewright.files.images import read_image, write_image
from bitewright.files.marks_file import MARKS_FORMAT, marks_from_document
from bitewright.film.predicted_film import predicted_film
from bitewright.marking.mark_order import mark_order
from bitewright.marking.marks import MarkedFilm, Mounting
from bitewright.marking.raw_image import RawImage
from bitewright.quality.views import view, view_names
from bitewright.report.correction_drawing import correction_drawing
from bitewright.report.svg import svg_of
from bitewright.steps import Begin, unwatched
from bitewright.store.light_box import KeptFilm, LightBoxStore, light_box_file, open_light_box
from bitewright.tasks.all_cores import all_cores
from bitewright.tasks.assess.assess_film import assess_film
from bitewright.tasks.assess.decoded_film import DecodedFilm
from bitewright.tasks.assess.explain_film import BesideTheMarks, explain_film
from bitewright.tasks.assess.film_assessment import USUAL_TUBE, FilmAssessment
from bitewright.tasks.assess.taken_film import taken_film
from bitewright.tasks.catalogue.named import equipment
from bitewright.tasks.film.film_mouths import station_film_mouth
from bitewright.tasks.rated_by import RatedBy
from bitewright.words.landmarks import landmark_title, landmark_words

LIGHT_BOX_FORMAT = "bitewright.light-box/1"
MOST_TEXT = 200
DECISIONS = ("accepted", "retake proposed", "undecided")
MARK_FIELDS = frozenset(
    {"view", "receptor", "holder", "pixel_mm", "mounting", "mark_sd_mm", "marks", "absent_teeth"}
    | {"observations", "note", "marked_by"}
)
PREDICTED_COLUMNS = 680


class UnknownMarksFieldError(BitewrightError):
    """Marks were sent with a field that marks do not have."""

    def __init__(self, given: str) -> None:
        super().__init__(
            f"Marks have no field {given[:40]!r}; they have {', '.join(sorted(MARK_FIELDS))}."
        )


class NoViewError(BitewrightError):
    """A film cannot be assessed before its view is chosen."""

    def __init__(self, film: KeptFilm) -> None:
        super().__init__(f"Film {film.id} has no view yet: choose what it was taken for.")


class UnknownDecisionError(BitewrightError):
    """A decision is none of those there are."""

    def __init__(self, given: object) -> None:
        super().__init__(f"The decision {given!r:.40} is not one of {', '.join(DECISIONS)}.")


class TooLongTextError(BitewrightError):
    """A text is longer than is kept."""

    def __init__(self, what: str, length: int) -> None:
        super().__init__(f"The {what} has {length} characters, at most {MOST_TEXT} are kept.")


def open_own_light_box(file: Path | None = None) -> LightBoxStore:
    """The user's light box, or another file."""
    return open_light_box(file or light_box_file())


def enter_film(store: LightBoxStore, film: DecodedFilm, *, visit: str, now: datetime) -> KeptFilm:
    """Put a film on the light box by its name; only pixels and the listed facts are kept.

    Raises
    ------
    BitewrightError
        If its name or the visit's is too long, or its pixels cannot be written; nothing is kept
        then.
    """
    _check_text("label", film.name)
    _check_text("visit", visit)
    raw = film.image
    kept = store.add(
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
    try:
        write_image(
            store.pixel_file(kept), raw.pixels, pixel_mm=None, description="Bitewright light box"
        )
    except BitewrightError:
        store.remove(kept.id)
        raise
    return kept


def film_of(store: LightBoxStore, film: KeptFilm) -> DecodedFilm:
    """A kept film as it came: its pixels, and the digest of the file they were decoded from."""
    kept = read_image(store.pixel_file(film))
    image = RawImage(
        pixels=kept.pixels,
        bits=film.bits,
        pixel_mm=film.pixel_mm,
        source=film.source,
        attributes=film.attributes,
        caveats=film.caveats,
    )
    return DecodedFilm(name=_own_name(film), sha256=film.sha256, image=image)


def _own_name(film: KeptFilm) -> str:
    """What assessments and marks files call a film: a label may name somebody."""
    return f"film-{film.id}"


def film_document(film: KeptFilm) -> dict[str, Any]:
    """A film for a page: what is kept of it, its marks and the marks it still wants."""
    document: dict[str, Any] = {
        "format": LIGHT_BOX_FORMAT,
        "version": __version__,
        "id": film.id,
        "label": film.label,
        "visit": film.visit,
        "columns": film.columns,
        "rows": film.rows,
        "bits": film.bits,
        "pixel_mm": film.pixel_mm,
        "kept": {"source": film.source, **film.attributes},
        "caveats": list(film.caveats),
        "added": film.added,
        "marks": dict(film.marks),
        "marks_version": film.marks_version,
        "titles": _titles(film.marks),
        "decision": dict(film.decision),
        "wanted": [],
    }
    if film.marks.get("view") in view_names():
        names = mark_order(
            view(film.marks["view"]), absent_teeth=tuple(film.marks.get("absent_teeth", ()))
        )
        document["wanted"] = [
            {"name": name, "words": landmark_words(name), "title": landmark_title(name)}
            for name in names
        ]
    return document


def _titles(marks: Mapping[str, Any]) -> dict[str, str]:
    """What is shown of what the marks name; of a name that is none, the name with spaces."""
    known = equipment()
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


def change_marks(
    store: LightBoxStore, number: int, marks: Mapping[str, Any], *, version: int
) -> KeptFilm:
    """Check new marks as a marks file is checked, and keep them.

    Raises
    ------
    BitewrightError
        If they are not whole, or were changed elsewhere meanwhile; the old ones stay.
    """
    film = store.film(number)
    for name in marks:
        if name not in MARK_FIELDS:
            raise UnknownMarksFieldError(str(name))
    if marks.get("view"):
        marks_from_document(_whole(film, marks))
        view(marks["view"])
    elif marks.get("marks"):
        raise NoViewError(film)
    return store.change_marks(number, marks, version=version)


def marks_for_file(film: KeptFilm) -> dict[str, Any]:
    """The marks as a marks file holds them, with the pixel size that the film's file stated.

    Raises
    ------
    NoViewError
    """
    document = _stated(film)
    if film.pixel_mm and "pixel_mm" not in document:
        document["pixel_mm"] = film.pixel_mm
    return document


def _stated(film: KeptFilm) -> dict[str, Any]:
    """The marks as a person stated them."""
    if not film.marks.get("view"):
        raise NoViewError(film)
    return _whole(film, film.marks)


def _whole(film: KeptFilm, marks: Mapping[str, Any]) -> dict[str, Any]:
    image = {
        "file": _own_name(film),
        "sha256": film.sha256,
        "columns": film.columns,
        "rows": film.rows,
    }
    stated = {name: marks[name] for name in MARK_FIELDS - {"holder"} if marks.get(name)}
    return {
        "format": MARKS_FORMAT,
        "image": image,
        "mounting": "as-seen-from-the-tube",
        "marks": {},
        **stated,
    }


def assess_kept(
    store: LightBoxStore,
    film: KeptFilm,
    *,
    explained: bool,
    also: Sequence[KeptFilm] = (),
    begin: Begin = unwatched,
) -> FilmAssessment:
    """Measure and rate a film from its marks, and explain it if asked.

    Parameters
    ----------
    store : LightBoxStore
    film : KeptFilm
    explained : bool
    also : sequence of KeptFilm
        Further films of the same mouth, which say more of it together.
    begin : Begin

    Raises
    ------
    BitewrightError
        If marks are missing or do not go together.
    """
    known = equipment()
    holder = film.marks.get("holder")
    made = assess_film(
        film_of(store, film),
        taken_film(marks_from_document(_stated(film)), known),
        holder=known.holder(holder) if holder else None,
        by=RatedBy(),
    )
    if not explained:
        return made
    beside = BesideTheMarks(
        known=known,
        tube=known.tube(USUAL_TUBE),
        also=tuple(taken_film(_as_further(other), known) for other in also),
    )
    return explain_film(made, beside, begin=begin)


def others_of_visit(store: LightBoxStore, film: KeptFilm) -> tuple[KeptFilm, ...]:
    """Films of the same visit that say something of its mouth: those with a view and marks."""
    return tuple(
        other
        for other in store.films()
        if other.id != film.id
        and other.visit == film.visit
        and other.marks.get("view") in view_names()
        and any("x_px" in mark for mark in other.marks.get("marks", {}).values())
    )


def _as_further(film: KeptFilm) -> MarkedFilm:
    """A further film's marks, called by the film's label."""
    document = marks_for_file(film)
    document["image"] = document["image"] | {"file": _file_name(film)}
    return marks_from_document(document)


def _file_name(film: KeptFilm) -> str:
    """A film's label as a file can bear it."""
    return "".join("-" if c in "/\\" else c for c in film.label).strip() or _own_name(film)


def drawing_of(made: FilmAssessment) -> str | None:
    """The correction's drawing as SVG; None if the marks cannot tell."""
    said = made.explained
    if said is None or said.explanation is None:
        return None
    found = said.explanation
    return svg_of(correction_drawing(found.correction, present=found.now, plan=found.plan))


def explained_picture(
    made: FilmAssessment, *, begin: Begin = unwatched
) -> tuple[NDArray[np.uint8], tuple[float, float]] | None:
    """The film that the estimated exposure gives, and its size on the receptor. [mm]

    Returns
    -------
    (rows, columns) uint8 array and (width, height), or None if the marks cannot tell.
    """
    said = made.explained
    if said is None or said.explanation is None:
        return None
    exposure = said.explanation.now
    at = exposure.station
    size = 2.0 * at.half_width_mm, 2.0 * at.half_height_mm
    mouth = station_film_mouth(at, begin)
    begin("the film of the estimated exposure")
    with all_cores() as threads:
        film = predicted_film(
            exposure,
            mouth,
            pixel_mm=max(size) / PREDICTED_COLUMNS,
            threads=threads,
            begin=begin,
        )
    pixels = np.asarray(film.pixels // 257, dtype=np.uint8)
    if made.film.marks.mounting is Mounting.MIRRORED:
        pixels = np.ascontiguousarray(pixels[:, ::-1])
    return pixels, size


def keep_decision(
    store: LightBoxStore, number: int, *, decision: str, by: str, note: str, now: datetime
) -> KeptFilm:
    """Keep what a person decided; the tool proposes, a person decides.

    Raises
    ------
    UnknownDecisionError, TooLongTextError
    """
    if decision not in DECISIONS:
        raise UnknownDecisionError(decision)
    _check_text("decider's code", by)
    _check_text("note", note)
    made = {"decision": decision, "by": by, "note": note, "when": now.isoformat(timespec="seconds")}
    return store.decide(number, made)


def _check_text(what: str, given: str) -> None:
    if len(given) > MOST_TEXT:
        raise TooLongTextError(what, len(given))


__all__ = [
    "DECISIONS",
    "assess_kept",
    "change_marks",
    "drawing_of",
    "enter_film",
    "explained_picture",
    "film_document",
    "film_of",
    "keep_decision",
    "marks_for_file",
    "open_own_light_box",
    "others_of_visit",
]
