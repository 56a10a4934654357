"""Loaded by pytest: writes down which functions of the source each test file runs, and how long.

What is compiled to machine code is not seen, nor what another process runs; and what is built once
and kept is seen in the file alone that comes first.
"""

import json
import os
import sys
import threading
import time
from collections import defaultdict
from collections.abc import Generator, Iterator
from contextlib import contextmanager
from pathlib import Path
from types import CodeType, FrameType

import pytest

SEEN: dict[str, set[CodeType]] = defaultdict(set)
SECONDS: dict[str, float] = defaultdict(float)
FAILED: set[str] = set()
NOW = [""]


def _watched(frame: FrameType, _event: str, _argument: object) -> None:
    SEEN[NOW[0]].add(frame.f_code)


@contextmanager
def _as_of(file: str) -> Iterator[None]:
    NOW[0], began = file, time.monotonic()
    yield
    SECONDS[file] += time.monotonic() - began
    NOW[0] = ""


@pytest.hookimpl(wrapper=True)
def pytest_make_collect_report(collector: pytest.Collector) -> Generator[None, object, object]:
    """What a test file runs when it is loaded is its own."""
    with _as_of(collector.nodeid.split("::")[0]):
        return (yield)


@pytest.hookimpl(wrapper=True)
def pytest_runtest_protocol(item: pytest.Item) -> Generator[None, object, object]:
    """So is what its tests run, and all that is made for them."""
    with _as_of(item.nodeid.split("::")[0]):
        return (yield)


def pytest_collectreport(report: pytest.CollectReport) -> None:
    """Note the files that cannot even be loaded."""
    if report.failed:
        FAILED.add(report.nodeid.split("::")[0])


def pytest_runtest_logreport(report: pytest.TestReport) -> None:
    """Note the files that fail without any bug."""
    if report.failed:
        FAILED.add(report.nodeid.split("::")[0])


def pytest_unconfigure() -> None:
    """Write all of it to the file that BITEWRIGHT_CALLED names."""
    sys.settrace(None)
    source = os.environ["BITEWRIGHT_CALLED_IN"]
    found = {
        file: {
            "seconds": round(SECONDS[file], 2),
            "passed": file not in FAILED,
            "functions": sorted({_name(code, source) for code in SEEN[file]} - {""}),
        }
        for file in SECONDS
        if file.endswith(".py")
    }
    Path(os.environ["BITEWRIGHT_CALLED"]).write_text(json.dumps(found), "utf-8")


def _name(code: CodeType, source: str) -> str:
    """Such as "bitewright.audit.rates:Event.flags"; "" of what is no function of the source."""
    if not code.co_filename.startswith(source) or "<module>" in code.co_qualname:
        return ""
    module = Path(code.co_filename).relative_to(source).with_suffix("")
    return f"{'.'.join(module.parts)}:{code.co_qualname.split('.<locals>')[0]}"


threading.settrace(_watched)
sys.settrace(_watched)
