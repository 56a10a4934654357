"""Links in our Markdown lead somewhere."""

import re
from pathlib import Path

import pytest

from tests.repository.sources import TOP, named, project_files

LINK = re.compile(r"(?<!\\)!?\[[^\]]*\]\(<?([^)\s>]+)>?(?:\s+\"[^\"]*\")?\)")
FENCE = re.compile(r"^```.*?^```", re.MULTILINE | re.DOTALL)
COMMENT = re.compile(r"<!--.*?-->", re.DOTALL)
OWN_PLACE = re.compile(r"`((?:benchmarks|builders|docs|src|tests|trials)/[\w./*-]+)`")
OUTSIDE = ("http://", "https://", "mailto:")
PAGES = [path for path in project_files() if path.suffix == ".md"]


@pytest.mark.parametrize("page", PAGES, ids=named)
def test_links_resolve(page: Path) -> None:
    broken = [link for link in links_of(page) if not resolves(link, page)]
    assert not broken, f"{named(page)} points to what is not there: {broken}"


@pytest.mark.parametrize("page", PAGES, ids=named)
def test_places_in_our_own_folders_are_there(page: Path) -> None:
    text = page.read_text(encoding="utf-8")
    gone = [place for place in OWN_PLACE.findall(text) if not list(TOP.glob(place))]
    assert not gone, f"{named(page)} names what is not there: {gone}"


def links_of(page: Path) -> list[str]:
    """Every link within the project, those in code and comments left out."""
    text = COMMENT.sub("", FENCE.sub("", page.read_text(encoding="utf-8")))
    return [link for link in LINK.findall(text) if not link.startswith(OUTSIDE)]


def resolves(link: str, page: Path) -> bool:
    """Whether the file is there and, if a heading is named, the heading too."""
    place, _, heading = link.partition("#")
    target = (page.parent / place) if place else page
    return target.exists() and (not heading or heading in anchors(target))


def anchors(page: Path) -> set[str]:
    """Headings as GitHub spells them in links."""
    headings = re.findall(r"^#+ +(.+)$", FENCE.sub("", page.read_text("utf-8")), re.MULTILINE)
    return {re.sub(r"[^\w\- ]", "", text.lower()).strip().replace(" ", "-") for text in headings}
