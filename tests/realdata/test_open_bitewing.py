"""One real bitewing, with our own marks: measured and rated by the same definitions."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.files.images import read_image
from bitewright.marking.marks import Mark, MarkStatus
from bitewright.quality.criteria import CriterionName, Question
from bitewright.quality.questions import AnyQuestion, NamedQuestion
from bitewright.quality.rating import ContactState, Outcome
from bitewright.tasks.assess.assess_film import assess_film
from bitewright.tasks.assess.assessment_files import AssessmentFiles, write_assessment
from bitewright.tasks.assess.decoded_film import read_film
from bitewright.tasks.assess.film_assessment import FilmAssessment
from bitewright.tasks.assess.taken_film import read_taken_film
from bitewright.tasks.rated_by import RatedBy

pytestmark = pytest.mark.realdata

IMAGE = "real/bitewing_single_mit/bitewing.png"
REDRAWS = 20
"""The three readers' own sets were not kept apart. Two of them differ by 0.17 mm at most along the
row, standard deviation of 18 edges, so that one lies 0.12 mm off: what the joint set states."""

FIRST_READER_PX = {"16.distal": (363.8, 395.5), "17.mesial": (361.0, 395.5)}
"""Where the first reader alone had marked 16-17, open; two of three saw an overlap, which stands in
the joint set. All other edges of that reader's are the joint set's."""

HERE = Path(__file__).parent


def assessed(
    shared_data: Path,
    marks: str,
    overlay: Path | None = None,
    question: AnyQuestion = Question.ENAMEL,
) -> FilmAssessment:
    known = packaged_catalogue()
    film = read_film(shared_data / IMAGE)
    answer = assess_film(
        film,
        read_taken_film(HERE / marks, known),
        holder=known.holder("ring-holder"),
        by=RatedBy(question=question),
    )
    write_assessment(answer, film, AssessmentFiles(overlay=overlay))
    return answer


def test_its_pixel_size_and_length_are_those_of_a_size_two_plate(shared_data: Path) -> None:
    """Its own note: 0.030 mm, about 40.7 by 30.9 mm."""
    raw = read_image(shared_data / IMAGE)
    assert raw.pixel_mm == pytest.approx(0.030, abs=2e-5)
    assert raw.size_mm is not None
    assert np.allclose(raw.size_mm, (40.7, 30.9), atol=0.05)


def test_as_a_premolar_view_it_is_good_for_caries_and_says_what_it_does_not_show(
    shared_data: Path,
) -> None:
    answer = assessed(shared_data, "open-bitewing.marks.json")
    outcomes = {f.criterion.name: f.outcome for f in answer.assessment.findings}
    assert answer.grade == "A"
    assert answer.grade_chances["A"] > 0.97  # as far apart as the readers' marks lie
    assert answer.fitness == ("Good for caries; 43-44 not shown and no bone crest at 43 distal.")
    assert outcomes[CriterionName.CANINE_DISTAL] == Outcome.SHORT
    states = {c.name: c.state for c in answer.assessment.contacts}
    assert states.pop("43-44") == ContactState.NOT_SHOWN
    assert set(states.values()) == {ContactState.OPEN}
    assert answer.serves  # every contact open: no movement is told as if something had failed


def test_asked_for_the_lower_canines_distal_surface_it_is_not_acceptable(
    shared_data: Path,
) -> None:
    about = NamedQuestion(question=Question.SURFACE, surfaces=("43.distal",))
    answer = assessed(shared_data, "open-bitewing.marks.json", question=about)
    assert answer.grade == "N"
    assert answer.fitness.startswith("Not good for the named surfaces: 43-44 is not shown")
    assert not answer.serves


def test_as_a_molar_view_it_is_acceptable(shared_data: Path, tmp_path: Path) -> None:
    overlay = tmp_path / "overlay.png"
    answer = assessed(shared_data, "open-bitewing-as-molar.marks.json", overlay)
    assert answer.grade == "A"
    assert answer.grade_chances["A"] > 0.97
    assert overlay.stat().st_size > 100_000
    last = [f for f in answer.assessment.findings if f.criterion.name == CriterionName.LAST_DISTAL]
    assert last[0].outcome == Outcome.SHORT


@pytest.mark.parametrize("marks", ["open-bitewing.marks.json", "open-bitewing-as-molar.marks.json"])
def test_it_is_acceptable_for_caries_by_marks_set_again_as_readers_differ(
    shared_data: Path, marks: str
) -> None:
    """Both views, every mark set anew 20 times; and what it does not show is told each time."""
    known = packaged_catalogue()
    film, taken = read_film(shared_data / IMAGE), read_taken_film(HERE / marks, known)
    grades, fitness = [], []
    for copy in range(REDRAWS):
        generator = np.random.default_rng([19, copy])
        noisy = {
            name: moved(
                mark, (taken.marks.sd_of_mm(name) or 0.0) / 0.030 * generator.normal(size=2)
            )
            for name, mark in taken.marks.marks.items()
        }
        answer = assess_film(
            film,
            replace(taken, marks=replace(taken.marks, marks=noisy)),
            holder=known.holder("ring-holder"),
            by=RatedBy(question=Question.ENAMEL),
        )
        grades.append(answer.grade)
        fitness.append(answer.fitness)
    if marks == "open-bitewing.marks.json":
        assert grades == ["A"] * REDRAWS
        missing = "43-44 not shown and no bone crest at 43 distal"
        assert all(missing in each for each in fitness)
        return
    # Two of three readers saw 16-17 overlapped by 0.44 mm; so marked it may turn unreadable.
    assert grades.count("A") >= REDRAWS - 3
    doubtful = "Not good for caries: 16-17 cannot be read."
    assert {each for each, grade in zip(fitness, grades, strict=True) if grade != "A"} <= {doubtful}


def test_it_is_acceptable_by_the_first_readers_own_marks(shared_data: Path) -> None:
    known = packaged_catalogue()
    for name in ("open-bitewing.marks.json", "open-bitewing-as-molar.marks.json"):
        taken = read_taken_film(HERE / name, known)
        own = {
            place: replace(taken.marks.marks[place], x_px=x, y_px=y)
            for place, (x, y) in FIRST_READER_PX.items()
        }
        answer = assess_film(
            read_film(shared_data / IMAGE),
            replace(taken, marks=replace(taken.marks, marks=dict(taken.marks.marks) | own)),
            holder=known.holder("ring-holder"),
            by=RatedBy(question=Question.ENAMEL),
        )
        assert answer.grade == "A"
        states = {each.name: each.state for each in answer.assessment.contacts}
        assert states.get("16-17", ContactState.OPEN) is ContactState.OPEN


def moved(mark: Mark, off_px: np.ndarray) -> Mark:
    """A mark a little off; one without a place stays as it is."""
    if mark.status is not MarkStatus.SEEN:
        return mark
    assert mark.x_px is not None
    assert mark.y_px is not None
    return replace(mark, x_px=mark.x_px + off_px[0], y_px=mark.y_px + off_px[1])
