"""How grey falls at a contact is measured on pictures whose grey is known."""

import numpy as np
import pytest

from builders.contact_darkness import fall_at, falls

PIXEL_MM = 0.05
CROWN, BACKGROUND = 200.0, 20.0


def two_crowns(share: float, apart_mm: float) -> np.ndarray:
    """Two bright crowns, darker between them by a share of the way to a dark ground above."""
    picture = np.full((100, 100), CROWN)
    picture[:30] = BACKGROUND
    half = round(0.5 * apart_mm / PIXEL_MM)
    picture[:, 50 - half : 50 + half] = CROWN - share * (CROWN - BACKGROUND)
    picture[:30] = BACKGROUND
    return picture.astype(np.uint16)


@pytest.mark.parametrize("share", [0.9, 0.5, 0.2])
def test_grey_falls_by_the_share_that_was_drawn(share: float) -> None:
    fall = fall_at(two_crowns(share, 0.4), 49.5, 65.0, pixel_mm=PIXEL_MM)
    assert fall is not None
    assert fall.share == pytest.approx(share, abs=0.02)
    assert fall.width_mm == pytest.approx(0.4, abs=0.06)


def test_nothing_is_told_at_the_edge_of_a_film_or_without_crowns() -> None:
    assert fall_at(two_crowns(0.5, 0.4), 10.0, 65.0, pixel_mm=PIXEL_MM) is None
    assert fall_at(np.full((100, 100), 7, np.uint16), 49.5, 65.0, pixel_mm=PIXEL_MM) is None


@pytest.mark.parametrize("front", [1.0, -1.0])
def test_a_contacts_overlap_is_the_same_from_either_side(front: float) -> None:
    places = {
        "15.distal": np.array([2.475 + front * 0.2, 3.25]),
        "16.mesial": np.array([2.475 - front * 0.2, 3.25]),
        "17.distal": np.array([1.0, 3.25]),
    }
    picture = two_crowns(0.9, 0.4)
    (found,) = falls(picture, places, pixel_mm=PIXEL_MM, front=front)
    name, overlap_mm, fall = found
    assert name == "15-16"
    assert overlap_mm == pytest.approx(-0.4)
    assert fall.share > 0.8
