"""The true marks of a predicted film, written beside it."""

from dataclasses import replace
from pathlib import Path

from bitewright.errors import BitewrightError
from bitewright.exposing.clear_edge import ClearEdge
from bitewright.exposing.field_edges import field_edge_receptor_mm
from bitewright.files.disk import read_file
from bitewright.files.marks_file import write_marks
from bitewright.film.film_faults import FaultName
from bitewright.film.film_kinds import Handling
from bitewright.keeping.whole_files import check_place
from bitewright.marking.cone_cut import edge_places_px
from bitewright.marking.marks import CONE_CUT, FilmRemark, MarkedFilm
from bitewright.marking.simulated_marker import true_marks
from bitewright.quality.closed_spaces import closed_spaces
from bitewright.tasks.assess.decoded_film import decode_film
from bitewright.tasks.plan.predict_exposure import ExposurePrediction
from bitewright.words.file_notes import TRUE_MARKS


class NoFilmToMarkError(BitewrightError):
    """Marks were asked for without the film that they belong to."""

    def __init__(self) -> None:
        super().__init__("Marks belong to a film: give --film as well as --marks.")


class MovedByFaultError(BitewrightError):
    """A fault may have moved what the marks would show."""

    def __init__(self) -> None:
        super().__init__(
            "A film with such faults does not show its landmarks where they are projected: give "
            "--marks without --fault, or with cone cuts alone."
        )


def check_film_marks(film: Path | None, marks: Path, handling: Handling) -> None:
    """Refuse marks of no film, of one whose picture a fault has moved, or that cannot be written.

    Raises
    ------
    NoFilmToMarkError, MovedByFaultError, FileUnwritableError
    """
    if film is None:
        raise NoFilmToMarkError
    if any(fault.name not in CONE_CUTS for fault in handling.faults):
        raise MovedByFaultError
    check_place(marks)


CONE_CUTS = frozenset({FaultName.CONE_CUT_ROUND, FaultName.CONE_CUT_RECTANGULAR})
"""Faults that hide what they cut off and move nothing."""


def write_film_marks(
    path: Path, answer: ExposurePrediction, film: Path, *, cut: ClearEdge | None = None
) -> None:
    """Write where a predicted film shows every landmark of its view.

    A cone cut is written with its edge, and what lies in its blank part is hidden, whether the aim
    made it or it was made to order, with the edge ``cut``. Teeth of the view that the mouth has not
    are told as missing.

    Raises
    ------
    FileUnreadableError, FileUnwritableError
    """
    seen = decode_film(read_file(film), name=film.name)
    pixel_mm = seen.image.pixel_mm or answer.station.receptor.pixel_mm
    marks = true_marks(
        answer.prediction.landmarks,
        answer.view,
        pixel_mm=pixel_mm,
        image_name=film.name,
        receptor=answer.station.receptor.name,
        closed=closed_spaces(answer.station.outlines.mouth),
    )
    standing = set(answer.station.outlines.codes)
    told = replace(
        marks,
        image_sha256=seen.sha256,
        note=TRUE_MARKS,
        observations=_cone_cuts(answer, marks, pixel_mm, cut),
        absent_teeth=tuple(code for code in answer.view.teeth if code not in standing),
    )
    write_marks(path, told)


def _cone_cuts(
    answer: ExposurePrediction, marks: MarkedFilm, pixel_mm: float, cut: ClearEdge | None
) -> tuple[FilmRemark, ...]:
    """The cone cut that the film has, with its edge where the image shows it; none without one."""
    if cut is not None:
        edge = edge_places_px(cut, columns=marks.columns, rows=marks.rows, pixel_mm=pixel_mm)
    elif min(answer.beam_cover_mm.values()) < 0.0:
        places = field_edge_receptor_mm(answer.exposure) / pixel_mm
        middle = (0.5 * marks.columns, 0.5 * marks.rows)
        edge = tuple(
            (round(float(u) + middle[0], 2), round(float(v) + middle[1], 2)) for u, v in places
        )
    else:
        return ()
    return (FilmRemark(name=CONE_CUT, edge_px=edge if len(edge) > 1 else ()),)


__all__ = ["check_film_marks", "write_film_marks"]
