"""What every test may ask for, and the rule that nothing is quietly left out on a build server."""

import gc
import os
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import settings

from bitewright.store.location import StoreLocation
from tests.made_once_a_run import FILM_CACHE, begin_run
from tests.stores import empty_location

REPOSITORY = Path(__file__).resolve().parents[1]
IS_CI = os.environ.get("CI", "").lower() == "true"
PLATFORM_SKIP = "platform:"

settings.register_profile("here", deadline=None)
settings.register_profile("ci", deadline=None, derandomize=True, print_blob=True)
settings.load_profile("ci" if IS_CI else "here")


@pytest.fixture(scope="session")
def repository() -> Path:
    """The top folder of the project."""
    return REPOSITORY


@pytest.fixture(scope="session")
def shared_data() -> Path:
    """The folder of published facts and real data: BITEWRIGHT_SHARED, or beside the repository.

    Absent, the test is skipped; with CI=true that skip fails the run like any other.
    """
    folder = Path(os.environ.get("BITEWRIGHT_SHARED") or REPOSITORY.parent / "shared")
    if not folder.is_dir():
        reason = f"no folder of shared data at {folder}; set BITEWRIGHT_SHARED to where it is"
        if IS_CI:
            pytest.fail(reason)
        pytest.skip(reason)
    return folder


@pytest.fixture
def own_folders(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Data, settings and cache folders of the test's own, and no store named outside it."""
    for name in ("XDG_DATA_HOME", "XDG_CONFIG_HOME", "XDG_CACHE_HOME"):
        monkeypatch.setenv(name, str(tmp_path / name.lower()))
    monkeypatch.delenv("BITEWRIGHT_STORE", raising=False)
    return tmp_path


@pytest.fixture
def no_films_kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty cache of the test's own: other tests of the run have kept no film mouth in it."""
    monkeypatch.setenv(FILM_CACHE, str(tmp_path / "cache"))
    return tmp_path / "cache"


@pytest.fixture(params=["sqlite", "postgresql"])
def location(request: pytest.FixtureRequest, own_folders: Path) -> Iterator[StoreLocation]:
    """Where an empty store can be made, once in either database."""
    with empty_location(request.param, own_folders) as made:
        yield made


def pytest_configure(config: pytest.Config) -> None:
    """Give a run a folder for what is made once; several processes share all of it."""
    if not hasattr(config, "workerinput"):
        is_shared = bool(getattr(config.option, "numprocesses", None))
        config.add_cleanup(begin_run(is_shared=is_shared))


def pytest_collection_finish() -> None:
    """Leave what is imported by then out of every later search for rubbish: it stays to the end."""
    gc.collect()
    gc.freeze()


def pytest_report_header() -> str:
    """Say at the top which rule for skips is in force."""
    return f"bitewright: a skipped test {'fails this run (CI=true)' if IS_CI else 'is allowed'}"


@pytest.hookimpl(tryfirst=True)
def pytest_sessionfinish(session: pytest.Session) -> None:
    """With CI=true, fail a run that would have passed if any test was skipped."""
    if IS_CI and unexplained_skips(session.config) and session.exitstatus == pytest.ExitCode.OK:
        session.exitstatus = pytest.ExitCode.TESTS_FAILED


def pytest_terminal_summary(
    terminalreporter: pytest.TerminalReporter, config: pytest.Config
) -> None:
    """Name the skips that failed the run."""
    skips = unexplained_skips(config) if IS_CI else []
    if skips:
        terminalreporter.section("skipped, which CI=true does not allow", red=True)
        for line in skips:
            terminalreporter.write_line(line)


def unexplained_skips(config: pytest.Config) -> list[str]:
    """Skips, by test, but for those whose reason begins with "platform:"."""
    reporter = config.pluginmanager.get_plugin("terminalreporter")
    reports = reporter.stats.get("skipped", []) if reporter else []
    reasons = [(report.nodeid, skip_reason(report)) for report in reports]
    return [f"{test}: {why}" for test, why in reasons if not why.startswith(PLATFORM_SKIP)]


def skip_reason(report: pytest.TestReport | pytest.CollectReport) -> str:
    """The words given for a skip, without pytest's own "Skipped: "."""
    reason = report.longrepr[2] if isinstance(report.longrepr, tuple) else str(report.longrepr)
    return reason.removeprefix("Skipped: ")
