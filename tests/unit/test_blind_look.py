"""The blind look counts guesses honestly, keeps its key apart and shows nothing but films."""

import csv
from collections import Counter
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from builders.blind_crops import (
    FILM_MM,
    PIXEL_MM,
    SIZES_MM,
    PlainFilm,
    SmallFilmError,
    crops,
    plain_film,
)
from builders.blind_look import (
    FullFolderError,
    GuessError,
    KeyPlaceError,
    chosen,
    read_guesses,
    score,
    write,
)
from builders.marked_films import MarkedFilm

KEY = [
    {"number": str(n), "kind": "septum" if n % 2 else "molar", "truth": truth}
    for n, truth in enumerate(["real", "rendered"] * 10, start=1)
]
MIDDLES_MM = {"16": (12.0, 10.0), "15": (21.0, 10.0), "14": (28.5, 10.0), "46": (12.0, 21.0)}
"""Where the teeth of the made-up film stand, from its left and top, and their half width."""

HALF_MM = 4.0


def test_all_right_and_all_wrong_are_told_with_exact_intervals() -> None:
    """20 of 20: exact 95 % interval from 0.025^(1/20), Clopper and Pearson 1934, by arithmetic."""
    right = {row["number"]: row["truth"] for row in KEY}
    told = score(KEY, right)
    assert told[0].startswith("all      20 of 20 right, 100 %")
    assert f"({100 * 0.025 ** (1 / 20):.0f} to 100)" in told[0]
    assert len(told) == 3
    other = {"real": "rendered", "rendered": "real"}
    wrong = {row["number"]: other[row["truth"]] for row in KEY}
    assert "0 of 20 right" in score(KEY, wrong)[0]


def test_a_coin_as_good_is_told_by_counting() -> None:
    """8 right of 10: (45 + 10 + 1) of 1024 tosses of ten coins are as good, by arithmetic."""
    guesses = {row["number"]: row["truth"] for row in KEY[:8]}
    guesses |= {
        row["number"]: "real" if row["truth"] != "real" else "rendered" for row in KEY[8:10]
    }
    assert score(KEY, guesses)[0].endswith(f"p {56 / 1024:.3f}")


def test_a_missing_guess_counts_neither_way() -> None:
    assert "1 of 1 right" in score(KEY, {"1": "real"})[0]


def test_guesses_are_read_as_people_write_them(tmp_path: Path) -> None:
    path = tmp_path / "guesses.csv"
    path.write_text("number,guess\n01, Real\n12,rendered\n", encoding="utf-8")
    assert read_guesses(path) == {"1": "real", "12": "rendered"}
    path.write_text("number,guess\n3,perhaps\n", encoding="utf-8")
    with pytest.raises(GuessError, match="picture 3"):
        read_guesses(path)


def made_up(pixel_mm: float, *, is_real: bool, gain: float = 1.0, seed: int = 1) -> PlainFilm:
    """A film of 40.8 x 31.2 mm: a slope with noise, and teeth's landmarks where it says."""
    columns, rows = round(40.8 / pixel_mm), round(31.2 / pixel_mm)
    slope = np.linspace(20.0, 110.0, columns) + 30.0 * np.linspace(0.0, 1.0, rows)[:, None]
    grey = gain * (slope + np.random.default_rng(seed).normal(0.0, 2.0, (rows, columns)))
    places = {}
    for code, (x, y) in MIDDLES_MM.items():
        places[f"{code}.distal"] = ((x - HALF_MM) / pixel_mm, y / pixel_mm)
        places[f"{code}.mesial"] = ((x + HALF_MM) / pixel_mm, y / pixel_mm)
        for side in ("distal", "mesial"):
            x_px, y_px = places[f"{code}.{side}"]
            places[f"{code}.{side}.crest"] = (x_px, y_px - 3.0 / pixel_mm)
    return plain_film(MarkedFilm(grey=grey, pixel_mm=pixel_mm, places=places, is_real=is_real))


def sizes(film: PlainFilm) -> dict[str, set[tuple[int, ...]]]:
    """Every shape found of each kind of crop."""
    found: dict[str, set[tuple[int, ...]]] = {}
    for crop in crops(film, np.random.default_rng(2)):
        found.setdefault(crop.kind, set()).add(crop.grey.shape)
    return found


