"""Overlaps of one film drawn together, against films drawn at large and kept as they fit marks."""

import numpy as np
import pytest

from bitewright.marking.film_overlaps import film_overlaps, overlap_kinds

CONTACTS = ((14, 15), (15, 16), (16, 17), (44, 45), (45, 46), (46, 47))
SD = np.full(len(CONTACTS), 0.2)
NARROW = (0.05, 0.1, 0.15, 0.0, 0.1)


def drawn(*marked_mm: float) -> np.ndarray:
    found = film_overlaps(np.array(marked_mm), SD, CONTACTS)
    return found.drawn(20_000, np.random.default_rng(3))


@pytest.mark.parametrize(
    "marked",
    [(*NARROW, 0.75), (0.4, 0.6, 0.7, 0.5, 0.5, 0.75), (-0.3, 0.1, 0.5, 0.2, -0.1, 0.3)],
)
def test_overlaps_are_as_those_of_films_at_large_whose_marks_would_be_alike(
    marked: tuple[float, ...],
) -> None:
    """Two million films drawn by the table, each weighed by how likely it gives these marks."""
    kinds, generator = overlap_kinds(), np.random.default_rng(1)
    kind = generator.choice(len(kinds.shares), size=2_000_000, p=kinds.shares / kinds.shares.sum())
    places = [ahead % 10 - 3 for ahead, _ in CONTACTS]
    shape = kinds.shapes[kind][:, None]
    films = kinds.least_mm + generator.gamma(shape, kinds.usual_mm[kind][:, places] / shape)
    weight = np.exp(-0.5 * (((films - np.array(marked)) / SD) ** 2).sum(axis=1))
    weight /= weight.sum()
    found = drawn(*marked)
    assert found.mean(axis=0) == pytest.approx(weight @ films, abs=0.02)
    for limit in (0.1, 0.3, 0.65):
        all_below = float(weight @ (films <= limit).all(axis=1))
        assert (found <= limit).all(axis=1).mean() == pytest.approx(all_below, abs=0.03)


def test_one_wide_contact_among_narrow_ones_is_oftener_a_mark_that_is_off() -> None:
    alone = drawn(*NARROW, 0.75)[:, -1]
    among_wide = drawn(0.5, 0.6, 0.7, 0.5, 0.6, 0.75)[:, -1]
    assert (alone > 0.65).mean() < 0.5 * (among_wide > 0.65).mean()


def test_a_contact_that_is_not_marked_is_as_the_others_let_expect() -> None:
    beside_narrow = drawn(*NARROW, np.nan)[:, -1]
    beside_wide = drawn(0.8, 0.9, 0.9, 0.8, 0.8, np.nan)[:, -1]
    assert beside_narrow.mean() < 0.3
    assert beside_wide.mean() > 0.6
    nothing = drawn(*[np.nan] * 6)
    kinds = overlap_kinds()
    at_large = kinds.least_mm + kinds.shares @ kinds.usual_mm / kinds.shares.sum()
    assert nothing[:, 0].mean() == pytest.approx(at_large[1], abs=0.02)


def test_chances_worked_out_are_those_drawn() -> None:
    marked = np.array((*NARROW, 0.75))
    found = film_overlaps(marked, SD, CONTACTS)
    limits = np.array([0.0, 0.1, 0.4, 0.65, 2.0])
    for contact in range(len(CONTACTS)):
        share = (drawn(*marked)[:, contact, None] <= limits).mean(axis=0)
        assert found.chance_within(contact, limits) == pytest.approx(share, abs=0.015)


def test_marks_far_from_any_film_are_followed_all_the_same() -> None:
    found = drawn(4.0, 4.0, 4.0, 4.0, 4.0, -2.0)
    assert found[:, :5].mean() == pytest.approx(4.0, abs=0.2)
    assert found[:, 5].mean() < 0.05
