"""The real film's marks set again and again, each time as far off as readers' marks lie apart."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.explanation.correction import Correction, Need, Part, Verdict
from bitewright.files.images import read_image
from bitewright.marking.marks import Mark, MarkStatus
from bitewright.quality.criteria import Question
from bitewright.tasks.assess.assess_film import assess_film
from bitewright.tasks.assess.decoded_film import read_film
from bitewright.tasks.assess.explain_film import BesideTheMarks, explain_film
from bitewright.tasks.assess.film_assessment import FilmAssessment
from bitewright.tasks.assess.taken_film import read_taken_film
from bitewright.tasks.rated_by import RatedBy

pytestmark = [pytest.mark.realdata, pytest.mark.slow]

IMAGE = "real/bitewing_single_mit/bitewing.png"
HERE = Path(__file__).parent
COPIES, ALIKE, NOISE_MM = 20, 19, 0.15


def told(shared_data: Path, marks: str) -> list[tuple[FilmAssessment, Correction]]:
    """What is told of every copy."""
    known = packaged_catalogue()
    film, taken = read_film(shared_data / IMAGE), read_taken_film(HERE / marks, known)
    pixel_mm = read_image(shared_data / IMAGE).pixel_mm
    assert pixel_mm is not None
    found = []
    for copy in range(1, COPIES + 1):
        generator = np.random.default_rng([5, copy])
        noisy = {
            name: set_again(mark, generator.normal(0.0, NOISE_MM / pixel_mm, 2))
            if mark.status is MarkStatus.SEEN
            else mark
            for name, mark in taken.marks.marks.items()
        }
        assessed = assess_film(
            film,
            replace(taken, marks=replace(taken.marks, marks=noisy)),
            holder=known.holder("ring-holder"),
            by=RatedBy(question=Question.ENAMEL),
        )
        beside = BesideTheMarks(known=known, tube=known.tube("rectangular-300"))
        answer = explain_film(assessed, beside)
        assert answer.correction is not None
        found.append((answer, answer.correction))
    return found


def set_again(mark: Mark, off_px: np.ndarray) -> Mark:
    """A mark a little off."""
    assert mark.x_px is not None
    assert mark.y_px is not None
    return replace(mark, x_px=mark.x_px + off_px[0], y_px=mark.y_px + off_px[1])


@pytest.mark.parametrize(
    ("marks", "verdicts"),
    [
        ("open-bitewing.marks.json", {Verdict.NOTHING}),
        # Some copies just serve: then the same movement would bring them nearer to the best.
        ("open-bitewing-as-molar.marks.json", {Verdict.MOVE, Verdict.NEARER}),
    ],
)
def test_copies_with_a_readers_noise_get_one_verdict_and_a_level_film_stays_level(
    shared_data: Path, marks: str, verdicts: set[Verdict]
) -> None:
    copies = told(shared_data, marks)
    assert sum(each.verdict in verdicts for _, each in copies) >= ALIKE
    for answer, each in copies:
        assert (each.verdict is Verdict.NEARER) <= (answer.serves is True)
    assert all(each.of(Part.ROLL).need is Need.STAY for _, each in copies)
    for answer, correction in copies:
        # The answer's first sentence and the verdict never say two things.
        if answer.serves and correction.verdict is Verdict.NOTHING:
            assert answer.answer.movement.startswith("Nothing needs to move for this film")
            assert not answer.answer.also
