"""What must hold of borders of crowns, however a film was read out."""

import numpy as np
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.ndimage import gaussian_filter

from bitewright.marking.crown_edge import SEARCH_MM, CrownEdge, crown_edge

ROWS_AND_COLUMNS = (100, 240)
LITTLE = 1e-5
"""By such a share two files tell the pixel size of one receptor otherwise."""


@settings(max_examples=150, deadline=None)
@given(
    pixel_mm=st.sampled_from([0.02, 0.025, 0.03, 0.04, 0.05, 0.06]),
    blur_mm=st.floats(0.0, 0.15),
    step=st.integers(500, 20000),
    noise=st.integers(0, 1500),
    quarters=st.tuples(st.integers(-40, 40), st.integers(-4, 4)),
    second=st.tuples(st.floats(-0.9, 0.9), st.sampled_from([0.37, 0.71])),
    seed=st.integers(0, 999),
    share=st.sampled_from([1.0 - LITTLE, 1.0 + LITTLE]),
)
def test_a_pixel_size_told_a_little_otherwise_moves_no_border(
    pixel_mm: float,
    blur_mm: float,
    step: int,
    noise: int,
    quarters: tuple[int, int],
    second: tuple[float, float],
    seed: int,
    share: float,
) -> None:
    """Two falling borders, one of them lower: now alone, now rivals, now one slow slope.

    None lies just at the end of the search, for there any limit turns over.
    """
    rows, columns = ROWS_AND_COLUMNS
    film = np.full((rows, columns), 42000.0)
    film[:, columns // 2 :] -= step
    beside_px = round(second[0] / pixel_mm)
    for border_px in (0, beside_px):
        away_mm = pixel_mm * (border_px - quarters[0] / 4)
        assume(abs(abs(away_mm) - SEARCH_MM) > 0.1 * pixel_mm)
    film[:, columns // 2 + beside_px :] -= second[1] * step
    film = gaussian_filter(film, blur_mm / pixel_mm)
    film += np.random.default_rng(seed).normal(0.0, noise, film.shape)
    pixels = film.round().astype(np.uint16)
    at_px = (columns / 2 + quarters[0] / 4, rows / 2 + quarters[1] / 4)
    found, again = (
        crown_edge(pixels, at_px, pixel_mm=each, outward=1.0)
        for each in (pixel_mm, pixel_mm * share)
    )
    assert (found is None) == (again is None)
    if isinstance(found, CrownEdge) and isinstance(again, CrownEdge):
        assert abs(found.shift_mm - again.shift_mm) < 1e-3
