"""Edges moved back by as much as a blurred film has them too far outward, and put on borders."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.ndimage import gaussian_filter

from bitewright.marking.crown_edge import border_width_mm
from bitewright.marking.raw_image import RawImage
from bitewright.proposing.blurred_edges import MOST_WIDTH_MM, TRUE_WIDTH_MM, outward_off_mm
from bitewright.proposing.proposals import MarkDoubt, ProposedMark
from bitewright.proposing.square import on_square
from bitewright.quality.views import view
from bitewright.tasks.propose.borders import FARTHEST_MM, NO_BORDER_MM, at_borders

PIXEL_MM = 0.05
VIEW = view("right-premolar")
ROWS, COLUMNS = 400, 800
GAPS_PX = (200, 360, 520)
TEETH = (16, 15, 14, 13)


def striped(blur_mm: float) -> np.ndarray:
    """Two rows of bright crowns with dark gaps of 0.6 mm between them, blurred."""
    film = np.full((ROWS, COLUMNS), 200.0)
    for gap in GAPS_PX:
        film[:, gap - 6 : gap + 6] = 40.0
    return gaussian_filter(film, blur_mm / PIXEL_MM).round().astype(np.uint16)


def edges(pixels: np.ndarray) -> list[ProposedMark]:
    """Every edge at its true place on the square; the front lies to the right."""
    square = on_square(pixels, bits=8, pixel_mm=PIXEL_MM)
    made = []
    for quadrant, y in ((1, 100.0), (4, 300.0)):
        for n, gap in enumerate(GAPS_PX):
            behind, ahead = TEETH[n] % 10, TEETH[n + 1] % 10
            for name, x in ((f"{behind}.mesial", gap - 6.0), (f"{ahead}.distal", gap + 6.0)):
                place = np.array([x, y]) * square.shrunk + square.first_px
                made.append(
                    ProposedMark(
                        name=f"{quadrant}{name}",
                        place_px=(float(place[0]), float(place[1])),
                        presence=0.99,
                        sd_mm=0.2,
                    )
                )
    return made


def at_their_borders(blur_mm: float) -> list[tuple[ProposedMark, ProposedMark]]:
    pixels = striped(blur_mm)
    square = on_square(pixels, bits=8, pixel_mm=PIXEL_MM)
    raw = RawImage(pixels=pixels, bits=8, pixel_mm=PIXEL_MM, source="drawn")
    found = edges(pixels)
    made = at_borders(found, raw, square, VIEW, mirrored=False, pixel_mm=PIXEL_MM)
    return list(zip(found, made, strict=True))


def test_wider_borders_mean_edges_further_out_and_few_tell_nothing() -> None:
    assert outward_off_mm([TRUE_WIDTH_MM] * 9) == pytest.approx(0.0)
    assert outward_off_mm([0.4] * 9) > 0.02
    assert outward_off_mm([0.15] * 9) < 0.0
    assert outward_off_mm([0.5] * 3) == 0.0
    assert outward_off_mm([2.0] * 9) == outward_off_mm([MOST_WIDTH_MM] * 9)
    slow_inside = [0.2, 0.21, 0.2] + [0.9] * 6
    assert outward_off_mm(slow_inside) < outward_off_mm([0.9] * 9) / 5


def test_the_width_of_a_border_is_that_of_its_blur() -> None:
    widths = []
    for blur_mm in (0.0, 0.1, 0.2):
        width = border_width_mm(striped(blur_mm), (206.0, 200.0), pixel_mm=PIXEL_MM, outward=-1.0)
        assert width is not None
        smoothed_mm = np.hypot(0.06, blur_mm)
        assert width == pytest.approx(2.355 * smoothed_mm, rel=0.15)
        widths.append(width)
    assert widths == sorted(widths)
    flat = np.full((ROWS, COLUMNS), 90, dtype=np.uint16)
    assert border_width_mm(flat, (206.0, 200.0), pixel_mm=PIXEL_MM, outward=-1.0) is None


def test_on_a_blurred_film_unsure_edges_are_moved_inward_and_state_a_wider_spread() -> None:
    for before, after in at_their_borders(0.0):
        assert after.doubt is None, "a sharp border is sure"
        assert after.place_px[0] == pytest.approx(before.place_px[0], abs=0.15)
    wanted_mm = outward_off_mm([2.355 * float(np.hypot(0.06, 0.25))] * 9)
    assert wanted_mm > 0.03
    for before, after in at_their_borders(0.25):
        outward = 1.0 if before.kind == "mesial" else -1.0
        inward_mm = -0.1 * outward * (after.place_px[0] - before.place_px[0])
        assert inward_mm == pytest.approx(wanted_mm, abs=0.015)
        assert after.sd_mm >= NO_BORDER_MM > before.sd_mm
        assert after.doubt is None, "the picture gets darker outward just there"
        assert after.place_px[1] == before.place_px[1]


@pytest.mark.parametrize("blur_mm", [0.0, 0.15, 0.25])
def test_an_edge_on_its_neighbours_edge_is_doubted_however_blurred_the_film(blur_mm: float) -> None:
    pixels = striped(blur_mm)
    square = on_square(pixels, bits=8, pixel_mm=PIXEL_MM)
    raw = RawImage(pixels=pixels, bits=8, pixel_mm=PIXEL_MM, source="drawn")
    true = edges(pixels)
    facing = [true[n + 1 - 2 * (n % 2)] for n in range(len(true))]
    exchanged = [
        replace(each, place_px=other.place_px) for each, other in zip(true, facing, strict=True)
    ]
    made = at_borders(exchanged, raw, square, VIEW, mirrored=False, pixel_mm=PIXEL_MM)
    assert {each.doubt for each in made} == {MarkDoubt.BORDER}


@pytest.mark.parametrize(("apart_mm", "is_doubted"), [(0.15, False), (0.3, True)])
def test_an_edge_hidden_close_beside_one_that_shows_its_border_is_not_doubted(
    apart_mm: float, *, is_doubted: bool
) -> None:
    """Touching crowns, brighter and dimmer by turns: each bright one's edges hide the dim ones'."""
    pixels = np.full((ROWS, COLUMNS), 200, dtype=np.uint16)
    pixels[:, GAPS_PX[0] : GAPS_PX[1]] = pixels[:, GAPS_PX[2] :] = 120
    square = on_square(pixels, bits=8, pixel_mm=PIXEL_MM)
    raw = RawImage(pixels=pixels, bits=8, pixel_mm=PIXEL_MM, source="drawn")
    hidden = {"15.distal", "15.mesial", "13.distal", "45.distal", "45.mesial", "43.distal"}
    given = []
    for n, each in enumerate(edges(pixels)):
        border_px = GAPS_PX[n // 2 % 3] * square.shrunk + square.first_px[0]
        off_px = 10.0 * apart_mm if each.name in hidden else 0.0
        given.append(replace(each, place_px=(float(border_px) + off_px, each.place_px[1])))
    made = at_borders(given, raw, square, VIEW, mirrored=False, pixel_mm=PIXEL_MM)
    for each in made:
        should = is_doubted and each.name in hidden
        assert each.doubt is (MarkDoubt.BORDER if should else None)
        assert (each.sd_mm >= NO_BORDER_MM) is (each.name in hidden)


def test_a_film_too_coarse_for_borders_keeps_its_edges() -> None:
    pixels = striped(0.25)
    square = on_square(pixels, bits=8, pixel_mm=0.1)
    raw = RawImage(pixels=pixels, bits=8, pixel_mm=0.1, source="drawn")
    found = edges(pixels)
    made = at_borders(found, raw, square, VIEW, mirrored=False, pixel_mm=0.1)
    assert [each.place_px for each in made] == [each.place_px for each in found]


def test_an_edge_is_put_on_a_border_beside_it_and_doubted_where_the_border_is_further_off() -> None:
    pixels = striped(0.0)
    square = on_square(pixels, bits=8, pixel_mm=PIXEL_MM)
    raw = RawImage(pixels=pixels, bits=8, pixel_mm=PIXEL_MM, source="drawn")

    def set_off(inward_mm: float) -> list[tuple[float, ProposedMark, ProposedMark]]:
        true = edges(pixels)
        given = [
            replace(
                each,
                place_px=(
                    each.place_px[0] - 10.0 * inward_mm * (1 if each.kind == "mesial" else -1),
                    each.place_px[1],
                ),
            )
            for each in true
        ]
        made = at_borders(given, raw, square, VIEW, mirrored=False, pixel_mm=PIXEL_MM)
        rows = zip(true, given, made, strict=True)
        return [(one.place_px[0], before, after) for one, before, after in rows]

    near_mm, far_mm = 0.6 * FARTHEST_MM, 2.5 * FARTHEST_MM
    for right_px, before, after in set_off(near_mm):
        assert after.place_px[0] == pytest.approx(right_px, abs=0.2)
        assert abs(before.place_px[0] - right_px) == pytest.approx(10.0 * near_mm)
        assert after.doubt is None
    for _, before, after in set_off(far_mm):
        assert after.place_px[0] == pytest.approx(before.place_px[0], abs=0.2)
        assert after.doubt is MarkDoubt.BORDER
        assert after.sd_mm == pytest.approx(far_mm, abs=0.02), "as wide as the border is away"
