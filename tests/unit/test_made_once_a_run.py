"""What one process of a test run has made, another takes as it is, and nothing is left behind."""

import os
from pathlib import Path

import numpy as np
import pytest

from bitewright.files.film_cache import cache_folder, keep_film_mouth
from bitewright.film.film_parts import FilmMouth
from tests.made_once_a_run import FILM_CACHE, RUN_FOLDER, begin_run, made_once_a_run, own_turn


def test_a_second_process_takes_what_the_first_made(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(RUN_FOLDER, "before")
    end_run = begin_run()
    folder = Path(os.environ[RUN_FOLDER])
    made: list[int] = []

    def make() -> np.ndarray:
        made.append(1)
        return np.arange(3.0)

    first, second = (made_once_a_run("thing", make) for _ in range(2))
    assert len(made) == 1
    assert first is not second
    assert np.array_equal(first, second)
    assert len(made_once_a_run("another", make)) == 3
    assert len(made) == 2
    end_run()
    assert not folder.exists()
    assert os.environ[RUN_FOLDER] == "before"


@pytest.mark.parametrize("is_shared", [True, False])
def test_film_mouths_of_a_run_are_kept_in_its_own_folder(
    monkeypatch: pytest.MonkeyPatch, *, is_shared: bool
) -> None:
    monkeypatch.setenv(FILM_CACHE, "before")
    end_run = begin_run(is_shared=is_shared)
    folder = cache_folder()
    assert not folder.exists()
    keep_film_mouth("key", FilmMouth(parts=(), hinge_mm=(1.0, 2.0)))
    assert list(folder.iterdir())
    end_run()
    assert not folder.exists()
    assert os.environ[FILM_CACHE] == "before"


def test_one_process_alone_keeps_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv(RUN_FOLDER, raising=False)
    made: list[int] = []
    for _ in range(2):
        made_once_a_run("thing", lambda: made.append(1))
    assert len(made) == 2
    with own_turn("thing") as folder:
        assert folder is None


def test_what_failed_to_be_made_is_made_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(RUN_FOLDER, str(tmp_path))

    def fail() -> int:
        raise FileNotFoundError

    with pytest.raises(FileNotFoundError):
        made_once_a_run("thing", fail)
    assert made_once_a_run("thing", lambda: 7) == 7
    assert not list(tmp_path.glob("*.part"))
