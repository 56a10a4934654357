"""A marks file without marks, for a person to fill in, and what there is to mark."""

import os
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from bitewright.errors import BitewrightError
from bitewright.files.marks_file import write_marks
from bitewright.marking.mark_order import mark_order
from bitewright.marking.marks import MarkedFilm
from bitewright.quality.views import view
from bitewright.tasks.assess.decoded_film import DecodedFilm

MARKS_ENDING = ".marks.json"


class AlreadyThereError(BitewrightError):
    """A file of that name is there, and may hold marks."""

    def __init__(self, path: Path) -> None:
        super().__init__(
            f"{path} is already there and may hold marks: give another name with --out, or remove "
            "it first."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class NewMarks:
    """The file that was written, and the landmarks to mark in it, in order."""

    path: Path
    names: tuple[str, ...]


def new_marks(
    image: Path,
    film: DecodedFilm,
    *,
    of_view: str,
    receptor: str | None = None,
    absent_teeth: Sequence[int] = (),
    path: Path | None = None,
) -> NewMarks:
    """Write a marks file of a film that holds no mark yet; beside the film if no path is given.

    Raises
    ------
    UnknownViewError
    UnknownToothError
        If a tooth said to be absent is none.
    AlreadyThereError
    FileUnwritableError
    """
    taken_as = view(of_view)
    missing = tuple(absent_teeth)
    stated_mm = film.image.pixel_mm
    marks = MarkedFilm(
        image_name=film.name,
        image_sha256=film.sha256,
        columns=film.image.columns,
        rows=film.image.rows,
        view=taken_as.name,
        receptor=receptor,
        pixel_mm=None if stated_mm is None else round(stated_mm, 6),  # files hold pixels a metre
        marks={},
        absent_teeth=missing,
    )
    target = path or image.with_name(image.stem + MARKS_ENDING)
    if os.path.exists(target):  # noqa: PTH110  never raises
        raise AlreadyThereError(target)
    write_marks(target, marks)
    return NewMarks(path=target, names=mark_order(taken_as, absent_teeth=missing))


__all__ = ["AlreadyThereError", "NewMarks", "new_marks"]
