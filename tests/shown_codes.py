"""Every code there is, found in the tables and enumerations themselves, and which a text shows."""

import ast
import re
import tomllib
from collections.abc import Iterator
from functools import lru_cache
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import bitewright
from bitewright.log.fields import FIELDS, KINDS
from bitewright.mouth.tooth_parts import CARIES_DEPTHS, FILLING_SURFACES
from bitewright.quality.views import view_names
from bitewright.tasks.catalogue.named_mouths import DRAWN_SHOWN

PACKAGE = Path(bitewright.__file__).parent
CODE = re.compile(r"[a-z][a-z0-9]*([-_][a-z0-9]+)+")
"""How a code can be told from a word: parts joined by hyphens or low lines."""

LANDMARK = re.compile(r"\b[1-4][1-8]\.[a-z]+(\.[a-z]+)?\b")


@lru_cache(maxsize=1)
def codes() -> frozenset[str]:
    """Names that are typed, kept in files or sent, and are no words."""
    named = {*view_names(), *KINDS, *FIELDS, *FILLING_SURFACES, *CARIES_DEPTHS, *DRAWN_SHOWN}
    for table in PACKAGE.glob("*/tables/*.toml"):
        named |= set(_headings(tomllib.loads(table.read_text(encoding="utf-8"))))
    for module in PACKAGE.rglob("*.py"):
        named |= set(_members(ast.parse(module.read_text(encoding="utf-8"))))
    return frozenset(name for name in named if CODE.fullmatch(name))


def _headings(table: dict[str, Any]) -> Iterator[str]:
    """Names of a table's rows."""
    for key, value in table.items():
        if isinstance(value, dict):
            yield key
            yield from _headings(value)
        elif isinstance(value, list):
            yield from (row["name"] for row in value if isinstance(row, dict) and "name" in row)


def _members(module: ast.Module) -> Iterator[str]:
    """Texts that the members of a module's enumerations stand for."""
    for kind in ast.walk(module):
        if isinstance(kind, ast.ClassDef) and any(
            isinstance(base, ast.Name) and base.id.endswith("Enum") for base in kind.bases
        ):
            for node in kind.body:
                if isinstance(node, ast.Assign) and isinstance(node.value, ast.Constant):
                    yield str(node.value.value)


def codes_in(text: str) -> list[str]:
    """Codes, and names of landmarks, that a text shows."""
    words = set(re.findall(r"[\w-]+", text))
    return sorted(words & codes()) + sorted(hit[0] for hit in LANDMARK.finditer(text))


class _Shown(HTMLParser):
    UNSEEN = ("script", "style", "code")
    READ_OUT = ("aria-label", "title", "alt", "placeholder")

    def __init__(self) -> None:
        super().__init__()
        self.texts: list[str] = []
        self.within: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in self.UNSEEN:
            self.within.append(tag)
        self.texts += [value for name, value in attrs if name in self.READ_OUT and value]

    def handle_endtag(self, tag: str) -> None:
        if self.within and self.within[-1] == tag:
            self.within.pop()

    def handle_data(self, data: str) -> None:
        if not self.within:
            self.texts.append(data)


def shown_in_html(page: str) -> str:
    """What a page shows or has read out; a <code> tells what to type and is left out."""
    parser = _Shown()
    parser.feed(page)
    return "\n".join(parser.texts)


NAMING = frozenset({
    "format", "version",  # of the document
    "view", "mouth", "receptor", "holder", "tube", "scheme", "question", "criterion", "cause",
    "verdict",
    "name", "place", "slip", "target_lost", "failed", "costs_most", "mounting", "part",
    "settling_marks", "doubtful_marks", "group",  # each beside its title, or never shown
    "marks", "image",  # the fields of a marks file, the name of the film's file
})  # fmt: skip
"""Fields of the pages' documents that carry names on purpose, for programs and as values."""


def shown_in_document(document: Any) -> str:
    """Every text of a document that a page may show."""
    if isinstance(document, dict):
        named = (value for key, value in document.items() if key not in NAMING)
        return "\n".join(shown_in_document(value) for value in named)
    if isinstance(document, list):
        return "\n".join(shown_in_document(value) for value in document)
    return document if isinstance(document, str) else ""
