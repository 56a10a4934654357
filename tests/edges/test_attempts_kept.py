"""Attempts are kept by the log's rules: appended, sealed, deleted with a note, never lost."""

import json
import os
import sqlite3
import sys
import zipfile
from pathlib import Path

import numpy as np
import pytest
from sqlalchemy import text
from sqlalchemy.exc import DBAPIError

from bitewright.competence.attempts import Attempt, Skill
from bitewright.errors import BitewrightError
from bitewright.store.attempt_deletion import delete_attempts, deletions
from bitewright.store.attempts import (
    AttemptTakenError,
    DamagedAttemptsError,
    NoAttemptsError,
    attempts_of,
    count_attempts,
    keep_attempts,
    sound_attempts,
)
from bitewright.store.checking import check_store
from bitewright.store.location import StoreLocation, store_location
from bitewright.store.opening import opened_store
from bitewright.tasks.competence.keep_record import add_attempts
from bitewright.tasks.log.back_up_store import back_up_store, restore_store
from bitewright.tasks.log.rescue_store import rescue_store
from tests.killed_writer import killed_while

AT = "2026-02-01T10:00:00Z"


def attempt(student: str, number: int, *, score: float = 1.0) -> Attempt:
    """One made-up attempt."""
    return Attempt(
        student=student,
        item=f"set/{number}",
        skill=Skill.NAME,
        topic="overlap",
        score=score,
        sure=0.7,
        answered_at=f"2026-01-31T09:{number // 60 % 60:02d}:{number % 60:02d}Z",
    )


SOME = [attempt(student, number) for number in range(4) for student in ("S1", "S2")]


def keep(location: StoreLocation, attempts: list[Attempt]) -> None:
    with opened_store(location, make=True) as store, store.writing() as connection:
        keep_attempts(connection, attempts, written_at=AT)


def test_what_is_kept_comes_back_and_a_retry_adds_nothing(location: StoreLocation) -> None:
    keep(location, SOME)
    with opened_store(location) as store:
        with store.writing() as connection:
            assert keep_attempts(connection, SOME, written_at=AT).already_there == len(SOME)
        with store.reading() as connection:
            assert attempts_of(connection, "S1") == SOME[::2]
            assert sound_attempts(connection)[1] == {}
            with pytest.raises(NoAttemptsError, match="S3"):
                attempts_of(connection, "S3")
        assert check_store(store).problems == ()


def test_another_content_is_refused_and_none_of_its_batch_is_kept(location: StoreLocation) -> None:
    keep(location, SOME)
    with pytest.raises(AttemptTakenError, match="set/0"):
        keep(location, [attempt("S4", 9), attempt("S1", 0, score=0.0)])
    with opened_store(location) as store, store.reading() as connection:
        assert count_attempts(connection) == len(SOME)


@pytest.mark.parametrize("act", ["UPDATE attempt SET body = 'x'", "DELETE FROM attempt"])
def test_the_database_itself_refuses_a_change(location: StoreLocation, act: str) -> None:
    keep(location, SOME)
    with opened_store(location) as store, pytest.raises(DBAPIError, match="never changed"):  # noqa: SIM117
        with store.engine.begin() as connection:
            connection.execute(text(act))


def test_a_deleted_record_leaves_a_note_and_nothing_else(location: StoreLocation) -> None:
    keep(location, SOME)
    with opened_store(location) as store:
        assert delete_attempts(store, "S1", at=AT, by="S1") == (4, ())
        with store.reading() as connection:
            assert attempts_of(connection, "S2") == SOME[1::2]
            assert [(each.student, each.attempts) for each in deletions(connection)] == [("S1", 4)]
        with pytest.raises(DBAPIError, match="never changed"), store.engine.begin() as connection:
            connection.execute(text("DELETE FROM attempt"))
        with pytest.raises(NoAttemptsError):
            delete_attempts(store, "S1", at=AT, by="S1")
        with store.writing() as connection:
            keep_attempts(connection, SOME[:1], written_at=AT)
        assert check_store(store).problems == ()
    if location.file is not None:
        assert b"set/3" in location.file.read_bytes()  # S2's
        with opened_store(location) as store:
            delete_attempts(store, "S2", at=AT, by="T1")
        assert b"set/3" not in location.file.read_bytes()


@pytest.fixture
def damaged(own_folders: Path) -> StoreLocation:
    """A store of which S1's second attempt says something else than was written."""
    location = store_location(str(own_folders / "log.sqlite"))
    keep(location, SOME)
    with sqlite3.connect(own_folders / "log.sqlite") as raw:
        raw.execute("DROP TRIGGER attempt_stays_UPDATE")
        raw.execute(
            "UPDATE attempt SET body = replace(body, '\"score\":1.0', '\"score\":0.0') "
            "WHERE student = 'S1' AND number = 2"
        )
    raw.close()
    return location


