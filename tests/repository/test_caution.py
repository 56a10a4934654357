"""The caution has one text in the code."""

from tests.repository.sources import TOP, named, python_files

WORDING = "not for " + "diagnosis"
SAYS_IT = ("src/bitewright/words/caution.py", "src/bitewright/__init__.py")


def test_the_caution_is_worded_once() -> None:
    pages = sorted((TOP / "src" / "bitewright" / "web").rglob("*.html"))
    said = [
        named(path)
        for path in [*python_files("src"), *pages]
        if WORDING in path.read_text(encoding="utf-8").lower()
    ]
    assert sorted(said) == sorted(SAYS_IT)
