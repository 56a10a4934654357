"""What must hold for every projection under movement, mirror and scale."""

from dataclasses import replace

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from bitewright.exposing.aim import Aim
from bitewright.exposing.exposure import Exposures, expose
from bitewright.exposing.placement import Placement
from bitewright.exposing.project import project
from bitewright.exposing.targets import Targets, targets
from bitewright.mouth.drawn_mouth import drawn_mouth
from bitewright.mouth.outlines import build_outlines
from bitewright.quality.predicted import asked, predict
from bitewright.quality.views import mirrored_view, view, view_names
from bitewright.space import Pose, rotation_about_axis
from tests.scenes import station_in, station_of

MIRROR_TOLERANCE_MM = 1e-3
"""Contacts are searched in steps from right to left, so their last micrometre is not symmetric."""

angles = st.floats(-12.0, 12.0)
shifts = st.floats(-5.0, 5.0)


def exposure_of(
    view_name: str, forward: float, turn: float, ring: float, vertical: float
) -> Exposures:
    """One exposure in the standard mouth."""
    return expose(
        station_of(view_name),
        Placement(forward_mm=forward, lingual_mm=4.0, turn_deg=turn),
        Aim(ring_offset_deg=ring, vertical_deg=vertical),
    )


@settings(max_examples=25)
@given(shifts, angles, angles, angles, st.lists(st.floats(-90, 90), min_size=3, max_size=3), angles)
def test_moving_everything_together_changes_nothing(
    forward: float, turn: float, ring: float, vertical: float, shift: list[float], spin: float
) -> None:
    exposures = closed(exposure_of("right-premolar", forward, turn, ring, vertical))
    pose = Pose(rotation_about_axis([1.0, 2.0, 3.0], 5 * spin), np.array(shift))
    wanted = targets(exposures.station.outlines, exposures.station.region)
    still, _ = project(exposures, wanted)
    moved, _ = project(carried(exposures, pose), carried_targets(wanted, pose))
    assert np.allclose(still.points_receptor, moved.points_receptor, atol=1e-6)
    assert np.allclose(still.beam_margin_mm, moved.beam_margin_mm, atol=1e-6)


def closed(exposures: Exposures) -> Exposures:
    """The same exposure without what hangs on the mouth's own axes: hinge and slope."""
    at = exposures.station
    frame = at.seating.frame
    along = frame.front_mouth + np.array([0.0, 0.0, at.seating.slope])
    seating = replace(at.seating, slope=0.0, frame=replace(frame, front_mouth=along))
    return replace(
        exposures,
        station=replace(at, seating=seating),
        seat=replace(exposures.seat, opening_deg=0.0 * exposures.seat.opening_deg),
    )


def carried(exposures: Exposures, pose: Pose) -> Exposures:
    """Receptor, tube and region carried by a pose."""
    seat, beam, at = exposures.seat, exposures.beam, exposures.station
    frame = at.seating.frame
    frame = replace(
        frame,
        front_mouth=pose.directions(frame.front_mouth),
        middle_mouth=pose.points(frame.middle_mouth),
    )
    return Exposures(
        station=replace(at, seating=replace(at.seating, frame=frame)),
        seat=replace(
            seat,
            axes_mouth=pose.directions(seat.axes_mouth),
            centres_mouth=pose.points(seat.centres_mouth),
        ),
        beam=replace(
            beam,
            sources_mouth=pose.points(beam.sources_mouth),
            rays_mouth=pose.directions(beam.rays_mouth),
            across_mouth=pose.directions(beam.across_mouth),
            down_mouth=pose.directions(beam.down_mouth),
        ),
    )


def carried_targets(wanted: Targets, pose: Pose) -> Targets:
    """Flanks and points carried by a pose."""
    return replace(
        wanted,
        flanks_mouth=pose.points(wanted.flanks_mouth),
        points_mouth=pose.points(wanted.points_mouth),
    )