def test_damage_is_told_and_hides_nobody_else(damaged: StoreLocation, tmp_path: Path) -> None:
    with opened_store(damaged) as store:
        with store.reading() as connection:
            with pytest.raises(DamagedAttemptsError, match="Attempt 2 of S1"):
                attempts_of(connection, "S1")
            whole, broken = sound_attempts(connection)
        assert (whole, broken) == (SOME[1::2], {"S1": 2})
        assert [p for p in check_store(store).problems if "attempt 2 of S1" in p]
    with pytest.raises(DamagedAttemptsError):
        back_up_store(tmp_path / "b.zip", str(damaged))
    rescue_store(str(tmp_path / "sound.sqlite"), str(damaged))
    with opened_store(store_location(str(tmp_path / "sound.sqlite"))) as store:
        with store.reading() as connection:
            assert attempts_of(connection, "S1") == [SOME[0], SOME[4], SOME[6]]
        assert check_store(store).problems == ()


def test_a_backup_holds_attempts_and_notes(own_folders: Path) -> None:
    first, again = own_folders / "one.sqlite", own_folders / "two.sqlite"
    location = store_location(str(first))
    keep(location, [*SOME, attempt("S3", 1)])
    with opened_store(location) as store:
        delete_attempts(store, "S3", at=AT, by="T1")
    back_up_store(own_folders / "b.zip", str(first))
    restore_store(own_folders / "b.zip", str(again))
    with opened_store(store_location(str(again))) as store, store.reading() as connection:
        assert sound_attempts(connection) == (SOME[::2] + SOME[1::2], {})
        assert [each.student for each in deletions(connection)] == ["S3"]


def test_a_backup_whose_attempts_were_changed_restores_nothing(own_folders: Path) -> None:
    keep(store_location(str(own_folders / "one.sqlite")), SOME)
    back_up_store(own_folders / "b.zip", str(own_folders / "one.sqlite"))
    with zipfile.ZipFile(own_folders / "b.zip") as packed:
        parts = {name: packed.read(name) for name in packed.namelist()}
    changed = json.loads(parts["attempts.json"])
    changed["students"]["S2"][0]["attempt"]["score"] = 0.25
    with zipfile.ZipFile(own_folders / "c.zip", "w") as packed:
        for name, content in (parts | {"attempts.json": json.dumps(changed).encode()}).items():
            packed.writestr(name, content)
    with pytest.raises(BitewrightError, match="S2"):
        restore_store(own_folders / "c.zip", str(own_folders / "two.sqlite"))
    assert not (own_folders / "two.sqlite").exists()


@pytest.mark.skipif(sys.platform == "win32", reason="platform: kills as POSIX does")
def test_killed_in_mid_write_nothing_is_lost_or_half_there(location: StoreLocation) -> None:
    draw, mid = np.random.default_rng(7), 0
    with opened_store(location, make=True):
        pass
    for kill in range(4):
        after, wait_s = int(draw.integers(4)), float(draw.uniform(0, 0.05))
        begun, done = killed_while(write_for_ever, location, kill, after=after, wait_s=wait_s)
        mid += begun > done
        with opened_store(location) as store:
            with store.reading() as connection:
                there = {each.key for each in sound_attempts(connection)[0]}
            found = [sum(each.key in there for each in batch(kill, n)) for n in range(begun)]
            assert found[:done] == [BATCH] * done
            assert set(found) <= {0, BATCH}
            assert check_store(store).problems == ()
    assert mid, "no kill came in mid-write"


BATCH = 40


def batch(kill: int, number: int) -> list[Attempt]:
    """One transaction's attempts."""
    return [attempt(f"K{kill}", number * BATCH + place) for place in range(BATCH)]


def write_for_ever(location: StoreLocation, kill: int, pipe: int) -> None:
    """Keep one batch after another, as `killed_while` asks."""
    with opened_store(location) as store:
        for number in range(1_000):
            os.write(pipe, b"b")
            with store.writing() as connection:
                keep_attempts(connection, batch(kill, number), written_at=AT)
            os.write(pipe, b"d")


def test_a_file_with_one_bad_line_keeps_none(own_folders: Path) -> None:
    file = own_folders / "attempts.csv"
    head = "student;item;skill;topic;score;answered_at\n"
    good = "S1;a;read;crest;1;2026-01-31T09:30:00Z\n"
    file.write_text(f"{head}{good}S1;b;read;crest;2;2026-01-31T09:31:00Z\n", encoding="utf-8")
    store = own_folders / "log.sqlite"
    with pytest.raises(BitewrightError, match=r"line 3: .*'score'"):
        add_attempts(file, str(store))
    assert not store.exists()
    file.write_text(f"{head}{good}", encoding="utf-8")
    assert add_attempts(file, str(store)).added == 1
