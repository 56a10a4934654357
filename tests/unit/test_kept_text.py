"""What cannot be kept is found wherever it stands; what is said back is short and printable."""

import pytest

from bitewright.errors import BitewrightError, listed_plainly, plainly, quoted
from bitewright.kept_text import (
    DEEPEST,
    MOST_PARTS,
    TextNotKeptError,
    check_text,
    not_kept,
    place_words,
    with_signs_for_what_is_not_kept,
)


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("cut emoji \ud83d", "half a character"),
        ("a\0b", "control character '\\x00'"),
        ("\x1b[31mred", "control character '\\x1b'"),
        ("\x85", "control character"),
        ("\x7f", "control character"),
    ],
)
def test_a_text_that_breaks_programs_is_refused(text: str, problem: str) -> None:
    with pytest.raises(TextNotKeptError) as caught:
        check_text("note", text)
    assert problem in str(caught.value)
    assert str(caught.value).isprintable()


@pytest.mark.parametrize(
    "text", ["", "Zähne", "two\nlines\tand a tab", "歯", "\U0001f9b7", "עברית"]
)
def test_text_of_people_is_kept(text: str) -> None:
    check_text("note", text)
    assert with_signs_for_what_is_not_kept({"note": [text]}) == {"note": [text]}


def test_a_text_of_one_line_has_no_second() -> None:
    with pytest.raises(TextNotKeptError, match="one line"):
        check_text("name", "two\nlines", lines=False)


@pytest.mark.parametrize(
    ("content", "place"),
    [
        ({"a": {"b": ["x", "y\0"]}}, "a / b / 1"),
        ({"a": {"\ud83d": 1}}, "a / \\ud83d"),
        ({"a": 10**400}, "a"),
        ([{"b": -(2**63) - 1}], "0 / b"),
    ],
)
def test_what_cannot_be_kept_is_found_at_its_place(content: object, place: str) -> None:
    found = not_kept(content)
    assert found is not None
    assert place_words(found[0]) == place
    assert not_kept({"a": [2**63 - 1, 1.5, True, None, float("inf")]}) is None
    assert not_kept({"a": [float("inf")]}, finite=True) is not None


def test_content_without_end_is_refused() -> None:
    deep: object = 1
    for _ in range(DEEPEST + 1):
        deep = [deep]
    assert not_kept(deep) is not None
    assert not_kept([1] * (MOST_PARTS + 2)) is not None


def test_signs_stand_for_what_cannot_be_shown() -> None:
    assert with_signs_for_what_is_not_kept({"a\0": ["b\ud83dc", 1]}) == {"a\ufffd": ["b\ufffdc", 1]}


@pytest.mark.parametrize(
    "given",
    ["x" * 10_000, "\0" * 50, "a\nb" * 100, "\ud83d", {"a": "b" * 500}, [1] * 500, 10**300, None],
)
def test_at_most_sixty_printable_characters_are_said_back(given: object) -> None:
    for said in (quoted(given).strip("'"), plainly(str(given))):
        assert len(said) <= 60
        assert said.isprintable()


def test_a_short_text_is_said_back_whole() -> None:
    assert quoted("plate-2") == "'plate-2'"
    assert quoted(3.5) == "3.5"
    assert plainly("plate-2") == "plate-2"
    assert listed_plainly(range(14)) == "0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11 and 2 more"


def test_every_sentence_is_one_line_that_can_be_printed() -> None:
    assert str(BitewrightError("a\nb\x1b[2J \ud83d")) == "a b\\x1b[2J \\ud83d"


def test_no_sentence_holds_a_word_without_end() -> None:
    path = "/srv/films/" + "n" * 200
    assert path in str(BitewrightError(f"The file {path} cannot be read."))
    said = str(BitewrightError(f"The file {'x' * 70_000} cannot be read."))
    assert said == f"The file {'x' * 60}... cannot be read."
