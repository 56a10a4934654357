"""What several surfaces look at: the demonstration, run once."""

from pathlib import Path

import pytest
from typer.testing import CliRunner

from bitewright.cli.main import app


@pytest.fixture(scope="session")
def demonstration(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    """The folder the demonstration wrote, to be read only, and what it said."""
    out = tmp_path_factory.mktemp("demo")
    answer = CliRunner().invoke(app, ["demo", "--out", str(out)])
    assert answer.exit_code == 0, answer.output + repr(answer.exception)
    return out, answer.output
