"""The penumbra of a focal spot: worked by hand."""

import pytest

from bitewright.physics.penumbra import ImpossibleDistanceError, geometric_unsharpness_mm


@pytest.mark.parametrize(
    ("source_receptor_mm", "object_receptor_mm", "expected_mm"),
    [(400.0, 10.0, 0.0179), (200.0, 10.0, 0.0368), (200.0, 20.0, 0.0778)],
)
def test_unsharpness_of_a_focal_spot_of_0_7_mm(
    source_receptor_mm: float, object_receptor_mm: float, expected_mm: float
) -> None:
    ours_mm = geometric_unsharpness_mm(
        focal_spot_mm=0.7,
        source_receptor_mm=source_receptor_mm,
        object_receptor_mm=object_receptor_mm,
    )
    assert ours_mm == pytest.approx(expected_mm, abs=5e-5)


@pytest.mark.parametrize("object_receptor_mm", [-1.0, 200.0, 300.0, float("nan")])
def test_the_object_must_lie_between(object_receptor_mm: float) -> None:
    with pytest.raises(ImpossibleDistanceError):
        geometric_unsharpness_mm(
            focal_spot_mm=0.7, source_receptor_mm=200.0, object_receptor_mm=object_receptor_mm
        )
