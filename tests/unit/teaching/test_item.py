"""Scores of choices and orders."""

import pytest

from bitewright.teaching.item import Item, ItemAnswerError, ItemKind, choice_score, order_score


def an_item(kind: ItemKind, key: tuple[int, ...]) -> Item:
    return Item(
        id="a-1",
        kind=kind,
        topic="tube-too-far-forward",
        question="What went wrong?",
        choices=("one", "two", "three"),
        key=key,
        explanation=("Because.",),
        film_png=b"",
    )


def test_every_choice_of_the_key_scores_full() -> None:
    item = an_item(ItemKind.NAME, (0, 2))
    assert [choice_score(item, chosen) for chosen in range(3)] == [1.0, 0.0, 1.0]
    with pytest.raises(ItemAnswerError, match="from 0 to 2"):
        choice_score(item, 3)


@pytest.mark.parametrize(
    ("order", "score"),
    [((2, 0, 1), 1.0), ((1, 0, 2), 0.0), ((2, 1, 0), 2 / 3), ((0, 2, 1), 2 / 3)],
)
def test_an_order_scores_the_pairs_that_stand_right(order: tuple[int, ...], score: float) -> None:
    assert order_score(an_item(ItemKind.ORDER, (2, 0, 1)), order) == pytest.approx(score)


def test_an_order_holds_every_choice_once() -> None:
    with pytest.raises(ItemAnswerError, match="each number"):
        order_score(an_item(ItemKind.ORDER, (2, 0, 1)), (0, 0, 1))
