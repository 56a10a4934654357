"""Arch curves have the ends and the symmetry their equations are chosen for."""

import numpy as np
import pytest

from bitewright.mouth.arch_curve import ArchCurve, beta_depth_mm, polynomial_coefficients


def test_the_sixth_order_arch_passes_through_its_canine_and_molar() -> None:
    canine_mm, molar_mm = (17.7, 8.0), (26.9, 31.6)
    a, b = polynomial_coefficients(canine_mm=canine_mm, molar_mm=molar_mm)
    for across, back in (canine_mm, molar_mm):
        assert a * across**6 + b * across**2 == pytest.approx(back)
    curve = ArchCurve.polynomial(canine_mm=canine_mm, molar_mm=molar_mm)
    near = np.hypot(*(curve.points_mm - canine_mm).T).min()
    assert near < 0.5 * np.hypot(*np.diff(curve.points_mm[1:-1], axis=0).T).max()


def test_the_beta_arch_has_its_depth_in_front_and_ends_at_its_width() -> None:
    across = np.linspace(0.0, 26.75, 50)
    depth = beta_depth_mm(across, width_mm=53.5, depth_mm=42.0)
    assert depth[0] == pytest.approx(42.0, abs=0.001)
    assert depth[-1] == pytest.approx(0.0, abs=1e-9)
    assert (np.diff(depth) < 0).all()
    assert depth == pytest.approx(beta_depth_mm(-across, width_mm=53.5, depth_mm=42.0))
