"""A region's own directions, where one of its rows has no teeth."""

from dataclasses import replace

import pytest

from bitewright.exposing.region import Region, Zone
from bitewright.exposing.region_frame import RegionFrame, region_frame
from bitewright.mouth.numbering import Side
from bitewright.mouth.outlines import build_outlines
from bitewright.mouth.standard_mouth import standard_mouth

RIGHT = Region(side=Side.RIGHT, zone=Zone.MOLAR)


def frame_without(*quadrants: int) -> RegionFrame:
    base = standard_mouth()
    teeth = {code: tooth for code, tooth in base.teeth.items() if code // 10 not in quadrants}
    return region_frame(build_outlines(replace(base, teeth=teeth, contacts={})), RIGHT)


def test_a_row_without_teeth_takes_its_level_and_slope_from_the_other() -> None:
    whole, no_lower, no_upper = frame_without(), frame_without(4), frame_without(1)
    assert whole.upper_slope != pytest.approx(whole.lower_slope, abs=1e-3)
    assert no_lower.lower_slope == no_lower.upper_slope
    assert no_lower.upper_slope == pytest.approx(whole.upper_slope, abs=1e-3)
    assert no_lower.lower_rest_mouth[2] == no_lower.middle_mouth[2]
    assert no_upper.upper_slope == no_upper.lower_slope
    assert no_upper.middle_mouth[2] == no_upper.lower_rest_mouth[2]
