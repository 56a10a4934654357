"""Rendered films beside the one real film: the figures that docs/film-likeness.md claims."""

from collections.abc import Mapping
from pathlib import Path

import numpy as np
import pytest

from builders.blind_films import rendered_films
from builders.film_likeness import figures
from builders.marked_films import real_film

pytestmark = [pytest.mark.realdata, pytest.mark.slow]

IMAGE = "real/bitewing_single_mit/bitewing.png"
MARKS = Path(__file__).parent / "open-bitewing.marks.json"
SEEDS = range(1, 7)


@pytest.fixture(scope="module")
def real(shared_data: Path) -> Mapping[str, float]:
    return figures(real_film(shared_data / IMAGE, MARKS))


@pytest.fixture(scope="module")
def rendered() -> Mapping[str, float]:
    """Medians over films."""
    every = [figures(film) for film in rendered_films(SEEDS)]
    return {name: float(np.nanmedian([each[name] for each in every])) for name in every[0]}


@pytest.mark.parametrize(
    "name",
    [f"{tissue} of {place}" for tissue in ("enamel", "dentine") for place in (4, 5, 6, 7)]
    + ["metal", "septa, upper", "septa, lower"],
)
def test_tissues_are_as_grey_within_25_levels(
    real: Mapping[str, float], rendered: Mapping[str, float], name: str
) -> None:
    assert abs(rendered[name] - real[name]) < 25.0, (real[name], rendered[name])


@pytest.mark.parametrize("jaw", ["upper", "lower"])
@pytest.mark.parametrize("per_mm", ["0.4", "1", "1.6", "2.2", "3"])
def test_septa_have_the_real_films_grain_within_a_factor_of_two(
    real: Mapping[str, float], rendered: Mapping[str, float], jaw: str, per_mm: str
) -> None:
    name = f"grain of {jaw} septa at {per_mm} per mm"
    assert 0.5 < rendered[name] / real[name] < 2.0, (real[name], rendered[name])


@pytest.mark.parametrize("where", ["cheek", "teeth", "metal"])
@pytest.mark.parametrize("per_mm", ["4", "8", "12"])
def test_noise_is_as_strong_within_a_factor_of_two(
    real: Mapping[str, float], rendered: Mapping[str, float], where: str, per_mm: str
) -> None:
    name = f"noise of {where} at {per_mm} per mm"
    assert 0.5 < rendered[name] / real[name] < 2.0, (real[name], rendered[name])


def test_metals_edge_is_as_sharp_and_has_a_rim(
    real: Mapping[str, float], rendered: Mapping[str, float]
) -> None:
    width = "metal's edge, 10 to 90 %, mm"
    assert rendered[width] == pytest.approx(real[width], abs=0.035)
    rim = "metal's edge, overshoot"
    assert 0.5 < rendered[rim] / real[rim] < 1.5
    assert abs(rendered["metal's edge, undershoot"]) < 0.03
