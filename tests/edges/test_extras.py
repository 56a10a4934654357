"""What needs a library that is not installed is told in one sentence, with what to install."""

import sys
from pathlib import Path

import pytest

from bitewright.competence.attempts import Attempt, Skill
from bitewright.errors import ExtraMissingError
from bitewright.files.entry_files import EntryFileHead, read_entries, write_entries
from bitewright.store.location import store_location
from bitewright.store.opening import open_store
from bitewright.tasks.competence.practice_due import topics_again


def test_parquet(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "pyarrow", None)
    path = tmp_path / "entries.parquet"
    for work in (
        lambda: write_entries(path, [], EntryFileHead(entries=0, digest="0" * 64)),
        lambda: list(read_entries(path)),
    ):
        with pytest.raises(ExtraMissingError, match=r"pip install 'bitewright\[parquet\]'"):
            work()
    assert not path.exists()


def test_practice(monkeypatch: pytest.MonkeyPatch) -> None:
    missed = Attempt(
        student="S1",
        item="a",
        skill=Skill.NAME,
        topic="overlap",
        score=0.0,
        sure=None,
        answered_at="2026-01-31T09:30:00Z",
    )
    monkeypatch.setitem(sys.modules, "fsrs", None)
    with pytest.raises(ExtraMissingError, match=r"pip install 'bitewright\[practice\]'"):
        topics_again([missed])


def test_postgresql(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "psycopg", None)
    with pytest.raises(ExtraMissingError, match=r"pip install 'bitewright\[postgresql\]'"):
        open_store(store_location("postgresql://somebody@127.0.0.1:1/none"))
