"""Projection against rays traced one by one."""

import numpy as np
import pytest

from bitewright.exposing.aim import Aim
from bitewright.exposing.exposure import Exposures, expose
from bitewright.exposing.landmarks import Landmarks
from bitewright.exposing.placement import Placement
from bitewright.exposing.project import _widest_row, beam_left_mm, project
from bitewright.exposing.scale import Scale
from bitewright.exposing.targets import Targets, targets
from bitewright.mouth.jaws import opened
from tests.scenes import station_of

Floats = np.ndarray


def exposed(view_name: str, tube: str = "rectangular-300", receptor: str = "sensor-2") -> Exposures:
    aim = Aim(ring_offset_deg=6.0, vertical_deg=7.0, tube_forward_mm=4.0)
    placement = Placement(lingual_mm=6.0, turn_deg=5.0, tilt_deg=3.0, roll_deg=-2.0)
    return expose(station_of(view_name, receptor, tube=tube), placement, aim)


def projected(exposures: Exposures) -> tuple[Targets, Landmarks, Scale]:
    at = exposures.station
    wanted = targets(at.outlines, at.region)
    return wanted, *project(exposures, wanted)


def traced(exposures: Exposures, points: Floats) -> Floats:
    """Where rays through points (P, 3) meet the receptor's plane, (P, 2)."""
    source, axes = exposures.beam.sources_mouth[0], exposures.seat.axes_mouth[0]
    centre = exposures.seat.centres_mouth[0]
    ray = points - source
    reach = ((centre - source) @ axes[2]) / (ray @ axes[2])
    return (source + reach[:, None] * ray - centre) @ axes[:2].T


def as_they_stand(exposures: Exposures, points: Floats, *, lower: Floats) -> Floats:
    """Points with those of the lower jaw carried by its opening."""
    placed, at = np.array(points), exposures.station
    angle = float(exposures.seat.opening_deg[0])
    placed[lower] = opened(placed[lower], at.outlines.hinge_mm, angle)
    return placed


@pytest.mark.parametrize("view_name", ["right-premolar", "left-molar", "right-molar-vertical"])
def test_points_lie_where_their_rays_meet_the_receptor(view_name: str) -> None:
    exposures = exposed(view_name)
    wanted, landmarks, _ = projected(exposures)
    points = as_they_stand(exposures, wanted.points_mouth, lower=wanted.point_is_lower)
    expected = traced(exposures, points)
    found = landmarks.points_receptor[0, len(wanted.flanks_mouth) :]
    assert np.allclose(found, expected, atol=1e-9)


