"""The chart of a visit, written as SVG with its text as text, or as PNG."""

from pathlib import Path

from bitewright.files.disk import write_file
from bitewright.files.images import write_picture
from bitewright.report.svg import svg_of
from bitewright.report.typeset import picture_of
from bitewright.report.visit_chart import visit_chart
from bitewright.tasks.assess.drawing_files import check_drawing_path
from bitewright.tasks.visit.read_visit import VisitAnswer, VisitAnswers


def write_visit_pictures(path: Path, answers: VisitAnswers) -> tuple[Path, ...]:
    """One chart a visit; of several, each with its number before the name's ending.

    Raises
    ------
    UnknownImageFormatError, FileUnwritableError
    """
    check_drawing_path(path)
    several = len(answers.visits) > 1
    written = []
    for number, answer in enumerate(answers.visits, start=1):
        to = path.with_name(f"{path.stem}-{number}{path.suffix}") if several else path
        drawing = visit_chart(answer.ledger, answer.heading, answer.sentences)
        if path.suffix.lower() == ".svg":
            write_file(to, svg_of(drawing).encode("utf-8"))
        else:
            write_picture(to, picture_of(drawing), description=f"Bitewright. {drawing.title}")
        written.append(to)
    return tuple(written)


def visit_svg(answer: VisitAnswer) -> str:
    """The chart of one visit for a page that tells the answer beside it."""
    drawing = visit_chart(answer.ledger, answer.heading, answer.sentences, words_above=False)
    return svg_of(drawing)


__all__ = ["visit_svg", "write_visit_pictures"]
