"""The population of mouths: what it varies, and that its quick shapes are its built ones."""

from dataclasses import replace

import numpy as np
import pytest

from bitewright.estimation.mouth_belief import population
from bitewright.estimation.mouth_prior import closed_teeth, directions, mean_mouth, moved
from bitewright.estimation.mouth_shapes import MouthShapes, mouth_shapes
from bitewright.exposing.aim import Aim
from bitewright.exposing.project import project, project_shapes
from bitewright.exposing.targets import targets
from bitewright.mouth.mouth import Mouth, Tooth, textbook_mouth
from bitewright.mouth.numbering import Side
from bitewright.mouth.outlines import build_outlines
from bitewright.mouth.population_mouth import Regularity, _Whole
from bitewright.mouth.population_table import kind_place
from bitewright.mouth.standard_mouth import standard_mouth
from bitewright.quality.views import view
from tests.scenes import exposure_of

ALONG = directions()
REGION = view("right-premolar").region


def test_the_prior_stands_about_the_populations_middle() -> None:
    assert mean_mouth().teeth == standard_mouth().teeth
    assert mean_mouth((14, 15, 16)).teeth.keys() == standard_mouth().teeth.keys()


def test_the_prior_spreads_as_drawn_mouths_do() -> None:
    """Turns, widths and flanks of one tooth, both drawn from the population's figures."""
    generator = np.random.default_rng(8)
    believed = [
        moved(mean_mouth(), generator.standard_normal(len(ALONG)), ALONG).teeth[15]
        for _ in range(400)
    ]
    drawn = [_drawn_tooth(seed) for seed in range(400)]
    for name in ("rotation_deg", "md_crown_mm", "mesial_flank_deg", "buccal_cusps_mm", "tip_deg"):
        here, there = (
            np.array([getattr(tooth, name) for tooth in own]) for own in (believed, drawn)
        )
        assert abs(here.mean() - there.mean()) < 0.25 * there.std(), name
        # The two least ways of seven are left out, and settling takes something off turns.
        assert 0.8 < here.std() / there.std() < 1.25, name


def _drawn_tooth(seed: int) -> Tooth:
    return _Whole.of(seed, Regularity.POPULATION).tooth(15, textbook_mouth().teeth[15])


def test_a_mouth_moved_by_nothing_is_itself() -> None:
    base = mean_mouth()
    assert moved(base, np.zeros(len(ALONG)), ALONG) == base


def test_one_direction_moves_only_its_tooth() -> None:
    step = np.zeros(len(ALONG))
    names = [each.name for each in ALONG]
    step[names.index("rotation_deg upper 5")] = 2.0
    mouth = moved(mean_mouth(), step, ALONG)
    changed = {code for code, tooth in mouth.teeth.items() if tooth != mean_mouth().teeth[code]}
    assert changed == {15, 25}
    assert mouth.teeth[15].rotation_deg == pytest.approx(2.0 * kind_place(15).turn_sd_deg)


def test_extreme_mouths_stay_describable() -> None:
    generator = np.random.default_rng(4)
    for _ in range(50):
        moved(mean_mouth(), 2.5 * generator.standard_normal(len(ALONG)), ALONG)


@pytest.fixture(scope="module")
def shapes() -> MouthShapes:
    return mouth_shapes(tuple(mean_mouth().teeth), REGION)


@pytest.mark.slow
def test_quick_overlaps_are_near_built_ones(shapes: MouthShapes) -> None:
    """0.2 mm robust deviation where everything varies at once, about what overlaps are allowed.

    Beyond that, teeth far out of line with one another change unevenly: up to a millimetre and a
    half in one contact of a hundred.
    """
    generator = np.random.default_rng(0)
    differences = []
    for _ in range(12):
        amounts = generator.standard_normal(len(ALONG))
        exposure = exposure_of(shapes.outlines, "right-premolar", Aim(ring_offset_deg=4.0))
        built, _ = project(exposure, targets(build_outlines(_mouth(amounts)), REGION))
        quick, _ = project_shapes(exposure, shapes.targets, shapes.of(amounts[None]))
        differences.append(
            _overlaps(quick.points_receptor[0]) - _overlaps(built.points_receptor[0])
        )
    off = np.array(differences)
    assert 1.4826 * np.median(np.abs(off - np.median(off))) < 0.25
    assert np.quantile(np.abs(off), 0.99) < 1.5


def test_rebuilt_shapes_are_exact_where_they_are_built(shapes: MouthShapes) -> None:
    amounts = np.random.default_rng(1).standard_normal(len(ALONG))
    again = shapes.rebuilt_at(amounts, REGION)
    built = targets(build_outlines(_mouth(amounts)), REGION)
    assert np.allclose(again.of(amounts[None]).flanks_mouth[0], built.flanks_mouth, atol=1e-9)
    assert np.allclose(again.of(amounts[None]).points_mouth[0], built.points_mouth, atol=1e-9)


def test_a_closed_space_stays_closed_in_every_mouth_of_the_population() -> None:
    """As in a mouth described without the tooth, but for its facet; kept, there is no contact."""
    present = tuple(code for code in mean_mouth().teeth if code != 14)
    amounts = 0.5 * np.random.default_rng(2).standard_normal(len(ALONG))
    shapes = mouth_shapes(present, REGION, (14,)).rebuilt_at(amounts, REGION)
    alone = {code: tooth for code, tooth in _mouth(amounts).teeth.items() if code != 14}
    built = build_outlines(replace(_mouth(amounts), teeth=alone))
    assert (13, 15) in shapes.outlines.site
    assert np.allclose(
        shapes.outlines.site[13, 15].point_mouth, built.site[13, 15].point_mouth, atol=0.1
    )
    assert closed_teeth(shapes.outlines.mouth) == (14,)
    assert replace(population(present), closed=(14,)).mouth().teeth.keys() == alone.keys()
    assert (13, 15) not in mouth_shapes(present, REGION).outlines.site


def test_what_one_side_teaches_of_stances_says_nothing_of_the_other() -> None:
    before = population(tuple(mean_mouth().teeth))
    size = len(before.mean)
    taught = replace(
        before, side=Side.RIGHT, mean=np.ones(size), covariance=0.25 * np.eye(size), films=1
    )
    other = taught.seen_from(Side.LEFT)
    names = [each.name for each in taught.along]
    stance, size_of = names.index("rotation_deg upper 5"), names.index("size upper 6")
    assert other.mean[stance] == 0.0
    assert other.covariance[stance, stance] == pytest.approx(1.0)
    assert other.mean[size_of] == pytest.approx(0.9)
    assert taught.seen_from(Side.RIGHT).mean[stance] == 1.0


def _mouth(amounts: np.ndarray) -> Mouth:
    return moved(mean_mouth(), amounts, ALONG)


def _overlaps(points: np.ndarray) -> np.ndarray:
    return points[1:16:2, 0] - points[0:16:2, 0]
