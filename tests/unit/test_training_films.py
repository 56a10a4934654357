"""Films to learn from: the same for the same seed, as various as they claim, truth as elsewhere."""

from pathlib import Path

import numpy as np
import pytest

from bitewright.proposing.channels import channel_of
from builders.training_films import Wish, averaged, films_of
from builders.training_mouths import GAPS_MM, KINDS, is_held_out, kind_of, training_mouth

SEEDS = range(1, 25)


def test_a_seed_always_draws_the_same_mouth_and_another_seed_another() -> None:
    assert training_mouth(5) == training_mouth(5)
    assert training_mouth(5).teeth != training_mouth(8).teeth


def test_mouths_have_gaps_lost_teeth_and_fillings_and_some_have_none() -> None:
    mouths = [training_mouth(seed) for seed in SEEDS]
    apart = [[each.gap_mm for each in mouth.contacts.values()] for mouth in mouths]
    wide = [np.mean(np.array(gaps) > 0.1) for gaps in apart]
    assert min(wide) < 0.1
    assert max(wide) > 0.2
    assert max(map(max, apart)) <= GAPS_MM[1]
    lost = [sum(not tooth.present for tooth in mouth.teeth.values()) for mouth in mouths]
    assert 0 in lost
    assert sum(count > 0 for count in lost) >= 3
    filled = [sum(bool(tooth.parts) for tooth in mouth.teeth.values()) for mouth in mouths]
    assert min(filled) <= 3
    assert max(filled) >= 10
    assert len({len(mouth.teeth) for mouth in mouths}) == 2, "28 and 32 teeth"


def test_mouths_held_out_keep_their_kinds_and_half_of_the_others_are_irregular() -> None:
    held = [seed for seed in range(1, 700) if is_held_out(seed)]
    assert held == list(range(8, 700, 8))
    assert all(kind_of(seed) == KINDS[seed % 3] for seed in held)
    learnt = [kind_of(seed) for seed in range(1, 700) if not is_held_out(seed)]
    assert set(learnt) == set(KINDS)
    assert 0.4 < np.mean([kind == "population" for kind in learnt]) < 0.6


def test_a_film_averaged_to_larger_pixels_keeps_its_middle_and_its_grey() -> None:
    grey = np.zeros((620, 820), np.uint8)
    grey[300:320, 400:420] = 200
    halved = averaged(grey, 0.5)
    assert halved.shape == (310, 410)
    assert (halved == grey.reshape(310, 2, 410, 2).mean((1, 3))).all()
    odd = averaged(grey, 0.065 / 0.1)
    assert odd.shape == (403, 533)
    rows, columns = np.indices(odd.shape) + 0.5
    middle = [np.average(each, weights=odd) for each in (rows, columns)]
    assert middle == pytest.approx([403 / 2, 533 / 2], abs=0.02)
    assert odd.sum() == pytest.approx(grey.sum() * (0.065 / 0.1) ** 2, rel=0.01)


@pytest.mark.slow
def test_a_films_truth_lies_on_it_and_is_made_again_alike() -> None:
    wish = Wish(seed=3, films=2, out=Path())
    once, again = list(films_of(wish)), list(films_of(wish))
    assert len(once) == 2
    for film, other in zip(once, again, strict=True):
        assert (film["grey"] == other["grey"]).all()
        seen = film["u_px"][film["seen"]]
        rows, columns = film["grey"].shape
        # Two pixels, and what is cut off at the border where pixels are made larger.
        assert ((seen > -2.5) & (seen < (columns + 2.5, rows + 2.5))).all()
        assert len(seen) > 25
        assert all(channel_of(str(name)) is not None for name in film["names"])
