"""Edges of a receptor against teeth: in their order, from the front of the mouth to the back."""

import pytest

from bitewright.exposing.aim import Aim
from bitewright.exposing.exposure import expose
from bitewright.exposing.placement import Placement
from bitewright.exposing.receptor_edges import EdgeName, edge_places
from tests.scenes import station_of


@pytest.mark.parametrize("view", ["right-premolar", "left-premolar"])
@pytest.mark.parametrize("upper", [True, False])
def test_edges_follow_one_another_to_the_back(view: str, *, upper: bool) -> None:
    at = station_of(view, "sensor-2")
    exposure = expose(at, Placement(lingual_mm=6.0), Aim())
    teeth = {
        place.edge: place.tooth % 10 for place in edge_places(exposure) if place.upper is upper
    }
    order = [teeth[edge] for edge in EdgeName]
    assert order == sorted(order)
    assert teeth[EdgeName.CASING_BACK] - teeth[EdgeName.CASING_FRONT] >= 3
