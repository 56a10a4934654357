"""Measurements of made-up marks, and how sure they are."""

from dataclasses import replace

import numpy as np
import pytest

from bitewright.exposing.landmarks import Landmarks, Origin, Status
from bitewright.exposing.scale import Scale
from bitewright.quality.criteria import Question
from bitewright.quality.measure import Measurements, measure
from bitewright.quality.rating import ContactState, rate
from bitewright.quality.views import view
from bitewright.quality.wanted import Wanted, wanted

VIEW = view("right-premolar")  # its front lies to the viewer's right
WANTED = replace(wanted(VIEW, [14, 15, 44, 45]), gap_surfaces=())
MAGNIFICATION, COSINE, ENAMEL_MM = 1.08, 0.9, 0.65
MARK_SD_MM, ENAMEL_SD_MM, MAGNIFICATION_SD = 0.04, 0.10, 0.02

POINTS = {
    "14.distal": (4.0, -2.0),
    "15.mesial": (4.6, -2.0),  # 0.6 mm over its neighbour on the receptor
    "44.distal": (5.0, 2.0),
    "45.mesial": (4.7, 2.0),  # 0.3 mm of space
    "14.distal.crest": (4.3, -7.0),
    "15.mesial.crest": (4.3, -8.0),
    "44.distal.crest": (4.8, 6.0),
    "45.mesial.crest": (4.8, 9.0),
}


def marks(points: dict[str, tuple[float, float]] = POINTS, **changes: object) -> Landmarks:
    at = np.array([list(points.values())])
    plain = Landmarks(
        names=tuple(points),
        points_receptor=at,
        status=np.full(at.shape[:2], Status.SEEN, dtype=np.int8),
        origin=Origin.MARKED,
        frame_margin_mm=np.minimum(20.0 - abs(at[..., 0]), 15.0 - abs(at[..., 1])),
        beam_margin_mm=np.full(at.shape[:2], 50.0),
        front_sign=1.0,
        half_size_mm=np.array([20.0, 15.0]),
        covariance_mm2=MARK_SD_MM**2 * np.eye(2 * len(points)),
    )
    return replace(plain, **changes)


def scale_of(want: Wanted, **changes: float) -> Scale:
    contacts = len(want.contacts)
    return Scale(
        magnification=np.full((1, contacts), MAGNIFICATION),
        cos_obliquity=np.full((1, contacts), COSINE),
        enamel_mm=np.full(contacts, ENAMEL_MM),
        **changes,
    )


def measured(landmarks: Landmarks | None = None, **changes: float) -> Measurements:
    return measure(landmarks or marks(), scale_of(WANTED, **changes), WANTED, block_mm=2.0)


def test_an_overlap_on_the_receptor_is_smaller_at_the_contact() -> None:
    """By the magnification, and by the cosine of the receptor's lean."""
    overlap = np.array([0.6, -0.3]) * COSINE / MAGNIFICATION
    assert measured().overlap_mm[0] == pytest.approx(overlap)
    assert measured().enamel_share[0] == pytest.approx(overlap / ENAMEL_MM)


def test_a_share_of_enamel_is_as_unsure_as_overlap_and_enamel_drawn_anew() -> None:
    """Against 200 000 marks, magnifications and enamels drawn about these."""
    found = measured(enamel_sd_mm=ENAMEL_SD_MM, magnification_sd=MAGNIFICATION_SD)
    rng = np.random.default_rng(1)
    receptor = 0.6 + MARK_SD_MM * rng.normal(size=(2, 200_000)).sum(axis=0)
    overlap = receptor * COSINE / rng.normal(MAGNIFICATION, MAGNIFICATION_SD, 200_000)
    share = overlap / rng.normal(ENAMEL_MM, ENAMEL_SD_MM, 200_000).clip(0.3)
    assert found.sd["overlap_mm"][0, 0] == pytest.approx(overlap.std(), rel=0.02)
    inner = np.diff(np.quantile(share, [0.1587, 0.8413]))[0] / 2
    assert found.sd["enamel_share"][0, 0] == pytest.approx(inner, rel=0.05)


