"""Loaded by pytest: writes down which functions of the source ran, each as module:function.

What is compiled to machine code is not seen.
"""

import json
import os
import sys
import threading
from pathlib import Path
from types import CodeType, FrameType

SEEN: set[CodeType] = set()


def _watched(frame: FrameType, _event: str, _argument: object) -> None:
    SEEN.add(frame.f_code)


def pytest_unconfigure() -> None:
    """Write the functions to the file that BITEWRIGHT_CALLED names."""
    if "BITEWRIGHT_CALLED" not in os.environ:
        return
    sys.settrace(None)
    source = os.environ["BITEWRIGHT_CALLED_IN"]
    found = {
        f"{Path(code.co_filename).relative_to(source).with_suffix('')}:{code.co_qualname}"
        for code in SEEN
        if code.co_filename.startswith(source) and "<module>" not in code.co_qualname
    }
    names = sorted(name.replace("/", ".").replace(".<locals>", "") for name in found)
    Path(os.environ["BITEWRIGHT_CALLED"]).write_text(json.dumps(names), "utf-8")


if "BITEWRIGHT_CALLED" in os.environ:
    threading.settrace(_watched)
    sys.settrace(_watched)