@settings(max_examples=15)
@given(st.floats(0.5, 2.0), shifts, angles, angles)
def test_scaling_scales(factor: float, forward: float, ring: float, vertical: float) -> None:
    exposures = closed(exposure_of("right-molar", forward, 0.0, ring, vertical))
    seat, beam = exposures.seat, exposures.beam
    scaled = replace(
        exposures,
        seat=replace(seat, centres_mouth=factor * seat.centres_mouth),
        beam=replace(beam, sources_mouth=factor * beam.sources_mouth),
    )
    wanted = targets(exposures.station.outlines, exposures.station.region)
    larger = replace(
        wanted,
        flanks_mouth=factor * wanted.flanks_mouth,
        points_mouth=factor * wanted.points_mouth,
    )
    small, scale = project(exposures, wanted)
    large, large_scale = project(scaled, larger)
    assert np.allclose(factor * small.points_receptor, large.points_receptor, atol=1e-6)
    assert np.allclose(scale.magnification, large_scale.magnification)


@settings(max_examples=15)
@given(st.sampled_from(view_names()), st.integers(0, 50), shifts, angles, angles, angles)
def test_a_mirrored_mouth_gives_mirrored_numbers(
    name: str, seed: int, forward: float, turn: float, ring: float, vertical: float
) -> None:
    mouth = drawn_mouth(seed)
    here = view(name)
    there = mirrored_view(here)
    placement = Placement(forward_mm=forward, lingual_mm=5.0, turn_deg=turn)
    aim = Aim(ring_offset_deg=ring, vertical_deg=vertical)
    found = []
    for which, each in ((here, mouth), (there, mouth.mirrored())):
        at = station_in(each, which.name)
        found.append(predict(expose(at, placement, aim), asked(which, at)))
    one, other = found
    assert np.allclose(
        one.measurements.overlap_mm, other.measurements.overlap_mm, atol=MIRROR_TOLERANCE_MM
    )
    assert np.allclose(
        one.measurements.crest_clearance_mm,
        other.measurements.crest_clearance_mm,
        atol=MIRROR_TOLERANCE_MM,
    )
    assert np.allclose(
        one.measurements.occlusal_slope_deg,
        other.measurements.occlusal_slope_deg,
        atol=MIRROR_TOLERANCE_MM,
    )
    assert (one.rating.outcomes == other.rating.outcomes).all()
    mirror = one.landmarks.points_receptor * [-1.0, 1.0]
    names = [mirrored_name(name) for name in one.landmarks.names]
    columns = [other.landmarks.column[name] for name in names]
    assert np.allclose(
        mirror, other.landmarks.points_receptor[:, columns], atol=MIRROR_TOLERANCE_MM
    )


def mirrored_name(name: str) -> str:
    """The landmark on the other side: 16.mesial and 26.mesial."""
    return {"1": "2", "2": "1", "3": "4", "4": "3"}[name[0]] + name[1:]


def test_mirroring_a_mouth_twice_gives_it_back() -> None:
    mouth = drawn_mouth(5)
    assert mouth.mirrored().mirrored() == mouth
    assert np.allclose(
        build_outlines(mouth).flanks_mouth[:14, ..., 0].min(),
        -build_outlines(mouth.mirrored()).flanks_mouth[:14, ..., 0].max(),
    )


@settings(max_examples=25)
@given(st.sampled_from(view_names()), shifts, angles, angles, angles)
def test_every_receptor_pose_is_a_rotation(
    name: str, forward: float, turn: float, ring: float, vertical: float
) -> None:
    exposures = exposure_of(name, forward, turn, ring, vertical)
    for axes, centre in zip(exposures.seat.axes_mouth, exposures.seat.centres_mouth, strict=True):
        pose = Pose(axes.T, centre)  # refuses anything but a rotation
        assert np.isclose(np.linalg.det(pose.rotation), 1.0)
    beam_axes = np.stack(
        [exposures.beam.across_mouth, exposures.beam.down_mouth, exposures.beam.rays_mouth], axis=1
    )
    assert np.allclose(np.linalg.det(beam_axes), 1.0)


def test_many_at_once_is_the_same_as_one_by_one() -> None:
    at = station_of("left-molar", "sensor-2")
    rng = np.random.default_rng(1)
    places, rings = rng.normal(0, 3, 7), rng.normal(0, 8, 7)
    wanted = targets(at.outlines, at.region)
    together, _ = project(
        expose(at, Placement(forward_mm=places, lingual_mm=6.0), Aim(ring_offset_deg=rings)), wanted
    )
    for e in range(7):
        alone, _ = project(
            expose(
                at,
                Placement(forward_mm=places[e], lingual_mm=6.0),
                Aim(ring_offset_deg=rings[e]),
            ),
            wanted,
        )
        assert np.allclose(alone.points_receptor[0], together.points_receptor[e], atol=1e-9)