def test_an_unknown_lean_costs_more_the_further_the_receptor_leans() -> None:
    """The cosine of 40 degrees, 3 degrees more or less, drawn anew; the marks are sure."""
    sure = marks(covariance_mm2=np.zeros((16, 16)))
    scale = replace(
        scale_of(WANTED, obliquity_sd_deg=3.0),
        cos_obliquity=np.full((1, 2), np.cos(np.deg2rad(40.0))),
    )
    found = measure(sure, scale, WANTED, block_mm=2.0)
    leans = np.random.default_rng(2).normal(40.0, 3.0, 100_000)
    overlap = 0.6 * np.cos(np.deg2rad(leans)) / MAGNIFICATION
    assert found.sd["overlap_mm"][0, 0] == pytest.approx(overlap.std(), rel=0.02)


def test_crests_are_clear_by_the_bone_shown_towards_the_roots() -> None:
    found = measured()
    assert WANTED.crests == tuple(list(POINTS)[4:])
    clear = np.array([15.0 - 7.0, 15.0 - 8.0, 15.0 - 6.0, 15.0 - 9.0]) / MAGNIFICATION
    assert found.crest_clearance_mm[0] == pytest.approx(clear)


@pytest.mark.parametrize(
    ("along", "edge"),
    [(14.0, 15.0), (15.0, 15.0), (18.0, 14.0), (19.0, 13.0), (20.0, 10.0)],
)
def test_a_crest_in_a_rounded_corner_is_clear_to_the_corner(along: float, edge: float) -> None:
    """A corner of 5 mm radius about (15, 10): its edge by the sides 3, 4 and 5 of a triangle."""
    places = POINTS | {"14.distal.crest": (along, -9.0), "45.mesial.crest": (-along, 14.5)}
    found = measured(marks(places, corner_radius_mm=5.0)).crest_clearance_mm[0]
    assert found[0] == pytest.approx((edge - 9.0) / MAGNIFICATION)
    assert found[3] == pytest.approx((edge - 14.5) / MAGNIFICATION)


def test_a_crest_is_clear_no_further_than_the_beam() -> None:
    beam = np.full((1, 8), 50.0)
    beam[0, 4] = 1.5
    found = measured(marks(beam_margin_mm=beam))
    assert found.crest_clearance_mm[0, 0] == pytest.approx(1.5 / MAGNIFICATION)


@pytest.mark.parametrize("gone", [Status.OUTSIDE, Status.CUT, Status.HIDDEN])
@pytest.mark.parametrize("other", [Status.SEEN, Status.SHOWN, Status.UNMARKED])
def test_a_contact_with_an_edge_off_the_image_is_not_shown_whatever_the_other_is(
    gone: Status, other: Status
) -> None:
    names = [name for name in POINTS if name != "15.mesial" or other is not Status.UNMARKED]
    at = marks({name: POINTS[name] for name in names})
    status = np.full((1, len(names)), Status.SEEN, dtype=np.int8)
    status[0, names.index("14.distal")] = gone
    if other is not Status.UNMARKED:
        status[0, names.index("15.mesial")] = other
    nowhere = at.frame_margin_mm.copy()
    nowhere[0, names.index("14.distal")] = np.nan
    found = measured(replace(at, status=status, frame_margin_mm=nowhere))
    assert found.contact_status[0].tolist() == [gone, Status.SEEN]
    assert found.contact_margin_mm[0, 0] < 0.0
    rating = rate(found, question=Question.ENAMEL)
    assert rating.states[0, 0] == ContactState.NOT_SHOWN


def test_a_contact_with_one_edge_marked_is_not_known() -> None:
    found = measured(marks({name: POINTS[name] for name in POINTS if name != "15.mesial"}))
    assert found.contact_status[0].tolist() == [Status.UNMARKED, Status.SEEN]
    assert np.isnan(found.contact_margin_mm[0, 0])


def test_a_contact_is_as_far_inside_as_its_worse_edge() -> None:
    beam = np.full((1, 8), 50.0)
    beam[0, 3] = 2.0
    status = np.full((1, 8), Status.SEEN, dtype=np.int8)
    status[0, 0] = Status.OUTSIDE
    found = measured(marks(beam_margin_mm=beam, status=status))
    assert found.contact_margin_mm[0] == pytest.approx([13.0, 2.0])
    assert found.contact_status[0].tolist() == [Status.OUTSIDE, Status.SEEN]
