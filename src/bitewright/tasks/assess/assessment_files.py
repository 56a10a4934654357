"""Files of an assessment: the overlay, the drawing of its correction, what its mouth taught."""

from dataclasses import dataclass, replace
from pathlib import Path

from bitewright.files.belief_file import write_belief
from bitewright.files.images import write_picture
from bitewright.report.film_overlay import film_overlay
from bitewright.report.typeset import picture_of
from bitewright.tasks.assess.decoded_film import DecodedFilm
from bitewright.tasks.assess.drawing_files import (
    check_drawing_path,
    explanation_drawing,
    write_drawing,
)
from bitewright.tasks.assess.film_assessment import FilmAssessment


@dataclass(frozen=True, slots=True, kw_only=True)
class AssessmentFiles:
    """Where an assessment's files go; None writes none.

    Raises
    ------
    UnknownImageFormatError
        If a drawing cannot be written under its name.
    """

    overlay: Path | None = None
    drawing: Path | None = None
    belief: Path | None = None

    def __post_init__(self) -> None:
        if self.drawing is not None:
            check_drawing_path(self.drawing)


def write_assessment(
    answer: FilmAssessment, film: DecodedFilm, to: AssessmentFiles
) -> AssessmentFiles:
    """Write what is asked for and there is; returns what was written.

    Raises
    ------
    UnknownImageFormatError, FileUnwritableError
    """
    said = answer.explained
    explanation = None if said is None else said.explanation
    belief = None if said is None else said.belief
    written = AssessmentFiles()
    if to.drawing is not None and said is not None and explanation is not None:
        write_drawing(to.drawing, explanation_drawing(explanation, said.sentence))
        written = replace(written, drawing=to.drawing)
    if to.belief is not None and belief is not None:
        write_belief(to.belief, belief)
        written = replace(written, belief=to.belief)
    if to.overlay is not None:
        overlay = film_overlay(
            film.image,
            answer.film.marks,
            answer.as_told,
            grade=answer.grade,
            scheme=answer.scheme,
        )
        write_picture(to.overlay, picture_of(overlay), description=overlay.description)
        written = replace(written, overlay=to.overlay)
    return written


__all__ = ["AssessmentFiles", "write_assessment"]