def test_crops_of_a_kind_are_of_one_size_whatever_the_films_pixels() -> None:
    real, rendered = (
        sizes(made_up(pixel_mm, is_real=is_real))
        for pixel_mm, is_real in ((0.03, True), (0.04, False))
    )
    assert real == rendered
    assert set(real) == {"whole", *SIZES_MM}
    for kind, (width, height) in {**SIZES_MM, "whole": FILM_MM}.items():
        assert real[kind] == {(round(height / PIXEL_MM), round(width / PIXEL_MM))}, kind


def test_a_landmark_stays_on_what_it_marks() -> None:
    """A dot of 0.2 mm in the landmark's place is there still in the plain film."""
    grey = np.full((1040, 1360), 60.0)
    grey[397:404, 497:504] = 200.0
    places = {"16.mesial": (500.0, 400.0)}
    film = plain_film(MarkedFilm(grey=grey, pixel_mm=0.03, places=places, is_real=True))
    x, y = (round(each) for each in film.places["16.mesial"])
    assert film.grey[y, x] == film.grey.max()


def test_grey_levels_of_both_are_treated_alike() -> None:
    """A film of half the contrast comes out as the other does, within two levels."""
    full, half = (made_up(0.03, is_real=True, gain=gain).grey.astype(int) for gain in (1.0, 0.5))
    assert np.abs(full - half).max() <= 4
    assert np.abs(full - half).mean() < 1.0
    assert np.percentile(full[full > 0], 99) == pytest.approx(243, abs=2)


def test_crops_of_a_kind_do_not_overlap() -> None:
    film = made_up(0.03, is_real=True)
    near = dict(film.places)
    for side in ("mesial", "distal"):
        x, y = film.places[f"46.{side}"]
        near[f"47.{side}"] = (x - 2.0 / PIXEL_MM, y)
    both = PlainFilm(grey=film.grey, places=near, is_real=True)
    alone, more = (
        sum(crop.kind == "molar" for crop in crops(each, np.random.default_rng(1)))
        for each in (film, both)
    )
    assert more == alone == 2


def test_a_film_smaller_than_what_is_compared_is_refused() -> None:
    with pytest.raises(SmallFilmError, match="Choose another"):
        plain_film(MarkedFilm(grey=np.zeros((900, 1360)), pixel_mm=0.03, places={}, is_real=False))


def a_set() -> list[PlainFilm]:
    """One real film and three rendered ones."""
    rendered = [made_up(0.04, is_real=False, seed=seed) for seed in (2, 3, 4)]
    return [made_up(0.03, is_real=True), *rendered]


def test_of_each_kind_as_many_are_real_as_rendered() -> None:
    pieces = chosen(a_set(), np.random.default_rng(5))
    numbers = Counter((crop.kind, crop.is_real) for crop in pieces)
    assert {kind for kind, _ in numbers} == {"whole", *SIZES_MM}
    for kind in ("whole", *SIZES_MM):
        assert numbers[kind, True] == numbers[kind, False] > 0, kind
    assert [crop.is_real for crop in pieces] != sorted(crop.is_real for crop in pieces)


def test_the_judges_folder_holds_pictures_and_nothing_else(tmp_path: Path) -> None:
    out, key = tmp_path / "set", tmp_path / "key.csv"
    pieces = chosen(a_set(), np.random.default_rng(5))
    write(pieces, out, key)
    names = sorted(path.name for path in out.iterdir())
    assert names == [f"{n:02d}.png" for n in range(1, len(pieces) + 1)]
    for path in out.iterdir():
        with Image.open(path) as picture:
            assert picture.mode == "L"
            assert not picture.info
    with key.open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    assert [row["truth"] for row in rows] == ["real" if c.is_real else "rendered" for c in pieces]


def test_a_key_the_judge_would_see_is_refused(tmp_path: Path) -> None:
    out = tmp_path / "set"
    with pytest.raises(KeyPlaceError, match="outside"):
        write([], out, out / "within" / "key.csv")
    assert not out.exists()
    out.mkdir()
    (out / "old.png").write_bytes(b"")
    with pytest.raises(FullFolderError, match="another --out"):
        write([], out, tmp_path / "key.csv")
    assert not (tmp_path / "key.csv").exists()
