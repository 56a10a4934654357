"""A film laid on the square, and places read back from heat maps made by hand."""

import numpy as np
import pytest

from bitewright.mouth.mouth import textbook_mouth
from bitewright.mouth.outlines import build_outlines
from bitewright.proposing.channels import (
    CHANNEL_COUNT,
    PLACES,
    TOOTH_COUNT,
    channel_of,
    tooth_code,
    tooth_row,
)
from bitewright.proposing.heat_maps import BITEWING, LEFT, NOT_UPRIGHT, STRIDE_PX, read_heat
from bitewright.proposing.refusals import Refusal, why_refused
from bitewright.proposing.square import PIXEL_MM, SIDE_PX, on_square

CELLS = SIDE_PX // STRIDE_PX


def test_every_landmark_of_a_tooth_on_a_bitewing_has_a_channel_of_its_own() -> None:
    names = [
        name
        for name in build_outlines(textbook_mouth(third_molars=True)).points_mouth
        if int(name[:2]) // 10 in (1, 4) and int(name[1]) in PLACES and "apex" not in name
    ]
    channels = [channel_of(name) for name in names]
    assert None not in channels
    assert len(set(channels)) == len(names) > 60
    assert channel_of("11.mesial") is None, "no bitewing is asked for incisors"


@pytest.mark.parametrize("is_right", [True, False])
def test_a_row_and_a_code_name_the_same_tooth(*, is_right: bool) -> None:
    codes = [tooth_code(row, is_right=is_right) for row in range(TOOTH_COUNT)]
    assert [tooth_row(code) for code in codes] == list(range(TOOTH_COUNT))
    assert {code // 10 for code in codes} == ({1, 4} if is_right else {2, 3})


@pytest.mark.parametrize("pixel_mm", [0.02, 0.03, 0.1, 0.15])
def test_a_bright_spot_lies_on_the_square_where_the_film_has_it(pixel_mm: float) -> None:
    rows, columns = round(31 / pixel_mm), round(41 / pixel_mm)
    pixels = np.zeros((rows, columns), dtype=np.uint16)
    size = round(1.0 / pixel_mm)
    y, x = rows // 3, columns // 4
    pixels[y : y + size, x : x + size] = 255
    film = on_square(pixels, bits=8, pixel_mm=pixel_mm)
    grey = film.grey.astype(float)
    line = np.arange(SIDE_PX) + 0.5
    middle = np.array([grey.sum(0) @ line, grey.sum(1) @ line]) / grey.sum()
    assert film.on_film_px(middle) == pytest.approx([x + size / 2, y + size / 2], abs=0.02)
    assert grey.sum() * PIXEL_MM**2 == pytest.approx((size * pixel_mm) ** 2, rel=1e-4)


def test_a_film_larger_than_the_square_is_seen_whole() -> None:
    film = on_square(np.full((270, 540), 255, dtype=np.uint16), bits=8, pixel_mm=0.1)
    assert film.size_mm == pytest.approx((27.0, 54.0))
    assert (film.grey.max(axis=0) > 0.9).all(), "its long side fills the square"
    assert film.on_film_px(np.array([SIDE_PX, SIDE_PX / 2])) == pytest.approx([540, 135])


def heat_at(places_px: np.ndarray, sigma_px: float = 4.0) -> np.ndarray:
    line = (np.arange(CELLS) + 0.5) * STRIDE_PX
    across = (line - places_px[:, :1]) ** 2
    down = (line - places_px[:, 1:]) ** 2
    squares = down[:, :, None] + across[:, None, :]
    return (-squares / (2 * sigma_px**2)).astype(np.float32)


def test_places_are_read_finer_than_the_maps_cells() -> None:
    places = np.random.default_rng(3).uniform(60, 380, (CHANNEL_COUNT, 2))
    says = np.full(CHANNEL_COUNT + 3, 5.0, dtype=np.float32)
    says[LEFT] = says[NOT_UPRIGHT] = -5.0
    read = read_heat(heat_at(places), says)
    assert np.abs(read.places_px - places).max() < 0.1, "a hundredth of a millimetre"
    assert read.gathered.min() > 0.95
    assert read.front_left < 0.01
    assert read.bitewing > 0.99


def test_a_map_that_is_of_two_minds_is_told_from_a_sure_one() -> None:
    places = np.full((CHANNEL_COUNT, 2), 100.0)
    both = np.logaddexp(heat_at(places), heat_at(places + 200.0))
    read = read_heat(both.astype(np.float32), np.zeros(CHANNEL_COUNT + 3, dtype=np.float32))
    assert read.gathered == pytest.approx(0.5, abs=0.03)


@pytest.mark.parametrize(
    ("column", "logit", "why"),
    [(BITEWING, -3.0, Refusal.NO_BITEWING), (NOT_UPRIGHT, 3.0, Refusal.NOT_UPRIGHT)],
)
def test_what_is_no_bitewing_or_not_upright_is_refused(
    column: int, logit: float, why: Refusal
) -> None:
    pixels = np.random.default_rng(1).integers(0, 256, (310, 410)).astype(np.uint16)
    film = on_square(pixels, bits=8, pixel_mm=0.1)
    says = np.full(CHANNEL_COUNT + 3, -3.0, dtype=np.float32)
    says[BITEWING] = 3.0
    heat = heat_at(np.full((CHANNEL_COUNT, 2), 200.0))
    assert why_refused(film, read_heat(heat, says)) is None
    says[column] = logit
    assert why_refused(film, read_heat(heat, says)) is why


def test_an_empty_and_a_tiny_picture_are_refused() -> None:
    says = np.full(CHANNEL_COUNT + 3, 3.0, dtype=np.float32)
    says[NOT_UPRIGHT] = -3.0
    read = read_heat(heat_at(np.full((CHANNEL_COUNT, 2), 200.0)), says)
    grey = np.full((310, 410), 90, dtype=np.uint16)
    assert why_refused(on_square(grey, bits=8, pixel_mm=0.1), read) is Refusal.EMPTY
    assert why_refused(on_square(grey, bits=8, pixel_mm=0.02), read) is Refusal.TOO_SMALL


@pytest.mark.parametrize(
    ("rows", "columns", "gap", "is_refused"),
    [
        (310, 410, None, False),
        (410, 310, None, False),
        (270, 540, None, False),
        (310, 830, None, True),
        (830, 310, None, True),
        (410, 640, (310, 330), True),
        (410, 640, (0, 60), False),
        (410, 640, (0, 400), False),
    ],
)
def test_films_side_by_side_and_wide_views_are_refused_and_borders_are_not(
    rows: int, columns: int, gap: tuple[int, int] | None, *, is_refused: bool
) -> None:
    """Receptors of size 2 and 3 (ISO 3665) each way round, two in a row, and a black stripe."""
    pixels = np.random.default_rng(1).integers(0, 256, (rows, columns)).astype(np.uint16)
    if gap is not None:
        pixels[:, gap[0] : gap[1]] = 0
    says = np.full(CHANNEL_COUNT + 3, 3.0, dtype=np.float32)
    says[NOT_UPRIGHT] = -3.0
    read = read_heat(heat_at(np.full((CHANNEL_COUNT, 2), 200.0)), says)
    why = why_refused(on_square(pixels, bits=8, pixel_mm=0.1), read)
    assert why is (Refusal.NOT_ONE_FILM if is_refused else None)


def test_a_film_that_shows_no_landmark_is_read_and_refused() -> None:
    says = np.full(CHANNEL_COUNT + 3, -9.0, dtype=np.float32)
    read = read_heat(heat_at(np.full((CHANNEL_COUNT, 2), 200.0)), says)
    pixels = np.random.default_rng(1).integers(0, 256, (310, 410)).astype(np.uint16)
    film = on_square(pixels, bits=8, pixel_mm=0.1)
    assert why_refused(film, read) is Refusal.NO_BITEWING
    assert not read.places_px.any()
