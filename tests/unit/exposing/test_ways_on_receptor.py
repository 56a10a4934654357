"""Which way is outward and rootward on a receptor, beside where a modelled mouth is thrown."""

import numpy as np
import pytest

from bitewright.exposing.project import project
from bitewright.exposing.targets import targets
from bitewright.exposing.ways_on_receptor import outward_sign, rootward_sign
from tests.scenes import station_of
from tests.unit.closed_spaces import swung


@pytest.mark.parametrize("view_name", ["right-premolar", "left-premolar"])
def test_roots_lie_rootward_and_sides_outward_on_a_modelled_film(view_name: str) -> None:
    at = station_of(view_name)
    landmarks, _ = project(swung(at, 0.0), targets(at.outlines, at.region))
    tooth = {"right-premolar": ("15", "45"), "left-premolar": ("25", "35")}[view_name]
    for code in tooth:
        mesial, distal, crest = (
            landmarks.points(f"{code}.{which}")[0] for which in ("mesial", "distal", "mesial.crest")
        )
        to_root, to_outside = crest[1] - mesial[1], mesial[0] - distal[0]
        assert np.sign(to_root) == rootward_sign(f"{code}.mesial.crest")
        assert np.sign(to_outside) == outward_sign(f"{code}.mesial", landmarks.front_sign)
        assert np.sign(-to_outside) == outward_sign(f"{code}.distal.cej", landmarks.front_sign)
