"""Which marks of the one real film its picture speaks against: docs/explain-accuracy.md."""

from pathlib import Path

import pytest

from bitewright.explanation.doubtful_marks import doubtful_marks
from bitewright.files.marks_file import read_marks
from bitewright.marking.marked_landmarks import landmarks_from_marks
from bitewright.marking.picture_borders import picture_borders
from bitewright.steps import unwatched
from bitewright.tasks.assess.assess_film import pixel_size
from bitewright.tasks.assess.decoded_film import read_film
from bitewright.tasks.assess.estimate_visit import estimate_learned
from bitewright.tasks.assess.taken_film import taken_film
from bitewright.tasks.assess.usual_equipment import USUAL_HOLDER, USUAL_TUBE
from bitewright.tasks.assess.visit_films import VisitFilm, nearest_receptor
from bitewright.tasks.catalogue.named import equipment


@pytest.mark.realdata
def test_hardly_any_of_a_persons_marks_is_doubted_by_the_picture(
    shared_data: Path, repository: Path
) -> None:
    known = equipment()
    film = read_film(shared_data / "real" / "bitewing_single_mit" / "bitewing.png")
    marks = read_marks(repository / "tests" / "realdata" / "open-bitewing.marks.json")
    taken = taken_film(marks, known)
    pixel_mm, _ = pixel_size(film, taken)
    landmarks = landmarks_from_marks(taken.marks, taken.view, pixel_mm=pixel_mm)
    receptor = taken.receptor or nearest_receptor(known, landmarks)
    found, _ = estimate_learned(
        [VisitFilm(taken=taken, landmarks=landmarks, receptor=receptor)],
        None,
        known.holder(USUAL_HOLDER),
        known.tube(USUAL_TUBE),
        begin=unwatched,
    )
    borders = picture_borders(film.image.pixels, taken.marks, taken.view, pixel_mm=pixel_mm)
    doubted = doubtful_marks(found.left_out[0], landmarks.front_sign, borders)
    assert len(found.left_out[0].marks) == 51
    assert [(each.name, each.border_mm) for each in doubted] == [("48.mesial.crest", None)]
