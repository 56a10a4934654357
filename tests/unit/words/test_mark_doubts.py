"""Marks to check, in words: which way the picture's edge lies, and no more than was measured."""

import pytest

from bitewright.explanation.doubtful_marks import DoubtfulMark
from bitewright.words.mark_doubts import mark_doubts


@pytest.mark.parametrize(
    ("name", "border_mm", "said"),
    [
        (
            "15.mesial",
            0.9,
            "no clear edge; the one that fits lies 0.9 mm further to the front: check the mark.",
        ),
        ("15.distal", 0.9, "0.9 mm further to the back"),
        ("15.distal", -0.6, "0.6 mm further to the front"),
        (
            "15.distal.crest",
            0.8,
            "shows no clear edge of bone; the one that fits lies 0.8 mm further towards the roots",
        ),
    ],
)
def test_a_mark_off_every_edge_is_told_where_the_edge_lies(
    name: str, border_mm: float, said: str
) -> None:
    (sentence,) = mark_doubts([DoubtfulMark(name=name, chance=0.6, border_mm=border_mm)])
    assert said in sentence
    assert sentence.startswith("Where the ")


def test_marks_that_only_the_others_speak_against_are_named_together() -> None:
    doubted = [DoubtfulMark(name=name, chance=0.3) for name in ("15.mesial", "16.mesial.cej")]
    (sentence,) = mark_doubts(doubted)
    assert "lie far from where the other marks lead one to expect them" in sentence
    assert mark_doubts([]) == []
