"""Films of atlas and scanned teeth: what the page says of explaining them is found again.

Two dentitions; nothing here says how another person's films are explained.
"""

import numpy as np
import pytest

from bitewright.quality.views import view
from builders.anatomy_films import FOR_WHY, HEAD, films_judged
from builders.independent_anatomy_page import PAGE, written_films
from trials.compare_anatomy import AnatomyComparison
from trials.known_films import Equipment
from trials.needed_swing import SwingScore
from trials.scanned_films import scanned_view

pytestmark = pytest.mark.realdata


def written_rows(table: int = 0) -> dict[tuple[str, str], list[str]]:
    """The page's first or second table by whose films and which view."""
    written = written_films(PAGE.read_text(encoding="utf-8")).split("\n\n")[table]
    cells = [
        [cell.strip() for cell in line.strip("|").split("|")] for line in written.splitlines()[2:]
    ]
    return {(row[0], row[1]): row for row in cells}


def figure(whose: str, name: str, column: str) -> float:
    return float(written_rows()[whose, name][HEAD.index(column)].rstrip("%"))


def test_films_of_the_atlas_are_explained_as_well_as_the_page_says(
    atlas: AnatomyComparison,
) -> None:
    """The page's first films of a view, made again; figures may differ by rounding elsewhere."""
    of = scanned_view(atlas.teeth, view("right-molar"), Equipment.usual(), jaws_related=True)
    assert of.open.azimuth_deg == pytest.approx(17.5, abs=0.3)
    judged = films_judged(of, FOR_WHY)
    assert np.ptp([each.needed_deg for each in judged]) > 15.0
    score = SwingScore.of(judged)
    mean, _, median = written_rows(1)["atlas", "right molar"][2].rstrip(")").partition(" (")
    assert score.median_deg == pytest.approx(float(median), abs=0.3)
    assert score.mean_deg == pytest.approx(float(mean), abs=0.3)
    assert score.right_share == 1.0
    assert score.after_mm < 0.4 * score.before_mm


def test_what_the_page_says_in_words_is_what_its_tables_show() -> None:
    assert figure("atlas", "all", "covered") == 100.0
    assert figure("person", "all", "covered") == pytest.approx(77.0, abs=3.0)
    assert figure("person", "all", "direction alone") == pytest.approx(700.0 / 64.0, abs=0.5)
    assert figure("atlas", "all", "direction alone") == 0.0
    assert figure("person", "right premolar", "direction right") == pytest.approx(70.0, abs=2.0)
    assert figure("person", "right premolar", "cannot tell") == 25.0
    for whose in ("atlas", "person"):
        assert figure(whose, "all", "after") < 0.5 * figure(whose, "all", "before")
    for whose, name in (("atlas", "right"), ("person", "right"), ("person", "left")):
        assert figure(whose, f"{name} molar", "direction right") == 100.0
    worst = "median, by the worst contact"
    whole = figure("person", "right premolar", worst)
    assert figure("person", "right premolar, without 43-44", worst) < 0.5 * whole
