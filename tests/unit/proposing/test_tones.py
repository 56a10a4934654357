"""A film shown as its negative is told from one that is not, and read as its positive."""

from dataclasses import replace

import numpy as np
import pytest

from bitewright.proposing.channels import CHANNEL_COUNT, channel_of
from bitewright.proposing.heat_maps import HeatReading
from bitewright.proposing.square import FilmOnSquare, bits_in_use, on_square
from bitewright.proposing.tones import is_negative

SHOWN = ("14", "15", "16")


def painted(*, crown: float, space: float) -> tuple[FilmOnSquare, HeatReading]:
    """Three crowns in a row, 8 mm wide, above darker or brighter spaces between their necks."""
    grey = np.full((416, 416), 0.5, dtype=np.float32)
    places, presence = np.zeros((CHANNEL_COUNT, 2)), np.zeros(CHANNEL_COUNT)
    for number, tooth in enumerate(SHOWN):
        left = 60 + 80 * number
        grey[140:170, left : left + 80] = crown
        grey[200:230, left + 65 : left + 95] = space
        for surface, column in (("mesial", left), ("distal", left + 80)):
            for kind, row in (("", 155.0), (".cej", 215.0)):
                channel = channel_of(f"{tooth}.{surface}{kind}")
                assert channel is not None
                places[channel], presence[channel] = (column, row), 0.9
    square = on_square((255 * grey).astype(np.uint16), bits=8, pixel_mm=0.1)
    read = HeatReading(
        places_px=places, gathered=presence, presence=presence, front_left=0.0,
        not_upright=0.0, bitewing=1.0,
    )  # fmt: skip
    return square, read


@pytest.mark.parametrize(("crown", "space"), [(0.9, 0.3), (0.6, 0.5)])
def test_crowns_are_brighter_than_the_spaces_between_necks_unless_it_is_a_negative(
    crown: float, space: float
) -> None:
    assert not is_negative(*painted(crown=crown, space=space))
    assert is_negative(*painted(crown=space, space=crown))


def test_nothing_is_said_of_the_tone_where_too_little_is_seen() -> None:
    square, read = painted(crown=0.3, space=0.9)
    assert not is_negative(square, replace(read, presence=np.zeros(CHANNEL_COUNT)))


def test_twelve_bits_in_a_file_of_sixteen_and_flat_films_are_seen_as_others_are() -> None:
    own = np.random.default_rng(3).integers(0, 4096, (300, 400)).astype(np.uint16)
    assert bits_in_use(own, 16) == 12
    assert bits_in_use(np.zeros((2, 2), np.uint16), 16) == 8
    twelve = on_square(own, bits=12, pixel_mm=0.1)
    sixteen = on_square(own, bits=16, pixel_mm=0.1)
    assert np.array_equal(twelve.grey, sixteen.grey)
    assert twelve.contrast == sixteen.contrast
    eight = (own >> 4).astype(np.uint16)
    flat = on_square(100 + eight // 8, bits=8, pixel_mm=0.1)
    usual = on_square(eight, bits=8, pixel_mm=0.1)
    assert flat.contrast < 0.2 * usual.contrast
    assert flat.inside().std() == pytest.approx(usual.inside().std(), rel=0.1)
