"""The drawing of a correction, written as SVG with its text as text, or as PNG."""

from pathlib import Path

from bitewright.explanation.correction import Correction
from bitewright.exposing.exposure import Exposures
from bitewright.files.disk import write_file
from bitewright.files.images import UnknownImageFormatError, write_picture
from bitewright.planning.best_aim import Plan
from bitewright.report.correction_drawing import correction_drawing
from bitewright.report.svg import svg_of
from bitewright.report.typeset import picture_of

ENDINGS = (".svg", ".png")


def check_drawing_path(path: Path) -> None:
    """Refuse a name that a drawing cannot be written under, before anything is worked out.

    Raises
    ------
    UnknownImageFormatError
        If the name ends in neither .svg nor .png.
    """
    if path.suffix.lower() not in ENDINGS:
        raise UnknownImageFormatError(str(path), "end its name in .svg or .png")


def write_correction_drawing(
    path: Path, correction: Correction, *, present: Exposures, plan: Plan, sentence: str = ""
) -> Path:
    """Draw a correction and write it by the ending of the name; returns the path.

    Raises
    ------
    UnknownImageFormatError, FileUnwritableError
        Nothing is left behind.
    """
    check_drawing_path(path)
    drawing = correction_drawing(correction, present=present, plan=plan, sentence=sentence)
    if path.suffix.lower() == ".svg":
        write_file(path, svg_of(drawing).encode("utf-8"))
    else:
        write_picture(path, picture_of(drawing), description=f"Bitewright. {drawing.description}")
    return path


__all__ = ["check_drawing_path", "write_correction_drawing"]
