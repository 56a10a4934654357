"""Marks files: one JSON document for the landmarks on one film. See docs/marks-format.md."""

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from bitewright.errors import BitewrightError
from bitewright.files.disk import read_file, write_file
from bitewright.files.json_documents import check_document, document_bytes, parse_document
from bitewright.marking.marks import (
    FilmRemark,
    FirstProposal,
    Mark,
    MarkedFilm,
    MarkOrigin,
    MarkStatus,
    Mounting,
    NumbersSaid,
)

MARKS_FORMAT = "bitewright.marks/1"
SCHEMAS = {MARKS_FORMAT: "marks-1.json"}  # older versions stay readable: add, never remove
MOST_BYTES = 16 << 20


class MarksContentError(BitewrightError):
    """A marks document fits its schema, but a landmark's name or place in it is wrong."""

    def __init__(self, where: str, cause: BitewrightError) -> None:
        self.where = where
        self.cause = cause
        super().__init__(f"{where}: {cause}")


def read_marks(path: Path) -> MarkedFilm:
    """The marked film a file holds.

    Raises
    ------
    FileUnreadableError, NotJsonError, DocumentFormatError, SchemaViolationError, MarksContentError
        One sentence each, beginning with the path.
    """
    path = Path(path)
    text = read_file(path, most_bytes=MOST_BYTES)
    return _film(parse_document(text, str(path), schemas=SCHEMAS), str(path))


def write_marks(path: Path, film: MarkedFilm) -> None:
    """Write a marked film, whole or not at all; `read_marks` gives an equal one back.

    Raises
    ------
    SchemaViolationError
        If a text of the film is longer than the format allows.
    FileUnwritableError
        If the file cannot be written; nothing is left behind.
    """
    document = marks_to_document(film)
    check_document(document, str(path), schemas=SCHEMAS)
    write_file(Path(path), document_bytes(document))


def marks_from_document(document: Mapping[str, Any], *, where: str = "The marks") -> MarkedFilm:
    """The marked film of a parsed document; errors as `read_marks`, without the file's."""
    check_document(document, where, schemas=SCHEMAS)
    return _film(document, where)


def marks_to_document(film: MarkedFilm) -> dict[str, Any]:
    """What a marks file holds, fields without a value left out."""
    image = {
        "file": film.image_name,
        "sha256": film.image_sha256,
        "columns": film.columns,
        "rows": film.rows,
    }
    document = {
        "format": MARKS_FORMAT,
        "image": _stated(image),
        "view": film.view,
        "receptor": film.receptor,
        "pixel_mm": film.pixel_mm,
        "mounting": film.mounting.value,
        "mark_sd_mm": film.mark_sd_mm,
        "marks": {name: _mark_document(mark) for name, mark in film.marks.items()},
        "absent_teeth": list(film.absent_teeth),
        "observations": [_remark_document(remark) for remark in film.observations],
        "note": film.note,
        "marked_by": film.marked_by,
        "patient": film.patient,
        "taken_on": film.taken_on,
        "proposed": None if film.proposed is None else _proposal_document(film.proposed),
        "numbers": None if film.numbers is None else film.numbers.value,
    }
    return _stated(document)


def _film(document: Mapping[str, Any], where: str) -> MarkedFilm:
    image = document["image"]
    try:
        return MarkedFilm(
            image_name=image["file"],
            image_sha256=image.get("sha256"),
            columns=int(image["columns"]),
            rows=int(image["rows"]),
            view=document["view"],
            receptor=document.get("receptor"),
            pixel_mm=document.get("pixel_mm"),
            mounting=Mounting(document["mounting"]),
            mark_sd_mm=document.get("mark_sd_mm"),
            marks={name: _mark(mark) for name, mark in document["marks"].items()},
            absent_teeth=tuple(int(code) for code in document.get("absent_teeth", [])),
            observations=tuple(_remark(seen) for seen in document.get("observations", [])),
            note=document.get("note"),
            marked_by=document.get("marked_by"),
            patient=document.get("patient"),
            taken_on=document.get("taken_on"),
            proposed=_proposal(document.get("proposed")),
            numbers=NumbersSaid(document["numbers"]) if "numbers" in document else None,
        )
    except BitewrightError as error:
        raise MarksContentError(where, error) from error


def _proposal(document: Mapping[str, Any] | None) -> FirstProposal | None:
    if document is None:
        return None
    return FirstProposal(
        names=tuple(document["marks"]),
        doubted=tuple(document.get("doubted", ())),
        film_doubts=tuple(document.get("film_doubts", ())),
        likely_view=document.get("likely_view"),
    )


def _proposal_document(proposal: FirstProposal) -> dict[str, Any]:
    return _stated(
        {
            "marks": list(proposal.names),
            "doubted": list(proposal.doubted),
            "film_doubts": list(proposal.film_doubts),
            "likely_view": proposal.likely_view,
        }
    )


def _remark(document: Mapping[str, Any]) -> FilmRemark:
    edge = tuple((float(at["x_px"]), float(at["y_px"])) for at in document.get("edge", []))
    return FilmRemark(name=document["name"], note=document.get("note"), edge_px=edge)


def _remark_document(remark: FilmRemark) -> dict[str, Any]:
    edge = [{"x_px": x, "y_px": y} for x, y in remark.edge_px]
    return _stated({"name": remark.name, "note": remark.note, "edge": edge})


def _mark(document: Mapping[str, Any]) -> Mark:
    state = document.get("state")
    return Mark(
        x_px=document.get("x_px"),
        y_px=document.get("y_px"),
        sd_mm=document.get("sd_mm"),
        status=MarkStatus(document.get("status", MarkStatus.SEEN.value)),
        origin=None if state is None else MarkOrigin(state),
        doubt=document.get("doubt"),
    )


def _mark_document(mark: Mark) -> dict[str, Any]:
    return _stated(
        {
            "x_px": mark.x_px,
            "y_px": mark.y_px,
            "sd_mm": mark.sd_mm,
            "status": mark.status.value,
            "state": None if mark.origin is None else mark.origin.value,
            "doubt": mark.doubt,
        }
    )


def _stated(fields: Mapping[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in fields.items() if value is not None and value != []}


__all__ = [
    "MARKS_FORMAT",
    "MarksContentError",
    "marks_from_document",
    "marks_to_document",
    "read_marks",
    "write_marks",
]
