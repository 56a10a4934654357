"""Sections: our monotone curve is the published one."""

import numpy as np
from scipy.interpolate import PchipInterpolator

from bitewright.mouth.crown_sections import facet_depth_mm, monotone_cubic


def test_monotone_cubic_is_scipys_pchip() -> None:
    rng = np.random.default_rng(4)
    knots = np.sort(rng.random((20, 9)), axis=1)
    values = rng.random((20, 9))
    at = np.sort(np.clip(rng.random((20, 50)), knots[:, :1], knots[:, -1:]), axis=1)
    ours = monotone_cubic(knots, values, at)
    for row in range(20):
        assert np.allclose(
            ours[row], PchipInterpolator(knots[row], values[row])(at[row]), atol=1e-12
        )


def test_facet_depth_of_a_circle_is_its_sagitta() -> None:
    radius, facet = 4.0, 3.0
    depth = facet_depth_mm(*(np.array([x]) for x in (radius, radius, 2.0, facet)))
    assert np.allclose(depth, radius - np.sqrt(radius**2 - (facet / 2) ** 2))
