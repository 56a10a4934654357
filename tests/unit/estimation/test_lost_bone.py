"""Bone lost by millimetres at molars is read as that, and not as marks that fit nothing."""

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.estimation.estimate import Estimate, FilmEvidence, estimate
from bitewright.estimation.exposure_unknowns import NAMES, exposures_at, usual_unknowns
from bitewright.estimation.lost_bone import estimate_with_lost_bone, has_far_crests
from bitewright.estimation.mouth_belief import population
from bitewright.estimation.mouth_prior import mean_mouth
from bitewright.estimation.mouth_shapes import mouth_shapes
from bitewright.explanation.furthest import is_hopeless
from bitewright.exposing.exposure import Station, station
from bitewright.exposing.project import project
from bitewright.exposing.targets import targets
from bitewright.marking.marked_landmarks import landmarks_from_marks
from bitewright.marking.marks import MarkedFilm, MarkStatus
from bitewright.marking.simulated_marker import marked_by_simulation
from bitewright.mouth.mouth import Mouth
from bitewright.mouth.outlines import build_outlines
from bitewright.quality.views import view
from trials.known_films import Equipment

VIEW = view("right-premolar")
TEETH = tuple(mean_mouth().teeth)
PLATE = packaged_catalogue().receptor("plate-2")
"""Large enough to show crests that lie low."""

LOST_MM = 5.0
CREST_OF = {"mesial": "crest_mesial_mm", "distal": "crest_distal_mm"}
AT_MOLARS = ("15.distal", "16.mesial", "16.distal", "45.distal", "46.mesial", "46.distal")


def station_of(mouth: Mouth) -> Station:
    usual = Equipment.usual()
    return station(build_outlines(mouth), VIEW.region, PLATE, usual.holder, usual.tube)


def film_of(crests_mm: Mapping[str, float]) -> MarkedFilm:
    """A careful hand's film of the mean mouth with some of its crests so far below."""
    mouth = mean_mouth()
    teeth = dict(mouth.teeth)
    for name, lost_mm in crests_mm.items():
        code, side = name.split(".")
        teeth[int(code)] = replace(teeth[int(code)], **{CREST_OF[side]: lost_mm})
    at = station_of(replace(mouth, teeth=teeth))
    marks, _ = project(exposures_at(at, usual_unknowns(at)[None]), targets(at.outlines, at.region))
    return marked_by_simulation(
        marks,
        VIEW,
        pixel_mm=0.02,
        image_name="a.png",
        receptor=PLATE.name,
        sd_mm=0.1,
        generator=np.random.default_rng(0),
    )


def evidence(film: MarkedFilm) -> FilmEvidence:
    landmarks = landmarks_from_marks(film, VIEW, pixel_mm=0.02)
    return FilmEvidence(landmarks=landmarks, station=station_of(mean_mouth()))


def estimated(film: MarkedFilm) -> Estimate:
    shapes = mouth_shapes(TEETH, VIEW.region)
    return estimate_with_lost_bone([evidence(film)], shapes, population(TEETH))


def test_bone_lost_at_molars_leaves_marks_that_fit() -> None:
    film = film_of(dict.fromkeys(AT_MOLARS, LOST_MM))
    found = estimated(film)
    assert not is_hopeless(found, {})
    own = usual_unknowns(station_of(mean_mouth()))
    off = dict(zip(NAMES, found.unknowns[0] - own, strict=True))
    assert abs(off["azimuth_deg"]) < 4.0
    assert abs(off["vertical_deg"]) < 4.0
    assert abs(off["forward_mm"]) < 2.0
    assert abs(off["height_mm"]) < 1.5
    crest_mm = found.shapes.outlines.mouth.teeth[16].crest_mesial_mm
    assert abs(crest_mm - LOST_MM) < 1.0


def test_crests_marked_anywhere_still_fit_nothing() -> None:
    generator = np.random.default_rng(3)
    usual = film_of({})
    marks = {
        name: replace(mark, y_px=float(generator.uniform(0.0, usual.rows)))
        if mark.status is MarkStatus.SEEN and name.endswith("crest")
        else mark
        for name, mark in usual.marks.items()
    }
    assert is_hopeless(estimated(replace(usual, marks=marks)), {})


def test_a_mouth_that_lost_no_bone_is_believed_as_the_population() -> None:
    film = film_of({})
    plain = estimate([evidence(film)], mouth_shapes(TEETH, VIEW.region), population(TEETH))
    assert not has_far_crests(plain)
    assert np.array_equal(estimated(film).covariance, plain.covariance)
