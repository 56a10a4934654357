"""Of a mouth whose spaces have closed nothing is told as if they were there."""

from dataclasses import replace

import numpy as np
import pytest

from bitewright.estimation.estimate import FilmEvidence, estimate
from bitewright.estimation.exposure_unknowns import exposures_at, usual_unknowns
from bitewright.estimation.mouth_belief import population
from bitewright.estimation.mouth_prior import mean_mouth
from bitewright.estimation.mouth_shapes import mouth_shapes
from bitewright.explanation.correction import Need, Verdict
from bitewright.explanation.explain import explain
from bitewright.explanation.needs import AsMarked
from bitewright.explanation.partly_closed import closed_between
from bitewright.exposing.exposure import Station, station
from bitewright.exposing.landmarks import Landmarks
from bitewright.exposing.project import project
from bitewright.exposing.targets import targets
from bitewright.marking.marked_landmarks import landmarks_from_marks
from bitewright.marking.simulated_marker import marked_by_simulation
from bitewright.mouth.mouth import Mouth
from bitewright.mouth.outlines import build_outlines
from bitewright.quality.views import view
from bitewright.words.corrections import correction_words
from trials.known_films import Equipment

GONE = (14, 44)
KEPT = mean_mouth([code for code in mean_mouth().teeth if code not in GONE])
CLOSED = replace(
    mean_mouth(), teeth={c: tooth for c, tooth in mean_mouth().teeth.items() if c not in GONE}
)
OF = view("right-premolar")


def at(mouth: Mouth) -> Station:
    usual = Equipment.usual()
    outlines = build_outlines(mouth)
    return station(outlines, OF.region, usual.receptor, usual.holder, usual.tube)


def film_of(mouth: Mouth) -> Landmarks:
    """Its usual exposure, marked."""
    there = at(mouth)
    exposures = exposures_at(there, usual_unknowns(there)[None])
    marks, _ = project(exposures, targets(there.outlines, there.region))
    film = marked_by_simulation(
        marks,
        OF,
        pixel_mm=0.02,
        image_name="a.png",
        receptor="sensor-2",
        sd_mm=0.1,
        generator=np.random.default_rng(0),
    )
    return landmarks_from_marks(film, OF, pixel_mm=0.02, receptor=there.receptor)


@pytest.mark.parametrize(
    ("mouth", "found"), [(KEPT, ()), (CLOSED, ("13-15", "43-45"))], ids=["kept", "closed"]
)
def test_teeth_that_stand_together_where_one_is_missing_are_found(
    mouth: Mouth, found: tuple[str, ...]
) -> None:
    assert closed_between(film_of(mouth), KEPT) == found


@pytest.mark.parametrize("serves", [True, False])
def test_in_a_mouth_whose_spaces_have_closed_no_movement_is_told(*, serves: bool) -> None:
    """Of an aim that was right, with every contact open, 15 degrees were told "to the front"."""
    teeth = tuple(code for code in KEPT.teeth if KEPT.teeth[code].present)
    evidence = FilmEvidence(landmarks=film_of(CLOSED), station=at(KEPT))
    found = estimate([evidence], mouth_shapes(teeth, OF.region), population(teeth))
    generator = np.random.default_rng(0)
    said = explain(found, OF, marked=AsMarked(serves=serves), generator=generator)
    correction = said.correction
    assert correction.is_unlike
    assert {each.need for each in correction.movements} == {Need.UNSURE}
    assert correction.verdict is (Verdict.NOTHING if serves else Verdict.CANNOT_TELL)
    words = correction_words(correction, serves=serves, then=said.next)
    assert words.causes == ()
    assert "At 13-15 and 43-45 the space of missing teeth has closed" in words.teacher
    assert "slide the tube" not in f"{words.operator} {words.teacher}"
    assert ("set the view up anew" in words.operator) is not serves
    assert "can be read then" not in words.operator
