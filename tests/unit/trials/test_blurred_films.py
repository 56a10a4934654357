"""The table of overlaps by blur counts what it says."""

import numpy as np
import pytest

from trials.blurred_films import blur_table, blurred


def line(refused: str | None, off: float, blurred_off: float | None) -> dict[str, object]:
    contacts = [["14-15", 0.1, 0.1 + off], ["15-16", -0.2, -0.2 + off]]
    soft = [] if blurred_off is None else [["14-15", 0.1, 0.1 + blurred_off]]
    return {
        "refused": refused,
        "contacts": contacts,
        "blurred": {"0.1 mm": contacts, "0.2 mm": soft},
    }


def test_only_films_marked_at_every_blur_are_set_beside_one_another() -> None:
    lines = [line(None, 0.02, 0.1), line(None, 0.5, None), line("empty", 0.5, 0.5)]
    rows = blur_table(lines).splitlines()[2:]
    assert rows == [
        "| as filmed | 1 | 2 | +0.02 mm | 0.02 mm | 0.02 mm |",
        "| 0.1 mm | 1 | 2 | +0.02 mm | 0.02 mm | 0.02 mm |",
        "| 0.2 mm | 1 | 1 | +0.10 mm | 0.10 mm | 0.10 mm |",
    ]


def test_a_blur_spreads_an_edge_and_keeps_what_is_on_both_sides() -> None:
    film = np.zeros((40, 80), dtype=np.uint16)
    film[:, 40:] = 200
    soft = blurred(film, blur_mm=0.2, pixel_mm=0.05)
    assert soft.shape == film.shape
    assert (soft[20, 5], soft[20, 75]) == (0, 200)
    at_one_sd = soft[20, 44] + soft[20, 43]  # the edge lies between two pixels
    assert at_one_sd / 2 == pytest.approx(200 * 0.8413, abs=1.0)
