"""Tables of figures: read as code asks for them, refused where they hold something else."""

from typing import NamedTuple

import pytest

from bitewright.errors import BitewrightError
from bitewright.figure_tables import figures_of

PACKAGE, TABLE = "bitewright.film", "thinning"


class Whole(NamedTuple):
    """What the table holds."""

    tooth_mm: float
    bone_mm: float
    spongiosa_mm: float
    soft_tissue_mm: float


class Renamed(NamedTuple):
    """One figure under another name."""

    tooth_mm: float
    bone_mm: float
    spongiosa_mm: float
    cheek_mm: float


def test_figures_come_by_name_as_numbers() -> None:
    figures = figures_of(Whole, PACKAGE, TABLE)
    assert all(type(figure) is float and figure > 0.0 for figure in figures)
    assert figures.soft_tissue_mm > figures.tooth_mm


def test_a_table_must_hold_what_is_asked_and_no_more() -> None:
    with pytest.raises(BitewrightError, match=r"lacks cheek_mm and holds the unknown soft_tissue"):
        figures_of(Renamed, PACKAGE, TABLE)
