"""The glossary on the pages says what docs/glossary.md says, without code words."""

from builders.glossary_terms import FRAGMENT, SHOWN, fragment, words


def test_the_fragment_is_what_the_glossary_says() -> None:
    written = FRAGMENT.read_text(encoding="utf-8")
    assert written == fragment(), f"{FRAGMENT.name} is out of date: run `make docs`"
    assert all(words(section) for section in SHOWN)
    assert "_" not in written.replace("{#", "").split("#}", 1)[1]
