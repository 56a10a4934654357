"""Thinned surfaces stay closed and keep their volume."""

import pytest

from bitewright.solids.thinned import thinned
from tests.scenes import usual_teeth


@pytest.mark.parametrize("tolerance_mm", [0.01, 0.03])
def test_a_thinned_tooth_is_closed_and_as_large(tolerance_mm: float) -> None:
    (tooth,) = usual_teeth((46,))
    for mesh in (tooth.outer, tooth.dentine, tooth.pulp):
        few = thinned(mesh, tolerance_mm)
        assert few.unmatched_edge_count() == 0
        assert len(few.triangles) < 0.95 * len(mesh.triangles)
        assert few.volume_mm3 == pytest.approx(mesh.volume_mm3, rel=0.015)