@pytest.mark.parametrize("view_name", ["right-premolar", "left-molar"])
def test_a_free_flanks_edge_is_its_outermost_image(view_name: str) -> None:
    """Among the grid's points that lie no higher or lower than its middle line."""
    exposures = exposed(view_name)
    wanted, landmarks, _ = projected(exposures)
    plan = exposures.station.seating
    reach = 10.0 * (plan.frame.front_mouth + np.array([0.0, 0.0, plan.slope]))
    ends = plan.frame.middle_mouth + np.outer([-1.0, 1.0], reach)
    along = np.diff(traced(exposures, ends), axis=0)[0]
    along /= np.linalg.norm(along)
    free = range(2 * len(wanted.sites), len(wanted.flanks_mouth))
    assert len(free) >= 2
    for s in free:
        flank = wanted.flanks_mouth[s]
        lower = np.full(flank[..., 0].size, wanted.flank_is_lower[s])
        placed = as_they_stand(exposures, flank.reshape(-1, 3), lower=lower)
        image = traced(exposures, placed).reshape(*flank.shape[:2], 2)
        height = image @ [-along[1], along[0]]
        middle = height[:, (flank.shape[1] - 2) // 2]
        within = (height >= middle.min()) & (height <= middle.max())
        furthest = (wanted.outward[s] * (image @ along))[within].max()
        found = wanted.outward[s] * (landmarks.points_receptor[0, s] @ along)
        assert found == pytest.approx(furthest, abs=0.03)


@pytest.mark.parametrize("tube", ["rectangular-300", "round-300", "round-200"])
def test_beam_margins_are_what_the_tubes_end_leaves(tube: str) -> None:
    """Rays cut at the tube's end, their distance to its edge carried on to the receptor."""
    exposures = exposed("right-premolar", tube)
    _, landmarks, _ = projected(exposures)
    beam, seat = exposures.beam, exposures.seat
    uv = landmarks.points_receptor[0]
    places = seat.centres_mouth[0] + uv @ seat.axes_mouth[0, :2]
    ray = places - beam.sources_mouth[0]
    grown = ray @ beam.rays_mouth[0] / beam.end_mm
    at_end = ray / grown[:, None]
    across, down = at_end @ beam.across_mouth[0], at_end @ beam.down_mouth[0]
    inside = np.minimum(beam.half_across_mm - abs(across), beam.half_down_mm - abs(down))
    if beam.is_round:
        inside = beam.half_across_mm - np.hypot(across, down)
    assert beam.is_round == tube.startswith("round")
    assert np.allclose(landmarks.beam_margin_mm[0], inside * grown, atol=1e-9)


def test_a_scale_is_that_of_a_short_length_at_the_contact() -> None:
    """Moved a hundredth of a millimetre square to its ray along the row, its image moves so far."""
    exposures = exposed("right-premolar")
    wanted, landmarks, scale = projected(exposures)
    source, frame = exposures.beam.sources_mouth[0], exposures.station.seating.frame
    for c, site in enumerate(wanted.sites):
        point = as_they_stand(
            exposures, site.point_mouth[None], lower=np.array([site.pair[0] // 10 in (3, 4)])
        )
        ray = (point[0] - source) / np.linalg.norm(point[0] - source)
        aside = frame.front_mouth - (frame.front_mouth @ ray) * ray
        step = 0.01 * aside / np.linalg.norm(aside)
        image = traced(exposures, np.concatenate([point, point + step]))
        moved = np.linalg.norm(image[1] - image[0])
        assert 0.01 / moved == pytest.approx(scale.object_per_receptor[0, c], rel=0.01)
    assert landmarks.front_sign == 1.0


def test_the_beam_left_is_least_at_a_rounded_corner() -> None:
    exposures = exposed("left-premolar", receptor="plate-2")
    at, beam, seat = exposures.station, exposures.beam, exposures.seat
    radius = at.receptor.corner_radius_mm
    around = np.deg2rad(np.arange(0.0, 90.0, 0.5))
    left = []
    for u in (-1.0, 1.0):
        for v in (-1.0, 1.0):
            corner = np.array([at.half_width_mm, at.half_height_mm]) - radius
            edge = corner + radius * np.stack([np.cos(around), np.sin(around)], axis=1)
            places = seat.centres_mouth[0] + (edge * [u, v]) @ seat.axes_mouth[0, :2]
            ray = places - beam.sources_mouth[0]
            grown = ray @ beam.rays_mouth[0] / beam.end_mm
            across, down = ray @ beam.across_mouth[0], ray @ beam.down_mouth[0]
            inside = np.minimum(
                beam.half_across_mm * grown - abs(across), beam.half_down_mm * grown - abs(down)
            )
            left.append(inside.min())
    # Taken at one place of each corner, in its middle.
    assert min(left) == pytest.approx(beam_left_mm(exposures)[0], abs=0.3 * radius)


def rows(along: list[float], heights: list[float]) -> Floats:
    """A crown's edge: place along, height and magnification of each row."""
    return np.array([along, heights, np.linspace(1.0, 1.1, len(along))]).T


@pytest.mark.parametrize("is_upward", [True, False])
def test_overlap_is_taken_at_the_height_where_it_is_widest(*, is_upward: bool) -> None:
    """Against every row of the front tooth looked up on the back one's edge."""
    rng = np.random.default_rng(1)
    for _ in range(50):
        heights = np.sort(rng.uniform(-4.0, 4.0, (2, 9)), axis=1)[:, :: 1 if is_upward else -1]
        ahead, back = (rows(list(rng.normal(0.0, 1.0, 9)), list(each)) for each in heights)
        rising = back[:: 1 if is_upward else -1]
        along = np.interp(ahead[:, 1], rising[:, 1], rising[:, 0])
        ratio = np.interp(ahead[:, 1], rising[:, 1], rising[:, 2])
        k = int((along - ahead[:, 0]).argmax())
        expected = (ahead[k, 0], along[k], ahead[k, 1], (ahead[k, 2] + ratio[k]) / 2)
        assert _widest_row(ahead, back) == pytest.approx(expected)
