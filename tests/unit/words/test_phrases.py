"""Counts take their plural, and words stand in a row as people say them."""

import pytest

from bitewright.words.phrases import are, capital, counted, listed, noun


@pytest.mark.parametrize(
    ("count", "said"), [(0, "0 films"), (1, "1 film"), (2, "2 films"), (1000, "1000 films")]
)
def test_counts_take_their_plural(count: int, said: str) -> None:
    assert counted(count, "film") == said


def test_nouns_that_take_no_s_have_a_plural_of_their_own() -> None:
    assert counted(1, "entry", "entries") == "1 entry"
    assert counted(3, "entry", "entries") == "3 entries"
    assert noun(2, "tooth", "teeth") == "teeth"


def test_the_verb_goes_with_the_count() -> None:
    assert [are(count) for count in (0, 1, 2)] == ["are", "is", "are"]


@pytest.mark.parametrize(
    ("words", "said"),
    [([], ""), (["a"], "a"), (["a", "b"], "a and b"), (list("abc"), "a, b and c")],
)
def test_words_in_a_row(words: list[str], said: str) -> None:
    assert listed(words) == said


def test_a_capital_leaves_the_rest() -> None:
    assert capital("the UK scheme") == "The UK scheme"
    assert capital("") == ""
