"""``python -m bitewright``."""

from bitewright.cli.main import run

run()
