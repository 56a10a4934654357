"""Words that belong to how the project was made, not to the project."""

import re
from pathlib import Path

from tests.repository.sources import TOP, named, project_files

# Written in pieces, so that this file does not hold what it forbids.
FORBIDDEN = (
    "trans" + "cript",
    "seed " + "document",
    "the " + r"seed\b",
    "sub" + "agent",
    "helper " + "session",
    "issue " + "tracker",
    "/" + "work/",
    "/" + "farm/",
    "tmp/" + "brief",
    "before" + "-stop",
)
PATTERN = re.compile(rf"\b(?:{'|'.join(FORBIDDEN)})|(?<!\w)/(?:work|farm)/", re.IGNORECASE)
OF_RANDOM_NUMBERS = re.compile(r"random|rng|seed(ed)? ?=|default_rng", re.IGNORECASE)
SEED = re.compile(r"\bthe seed\b", re.IGNORECASE)
TEXT = {"", ".cff", ".csv", ".in", ".json", ".lock", ".md", ".py", ".toml", ".txt", ".yml"}

MESSY_SHEETS = TOP / "tests" / "messy_sheets"
MESSY_ENCODINGS = ("utf-8-sig", "utf-16", "cp1252", "mac_roman")


def test_no_file_speaks_of_how_it_was_made() -> None:
    found = [
        f"{named(path)}:{number}: {line.strip()[:100]}"
        for path in project_files()
        if path.suffix in TEXT
        for number, line in enumerate(lines_of(path), start=1)
        if PATTERN.search(line) and not is_about_random_numbers(line)
    ]
    assert not found, "\n".join(found)


def lines_of(path: Path) -> list[str]:
    """A file's lines; messy sheets are in the encodings that practices keep."""
    content = path.read_bytes()
    for encoding in MESSY_ENCODINGS if path.is_relative_to(MESSY_SHEETS) else ("utf-8",):
        try:
            return content.decode(encoding).splitlines()
        except UnicodeError:
            continue
    raise AssertionError(f"{named(path)} is not in UTF-8")


def is_about_random_numbers(line: str) -> bool:
    """A generator's seed is a word of the trade; every other mention is not."""
    others = PATTERN.sub(lambda hit: "" if SEED.fullmatch(hit[0]) else hit[0], line)
    return not PATTERN.search(others) and bool(OF_RANDOM_NUMBERS.search(line))
