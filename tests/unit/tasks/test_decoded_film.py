"""A film's file is opened once, and its digest is that of the bytes its pixels came from."""

import hashlib
import io
import sys
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image
from typer.testing import CliRunner

from bitewright.cli.main import app
from bitewright.files.images import write_image
from bitewright.files.marks_file import write_marks
from bitewright.marking.marks import Mark, MarkedFilm
from bitewright.tasks.assess.decoded_film import decode_film, read_film
from tests.edges.test_dicom_reading import LEVELS, saved

OPENED: list[str] = []


def note_opens(event: str, arguments: tuple[Any, ...]) -> None:
    """An audit hook, which Python calls whoever opens a file, and never lets go of."""
    if event == "open" and isinstance(arguments[0], str):
        OPENED.append(arguments[0])


@cache
def listen() -> None:
    sys.addaudithook(note_opens)


@pytest.fixture
def opened() -> list[str]:
    listen()
    return OPENED


def grey(seed: int) -> np.ndarray[Any, np.dtype[np.uint16]]:
    return np.random.default_rng(seed).integers(0, 1 << 16, (40, 60)).astype(np.uint16)


@pytest.mark.parametrize("ending", ["png", "tiff"])
def test_a_film_is_opened_once(tmp_path: Path, opened: list[str], ending: str) -> None:
    path = tmp_path / f"film.{ending}"
    write_image(path, grey(1), pixel_mm=0.03, description="noise")
    opened.clear()
    film = read_film(path)
    assert [name for name in opened if name == str(path)] == [str(path)]
    assert film.name == f"film.{ending}"
    assert film.sha256 == hashlib.sha256(path.read_bytes()).hexdigest()
    np.testing.assert_array_equal(film.image.pixels, grey(1))


def test_assess_opens_the_film_once(tmp_path: Path, opened: list[str]) -> None:
    image, marks = tmp_path / "film.png", tmp_path / "film.marks.json"
    write_image(image, grey(1), pixel_mm=0.03, description="noise")
    seen = {"15.mesial": Mark(x_px=30.0, y_px=20.0), "14.distal": Mark(x_px=31.0, y_px=20.0)}
    write_marks(
        marks,
        MarkedFilm(image_name="film.png", columns=60, rows=40, view="right-premolar", marks=seen),
    )
    opened.clear()
    answer = CliRunner().invoke(
        app, ["assess", str(image), "--marks", str(marks), "--overlay", str(tmp_path / "o.png")]
    )
    assert answer.exit_code == 0, answer.output
    assert [opened.count(str(path)) for path in (image, marks)] == [1, 1]


def test_the_digest_is_of_the_pixels_even_if_the_file_is_changed_meanwhile(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whoever writes over the file between its reading and its decoding changes nothing."""
    path = tmp_path / "film.png"
    write_image(path, grey(1), pixel_mm=0.03, description="noise")
    before = path.read_bytes()
    original = Image.open

    def write_over_first(*given: Any, **named: Any) -> Any:
        path.write_bytes(b"something else")
        return original(*given, **named)

    monkeypatch.setattr(Image, "open", write_over_first)
    film = read_film(path)
    assert path.read_bytes() == b"something else"
    assert film.sha256 == hashlib.sha256(before).hexdigest()
    np.testing.assert_array_equal(film.image.pixels, grey(1))


def test_a_film_is_known_by_its_content_whatever_it_is_called(tmp_path: Path) -> None:
    dicom = saved(tmp_path).read_bytes()
    np.testing.assert_array_equal(decode_film(dicom, name="film.png").image.pixels, LEVELS)
    png = io.BytesIO()
    Image.fromarray(grey(2)).save(png, "PNG")
    named = decode_film(png.getvalue(), name="film.dcm")
    np.testing.assert_array_equal(named.image.pixels, grey(2))
