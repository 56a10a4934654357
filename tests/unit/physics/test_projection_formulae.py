"""Magnification, unsharpness, foreshortening, parallax: worked by hand."""

import pytest

from bitewright.physics.projection_formulae import (
    ImpossibleDistanceError,
    foreshortened_mm,
    geometric_unsharpness_mm,
    magnification,
    parallax_mm,
    true_size_mm,
)


@pytest.mark.parametrize(
    ("source_receptor_mm", "expected"), [(400.0, 400.0 / 390.0), (200.0, 1.0526)]
)
def test_magnification_of_an_object_10_mm_from_the_receptor(
    source_receptor_mm: float, expected: float
) -> None:
    ours = magnification(source_receptor_mm=source_receptor_mm, object_receptor_mm=10.0)
    assert ours == pytest.approx(expected, abs=5e-5)


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


def test_true_size_undoes_magnification() -> None:
    assert true_size_mm(41.0, 1.0526) == pytest.approx(38.95, abs=0.005)


def test_a_tilt_of_60_degrees_halves_the_image() -> None:
    assert foreshortened_mm(20.0, tilt_deg=60.0) == pytest.approx(10.0)


def test_parallax_of_15_and_10_mm_at_15_degrees() -> None:
    assert parallax_mm(depth_difference_mm=5.0, turn_deg=15.0) == pytest.approx(1.34, abs=0.005)


@pytest.mark.parametrize("object_receptor_mm", [-1.0, 200.0, 300.0, float("nan")])
def test_the_object_must_lie_between(object_receptor_mm: float) -> None:
    with pytest.raises(ImpossibleDistanceError):
        magnification(source_receptor_mm=200.0, object_receptor_mm=object_receptor_mm)
