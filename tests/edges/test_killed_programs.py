"""Commands and the running server killed at any moment: nothing lost, doubled, hidden or left."""

import os
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.killed_commands import killed_commands, prepared
from tests.killed_server import killed_server
from tests.stores import empty_database

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="platform: kills as POSIX does")
FOLDERS = ("XDG_DATA_HOME", "XDG_CONFIG_HOME", "XDG_CACHE_HOME")
FEW, MANY = 3, pytest.param(22, marks=pytest.mark.slow)


@pytest.fixture(params=["sqlite", "postgresql"])
def address(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """Where the store is; this process's folders are put back afterwards."""
    before = {name: os.environ.get(name) for name in FOLDERS}
    try:
        if request.param == "sqlite":
            yield str(tmp_path / "in" / "log.sqlite")
        else:
            with empty_database() as made:
                yield made
    finally:
        for name, value in before.items():
            os.environ.pop(name, None)
            if value is not None:
                os.environ[name] = value


@pytest.mark.parametrize("times", [FEW, MANY])
def test_commands_can_be_killed_at_any_moment(address: str, times: int, tmp_path: Path) -> None:
    count = killed_commands(prepared(tmp_path / "in", address), times=times, seed=11)
    assert count.wrong == []
    assert count.in_work > times // 3, "the kills came too seldom in mid-work to tell"
    least = times if times > FEW else 0  # of few, on a busy machine, hardly any
    assert sum(count.acknowledged.values()) > least, "too little was acknowledged to tell"


@pytest.mark.slow
def test_the_server_can_be_killed_at_any_moment(address: str, tmp_path: Path) -> None:
    count = killed_server(prepared(tmp_path / "in", address), times=28, seed=12)
    assert count.wrong == []
    assert count.acknowledged["upload"] > 28, "too little was acknowledged to tell"
