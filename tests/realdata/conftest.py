"""Teeth nobody here made, read and compared with outlines of their sizes once."""

from pathlib import Path

import pytest

from builders.anatomy_films import ATLAS, SCAN
from trials.compare_anatomy import AnatomyComparison, compare_anatomy


@pytest.fixture(scope="session")
def atlas(shared_data: Path) -> AnatomyComparison:
    """The atlas' teeth, to be looked at only."""
    return compare_anatomy(shared_data / ATLAS, name="atlas")


@pytest.fixture(scope="session")
def scan(shared_data: Path) -> AnatomyComparison:
    """One person's scanned crowns, to be looked at only."""
    return compare_anatomy(shared_data / SCAN, name="scan")
