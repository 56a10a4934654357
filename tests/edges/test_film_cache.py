"""Film mouths kept: they come back alike, broken files are not trusted, other mouths are others."""

from dataclasses import replace
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest

from bitewright.dentition.mouth import Mouth, standard_mouth
from bitewright.dentition.tooth_parts import ToothPart
from bitewright.files.film_cache import (
    cache_folder,
    clear_films,
    keep_film_mouth,
    kept_bytes,
    read_film_mouth,
)
from bitewright.imaging.film_mouth import film_mouth
from bitewright.imaging.film_parts import FilmMouth
from bitewright.imaging.thinned_mouth import thinned_mouth
from bitewright.tasks.film_mouths import (
    film_key,
    piece_key,
    station_film_mouth,
    station_thinned_mouth,
)
from tests.scenes import film_mouth_of, station_in, station_of


@pytest.fixture(autouse=True)
def own_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("BITEWRIGHT_CACHE", str(tmp_path))
    return tmp_path


def test_a_film_mouth_comes_back_as_it_was_kept() -> None:
    made = film_mouth_of("right-premolar")
    keep_film_mouth("key", made)
    back = read_film_mouth("key")
    assert back is not None
    assert back.hinge_mm == made.hinge_mm
    assert len(back.parts) == len(made.parts)
    for one, other in zip(back.parts, made.parts, strict=True):
        assert (one.group, one.is_lower) == (other.group, other.is_lower)
        assert np.array_equal(one.mesh.triangles, other.mesh.triangles)
        assert np.array_equal(one.mesh.vertices_mm, other.mesh.vertices_mm)
    for own, kept in zip(back.spongiosa, made.spongiosa, strict=True):
        assert np.array_equal(own.distance_mm, kept.distance_mm)
        assert own.is_lower == kept.is_lower
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
def test_a_broken_file_counts_as_not_there(damage: str) -> None:
    keep_film_mouth("key", film_mouth_of("right-premolar"))
    (path,) = cache_folder().glob("key*")
    whole = path.read_bytes()
    path.write_bytes(
        {"short": whole[: len(whole) // 2], "text": b"no", "empty": b"", "array": array_file()}[
            damage
        ]
    )
    assert read_film_mouth("key") is None


def test_a_filling_builds_its_tooth_alone_and_another_view_of_the_side_nothing() -> None:
    """What is put together of kept pieces is, to the last bit, what is built anew."""
    base = standard_mouth()
    filling = ToothPart(kind="filling", surface="occlusal", material="amalgam")
    filled = replace(base, teeth={**base.teeth, 16: replace(base.teeth[16], parts=(filling,))})
    plain, other = station_of("right-molar"), station_in(filled, "right-molar")
    station_film_mouth(plain)
    steps: list[str] = []
    station_film_mouth(station_of("right-premolar"), steps.append)
    assert steps == []
    put_together = station_film_mouth(other, steps.append)
    assert steps == ["tooth 16"]
    anew = film_mouth(other.outlines, other.region)
    assert len(put_together.parts) == len(anew.parts)
    for one, same in zip(put_together.parts, anew.parts, strict=True):
        assert (one.group, one.is_lower) == (same.group, same.is_lower)
        assert np.array_equal(one.mesh.vertices_mm, same.mesh.vertices_mm)
        assert np.array_equal(one.mesh.triangles, same.mesh.triangles)
    thin = station_thinned_mouth(plain, lambda: station_film_mouth(plain))
    again = station_thinned_mouth(other, lambda: put_together)
    for one, same in zip(again.parts, thinned_mouth(anew).parts, strict=True):
        assert np.array_equal(one.mesh.vertices_mm, same.mesh.vertices_mm)
        assert np.array_equal(one.mesh.triangles, same.mesh.triangles)
    assert len(again.parts) > len(thin.parts)
    for one, same in zip(put_together.spongiosa, anew.spongiosa, strict=True):
        assert np.array_equal(one.distance_mm, same.distance_mm)
        assert np.array_equal(one.grain_axes_mouth, same.grain_axes_mouth)


def test_a_piece_hangs_on_the_mouth_but_not_on_its_name_nor_on_other_teeths_fillings() -> None:
    base = standard_mouth()
    filling = ToothPart(kind="filling", surface="occlusal", material="amalgam")
    own = replace(base, teeth={**base.teeth, 16: replace(base.teeth[16], parts=(filling,))})
    turned = replace(base, teeth={**base.teeth, 15: replace(base.teeth[15], rotation_deg=3.0)})
    plain = station_of("right-molar")

    def key(mouth: Mouth, name: str, teeth: tuple[int, ...]) -> str:
        return piece_key(station_in(mouth, "right-molar"), name, teeth)

    assert key(replace(base, name="another"), "tooth 16", (16,)) == key(base, "tooth 16", (16,))
    assert key(own, "tooth 15", (15,)) == key(base, "tooth 15", (15,))
    assert key(own, "bone 1", ()) == key(base, "bone 1", ())
    others = {
        piece_key(plain, "tooth 16", (16,)),
        piece_key(plain, "tooth 15", (15,)),
        piece_key(plain, "bone 1", ()),
        key(own, "tooth 16", (16,)),
        key(turned, "tooth 16", (16,)),
        key(turned, "bone 1", ()),
    }
    assert len(others) == 6


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
    monkeypatch.setattr("bitewright.tasks.film_mouths.version", lambda name: f"another {name}")
    assert film_key(station_of(), "whole") != before
