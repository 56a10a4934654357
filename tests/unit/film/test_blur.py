"""The quick blur is scipy's, to float32."""

from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest
from scipy.ndimage import gaussian_filter

from bitewright.film.blur import between_blocks, block_means, blurred
from bitewright.row_bands import Threads

IMAGE = np.random.default_rng(5).random((41, 67), dtype=np.float32)


@pytest.mark.parametrize("sigma", [0.2, 0.5, 1.0, 2.7, 15.0])
def test_it_blurs_as_scipy_does(sigma: float) -> None:
    expected = gaussian_filter(IMAGE.astype(np.float64), sigma, mode="nearest")
    np.testing.assert_allclose(blurred(IMAGE, sigma), expected, atol=1e-6)


def test_no_deviation_leaves_the_image_but_gives_another_array() -> None:
    same = blurred(IMAGE, 0.0)
    assert np.array_equal(same, IMAGE)
    assert not np.shares_memory(same, IMAGE)


def test_threads_change_no_bit() -> None:
    with ThreadPoolExecutor(3) as pool:
        shared = blurred(IMAGE, 1.3, threads=Threads(count=3, map=pool.map))
    assert np.array_equal(shared, blurred(IMAGE, 1.3))


@pytest.mark.parametrize("block", [1, 4, 10, 100])
def test_blocks_keep_the_mean_and_straight_slopes(block: int) -> None:
    """A plane comes back between the outermost middles; blocks at the edges are cut short."""
    rows, columns = np.indices((43, 67))
    plane = (0.3 * rows - 0.2 * columns).astype(np.float32)
    back = between_blocks(block_means(plane, block), block, plane.shape)
    inner = np.s_[block:-block, block:-block] if block < 20 else np.s_[:0]
    np.testing.assert_allclose(back[inner], plane[inner], atol=1e-4)
    even = np.full_like(plane, 0.7)
    np.testing.assert_allclose(between_blocks(block_means(even, block), block, even.shape), even)
