"""What several surfaces look at: the demonstration, run once."""

from pathlib import Path

import pytest
from typer.testing import CliRunner

from bitewright.cli.main import app
from tests.made_once_a_run import own_turn


@pytest.fixture(scope="session")
def demonstration(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    """The folder the demonstration wrote, to be read only, and what it said.

    Of several processes one runs it, and the others take what it wrote.
    """
    with own_turn("demonstration") as folder:
        if folder is None:
            out = tmp_path_factory.mktemp("demo")
            return out, _run_demonstration(out)
        out, said = folder / "demonstration", folder / "demonstration.said"
        if not said.exists():
            said.write_text(_run_demonstration(out), encoding="utf-8")
        return out, said.read_text(encoding="utf-8")


def _run_demonstration(out: Path) -> str:
    answer = CliRunner().invoke(app, ["demo", "--out", str(out)])
    assert answer.exit_code == 0, answer.output + repr(answer.exception)
    return answer.output
