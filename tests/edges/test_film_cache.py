"""Film mouths kept: they come back alike, broken files are not trusted, other mouths are others."""

import shutil
from dataclasses import replace
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest

from bitewright.files.film_cache import (
    cache_folder,
    clear_films,
    keep_film_mouth,
    kept_bytes,
    read_film_mouth,
)
from bitewright.film.film_mouth import film_mouth
from bitewright.film.film_parts import FilmMouth
from bitewright.film.thinned_mouth import thinned_mouth
from bitewright.mouth.standard_mouth import standard_mouth
from bitewright.mouth.tooth_parts import ToothPart
from bitewright.tasks.film.film_mouths import (
    film_key,
    station_film_mouth,
    station_thinned_mouth,
)
from tests.made_once_a_run import FILM_CACHE
from tests.scenes import film_mouth_of, station_in, station_of


@pytest.fixture(scope="module")
def made() -> FilmMouth:
    """A mouth to keep, made before the cache is one of the test's own."""
    return film_mouth_of("right-premolar")


@pytest.fixture(autouse=True)
def empty_cache(no_films_kept: Path) -> Path:
    return no_films_kept


@pytest.fixture(scope="module")
def cache_of_a_side(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A cache in which the standard mouth's right side was built, and nothing else."""
    folder = tmp_path_factory.mktemp("right-side")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv(FILM_CACHE, str(folder))
        station_film_mouth(station_of("right-molar"))
    return folder


@pytest.fixture
def right_side_kept(empty_cache: Path, cache_of_a_side: Path) -> None:
    """A copy of that cache, a test's own."""
    shutil.copytree(cache_of_a_side, empty_cache)


@pytest.mark.slow
def test_a_film_mouth_comes_back_as_it_was_kept(made: FilmMouth) -> None:
    keep_film_mouth("key", made)
    back = read_film_mouth("key")
    assert back is not None
    assert back.hinge_mm == made.hinge_mm
    assert len(back.parts) == len(made.parts)
    for one, other in zip(back.parts, made.parts, strict=True):
        assert (one.group, one.is_lower) == (other.group, other.is_lower)
        assert np.array_equal(one.own.vertices_mm, other.own.vertices_mm)
    assert_same(back, made)
    assert [field.is_lower for field in back.spongiosa] == [False, True]
    count, size = kept_bytes()
    assert count == 1
    assert size > 1_000_000
    assert clear_films() == 1
    assert read_film_mouth("key") is None


def array_file() -> bytes:
    """A lone array, as some other program may leave under our name."""
    file = BytesIO()
    np.save(file, np.zeros(3))
    return file.getvalue()


@pytest.mark.parametrize("damage", ["short", "text", "empty", "array"])
def test_a_broken_file_counts_as_not_there(damage: str, made: FilmMouth) -> None:
    keep_film_mouth("key", made)
    (path,) = cache_folder().glob("key*")
    whole = path.read_bytes()
    path.write_bytes(
        {"short": whole[: len(whole) // 2], "text": b"no", "empty": b"", "array": array_file()}[
            damage
        ]
    )
    assert read_film_mouth("key") is None


@pytest.mark.slow
@pytest.mark.usefixtures("right_side_kept")
def test_a_filling_builds_its_tooth_alone_and_another_view_of_the_side_nothing() -> None:
    """What is put together of kept pieces is, to the last bit, what is built anew."""
    base = standard_mouth()
    filling = ToothPart(kind="filling", surface="occlusal", material="amalgam")
    filled = replace(base, teeth={**base.teeth, 16: replace(base.teeth[16], parts=(filling,))})
    plain, other = station_of("right-molar"), station_in(filled, "right-molar")
    steps: list[str] = []
    station_film_mouth(station_of("right-premolar"), steps.append)
    assert steps == []
    put_together = station_film_mouth(other, steps.append)
    assert steps == ["tooth 16"]
    anew = film_mouth(other.outlines, other.region)
    assert_same(put_together, anew)
    thin = station_thinned_mouth(plain, lambda: station_film_mouth(plain))
    again = station_thinned_mouth(other, lambda: put_together)
    for one, same in zip(again.parts, thinned_mouth(anew).parts, strict=True):
        assert np.array_equal(one.mesh.vertices_mm, same.mesh.vertices_mm)
        assert np.array_equal(one.mesh.triangles, same.mesh.triangles)
    assert len(again.parts) > len(thin.parts)


@pytest.mark.slow
@pytest.mark.usefixtures("right_side_kept")
def test_a_turned_tooth_builds_itself_its_neighbours_and_its_jaws_bone() -> None:
    """The other teeth move with the row, and the other jaw with the bite: they are placed anew."""
    base = standard_mouth()
    turned = replace(base, teeth={**base.teeth, 15: replace(base.teeth[15], rotation_deg=3.0)})
    plain, other = station_of("right-molar"), station_in(turned, "right-molar")
    before = station_film_mouth(plain)
    steps: list[str] = []
    put_together = station_film_mouth(other, steps.append)
    assert [step for step in steps if step.startswith("tooth")] == [
        "tooth 16",
        "tooth 15",
        "tooth 14",
    ]
    assert steps.count("bone and gum") == 1
    assert_same(put_together, film_mouth(other.outlines, other.region))
    moved = [
        np.abs(one.mesh.vertices_mm - was.mesh.vertices_mm).max()
        for one, was in zip(put_together.parts, before.parts, strict=True)
        if np.array_equal(one.own.vertices_mm, was.own.vertices_mm)
        and one is not put_together.parts[-1]
    ]
    assert len(moved) > 30
    assert min(moved) > 1e-6
    assert max(moved) < 1.0


def assert_same(one: FilmMouth, other: FilmMouth) -> None:
    assert len(one.parts) == len(other.parts)
    for own, same in zip(one.parts, other.parts, strict=True):
        assert (own.group, own.is_lower) == (same.group, same.is_lower)
        assert np.array_equal(own.mesh.vertices_mm, same.mesh.vertices_mm)
        assert np.array_equal(own.mesh.triangles, same.mesh.triangles)
    for field, alike in zip(one.spongiosa, other.spongiosa, strict=True):
        assert np.array_equal(field.distance_mm, alike.distance_mm)
        assert np.array_equal(field.axes_mouth, alike.axes_mouth)
        assert np.array_equal(field.grain_axes_mouth, alike.grain_axes_mouth)


def test_a_mouth_without_any_part_is_kept_too() -> None:
    """Where a quadrant has too few teeth for bone."""
    keep_film_mouth("key", FilmMouth(parts=(), hinge_mm=(1.0, 2.0)))
    back = read_film_mouth("key")
    assert back is not None
    assert (back.parts, back.hinge_mm, back.spongiosa) == ((), (1.0, 2.0), ())


def test_another_mouth_region_or_kind_has_another_key() -> None:
    base = standard_mouth()
    turned = replace(base, teeth={**base.teeth, 15: replace(base.teeth[15], rotation_deg=3.0)})
    keys = {
        film_key(station_of("right-premolar"), "whole"),
        film_key(station_of("right-premolar"), "thinned"),
        film_key(station_of("left-premolar"), "whole"),
        film_key(station_in(turned, "right-premolar"), "whole"),
    }
    assert len(keys) == 4
    assert film_key(station_of("right-premolar", "sensor-2"), "whole") in keys


def test_another_version_of_a_library_is_another_film_mouth(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    before = film_key(station_of(), "whole")
    monkeypatch.setattr("bitewright.tasks.film.film_mouths.version", lambda name: f"another {name}")
    assert film_key(station_of(), "whole") != before
