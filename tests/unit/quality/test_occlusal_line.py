"""The occlusal plane of marks laid on lines that are known."""

import numpy as np
import pytest

from bitewright.exposing.landmarks import Landmarks, Origin, Status
from bitewright.quality.occlusal_line import OcclusalLine, occlusal_line
from bitewright.quality.views import view
from bitewright.quality.wanted import wanted

PLACES = {14: 8.0, 15: 2.0, 16: -6.0, 44: 9.0, 45: 2.0, 46: -7.0}


def line(
    view_name: str = "right-premolar",
    *,
    rise: float = 0.0,
    upper_mm: float = -3.0,
    lower_mm: float = 2.0,
    cusps: bool = True,
    lingual_mm: float = 0.0,
    without: tuple[str, ...] = (),
    lowered: dict[str, float] | None = None,
) -> OcclusalLine:
    """Contacts of both rows 4 mm beyond the cusps; ``rise`` is the lines' v for one u.

    Marks are left out, or lowered by so much.
    """
    of = view(view_name)
    sign = of.region.front_sign
    right = sign > 0
    marks: dict[str, tuple[float, float]] = {}
    for code, place in PLACES.items():
        tooth, u = (code if right else code + (10 if code < 20 else -10)), sign * place
        height, beyond = (upper_mm, -4.0) if code < 20 else (lower_mm, 4.0)
        if cusps:
            marks[f"{tooth}.buccal.cusp"] = (u, height + rise * u)
            marks[f"{tooth}.lingual.cusp"] = (u, height + lingual_mm + rise * u)
        for surface, by in (("mesial", 3.0 * sign), ("distal", -3.0 * sign)):
            marks[f"{tooth}.{surface}"] = (u + by, height + beyond + rise * (u + by))
    for name in without:
        del marks[name]
    for name, by in (lowered or {}).items():
        marks[name] = (marks[name][0], marks[name][1] + by)
    points = np.array([list(marks.values())])
    nothing = np.zeros(points.shape[:2])
    landmarks = Landmarks(
        names=tuple(marks),
        points_receptor=points,
        status=np.full(points.shape[:2], Status.SEEN, dtype=np.int8),
        origin=Origin.MARKED,
        frame_margin_mm=nothing,
        beam_margin_mm=nothing,
        front_sign=sign,
        half_size_mm=np.array([20.0, 15.0]),
    )
    return occlusal_line(landmarks, points, wanted(of, {int(name[:2]) for name in marks}))


def test_level_rows_are_level_and_so_far_apart() -> None:
    found = line()
    assert found.front[0] == pytest.approx([1.0, 0.0])
    assert found.slope_deg[0] == pytest.approx(0.0)
    assert found.separation_mm[0] == pytest.approx(5.0)
    assert found.offset_mm[0] == pytest.approx(-0.5)


@pytest.mark.parametrize("view_name", ["right-premolar", "left-premolar"])
def test_a_front_end_that_dips_is_a_positive_slope_on_either_side(view_name: str) -> None:
    """The front lies to the viewer's right on the right side, to the left on the left one."""
    sign = view(view_name).region.front_sign
    found = line(view_name, rise=sign * np.tan(np.deg2rad(6.0)))
    assert found.slope_deg[0] == pytest.approx(6.0)
    dip = np.deg2rad(6.0)
    assert found.front[0] == pytest.approx([sign * np.cos(dip), np.sin(dip)])
    # Rows 5 mm apart straight down are nearer than that across their own direction.
    assert found.separation_mm[0] == pytest.approx(5.0 * np.cos(dip))
    assert found.offset_mm[0] == pytest.approx(-0.5)


def test_without_cusps_contacts_give_slope_and_offset() -> None:
    found = line(rise=0.1, cusps=False)
    assert found.slope_deg[0] == pytest.approx(np.rad2deg(np.arctan(0.1)))
    assert found.offset_mm[0] == pytest.approx((-3.0 - 4.0 + 2.0 + 4.0) / 2.0)
    assert np.isnan(found.separation_mm[0])


def test_buccal_cusps_count_and_lingual_ones_only_where_there_are_no_others() -> None:
    assert line(lingual_mm=1.0).separation_mm[0] == pytest.approx(5.0)
    only = tuple(f"{code}.buccal.cusp" for code in (14, 15, 16))
    found = line(lingual_mm=1.0, without=only)
    assert found.separation_mm[0] == pytest.approx(5.0 - 1.0)


def test_both_rows_share_one_slope_by_least_squares() -> None:
    """Against a fit of one slope and two heights to the middles of contacts off their lines."""
    lowered = {"14.distal": 0.8, "46.mesial": -1.1, "15.mesial": 0.3}
    found = line(rise=0.05, cusps=False, lowered=lowered)
    rows, heights = [], []
    for upper, (front, back) in ((1, (14, 15)), (1, (15, 16)), (0, (44, 45)), (0, (45, 46))):
        ends = (PLACES[front] - 3.0, f"{front}.distal"), (PLACES[back] + 3.0, f"{back}.mesial")
        usual = -7.0 if upper else 6.0
        rows.append([np.mean([u for u, _ in ends]), upper, 1 - upper])
        heights.append(np.mean([usual + 0.05 * u + lowered.get(name, 0.0) for u, name in ends]))
    slope, *_ = np.linalg.lstsq(np.array(rows), np.array(heights))[0]
    assert found.slope_deg[0] == pytest.approx(np.rad2deg(np.arctan(slope)))


def test_the_cusp_that_stands_out_most_near_the_middle_holds_the_block() -> None:
    """A block reaches 7.5 mm from the image's middle: 16 lies at 6 mm, 14 and 44 beyond."""
    assert line(lowered={"16.buccal.cusp": 1.0}).separation_mm[0] == pytest.approx(4.0)
    assert line(lowered={"46.buccal.cusp": -1.0}).separation_mm[0] == pytest.approx(4.0)
    beyond = line(lowered={"14.buccal.cusp": 1.0, "44.buccal.cusp": -1.0})
    assert beyond.separation_mm[0] > 4.5  # only by the slope they give, not by themselves


def test_a_missing_row_is_unknown_and_leaves_the_other_its_place() -> None:
    lower = tuple(f"{code}.{name}" for code in (44, 45, 46) for name in ("mesial", "distal"))
    cusps = tuple(f"{code}.{name}.cusp" for code in (44, 45, 46) for name in ("buccal", "lingual"))
    found = line(rise=0.1, without=(*lower, *cusps))
    assert found.slope_deg[0] == pytest.approx(np.rad2deg(np.arctan(0.1)))
    assert np.isnan(found.separation_mm[0])
    assert np.isnan(found.offset_mm[0])
