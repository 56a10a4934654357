"""An explanation's drawing, and any drawing written as SVG with its text as text, or as PNG."""

from pathlib import Path

from bitewright.explanation.explanation import Explanation
from bitewright.files.disk import write_file
from bitewright.files.images import UnknownImageFormatError, write_picture
from bitewright.report.correction_drawing import correction_drawing, move_drawing
from bitewright.report.shapes import Drawing
from bitewright.report.svg import svg_of
from bitewright.report.typeset import picture_of

ENDINGS = (".svg", ".png")


def explanation_drawing(
    explained: Explanation, sentence: str, *, only_what_moves: bool = False
) -> Drawing:
    """What is told of an explanation as a drawing, and nothing else.

    Parameters
    ----------
    explained : Explanation
    sentence : str
        What is told, as everywhere else.
    only_what_moves : bool
        Whether to draw what moves alone, as large as fits, as `move_drawing` does.
    """
    draw = move_drawing if only_what_moves else correction_drawing
    return draw(
        explained.drawn,
        present=explained.now,
        plan=explained.next_plan,
        sentence=sentence,
        how_far=explained.tells_how_far,
        ways_alone=explained.ways_alone,
    )


def check_drawing_path(path: Path) -> None:
    """Refuse a name that a drawing cannot be written under, before anything is worked out.

    Raises
    ------
    UnknownImageFormatError
        If the name ends in neither .svg nor .png.
    """
    if path.suffix.lower() not in ENDINGS:
        raise UnknownImageFormatError(str(path), "end its name in .svg or .png")


def write_drawing(path: Path, drawing: Drawing) -> Path:
    """Write a drawing by the ending of the name; returns the path.

    Raises
    ------
    UnknownImageFormatError, FileUnwritableError
        Nothing is left behind.
    """
    check_drawing_path(path)
    if path.suffix.lower() == ".svg":
        write_file(path, svg_of(drawing).encode("utf-8"))
    else:
        write_picture(path, picture_of(drawing), description=f"Bitewright. {drawing.description}")
    return path


__all__ = ["check_drawing_path", "explanation_drawing", "write_drawing"]
