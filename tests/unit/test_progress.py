"""What a terminal is told while long work lasts."""

import io

import pytest
from rich.console import Console

from bitewright.cli.progress import told_on
from bitewright.steps import StoppedError


def test_a_terminal_sees_each_step_and_how_far_it_is() -> None:
    screen = Console(file=io.StringIO(), force_terminal=True, width=100)
    with told_on("Building the mouth", screen) as (begin, expect):
        expect(2)
        begin("tooth 16")
        begin("bone")
    written = screen.file.getvalue()  # type: ignore[attr-defined]  # the text file above
    assert "Building the mouth: bone" in written
    assert written.endswith("\x1b[2K")  # its line is wiped at the end


def test_nothing_is_told_where_no_terminal_looks_on() -> None:
    screen = Console(file=io.StringIO(), force_terminal=False)
    with told_on("Building the mouth", screen) as (begin, expect):
        expect(1)
        begin("tooth 16")
    assert screen.file.getvalue() == ""  # type: ignore[attr-defined]  # the text file above


def test_a_failure_is_let_through() -> None:
    screen = Console(file=io.StringIO(), force_terminal=True)
    with pytest.raises(StoppedError), told_on("Building", screen):
        raise StoppedError("The mouth")
