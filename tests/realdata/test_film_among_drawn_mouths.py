"""The one real film beside films of drawn mouths: how high, how far apart, how sloping.

One film of one person, who has short premolars: it can refute the mouths, not confirm them.
"""

from pathlib import Path

import numpy as np
import pytest

from bitewright.mouth.population_mouth import population_mouth
from trials.film_figures import GAPS, figures_of_many, marked_film_figures

pytestmark = pytest.mark.slow

MARKS = Path(__file__).parent / "open-bitewing.marks.json"
DRAWN = 60


def test_the_real_film_lies_among_films_of_drawn_mouths() -> None:
    """Each figure within three standard deviations; gaps and slopes within two and a half."""
    drawn = figures_of_many(population_mouth(seed, may_lack_teeth=False) for seed in range(DRAWN))
    real = marked_film_figures(MARKS)
    assert real.keys() == drawn.keys()
    away = {name: (real[name] - of.mean()) / of.std() for name, of in drawn.items()}
    for name, deviations in away.items():
        most = 2.5 if name in GAPS or "cusps," in name or "rows" in name else 3.0
        assert abs(deviations) < most, (name, deviations)
    assert np.sqrt(np.mean(np.square(list(away.values())))) == pytest.approx(1.0, abs=0.8)
