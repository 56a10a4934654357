"""A set of exercises, its page and its key, as one QTI 3.0 package for other programs."""

from base64 import b64decode
from dataclasses import dataclass
from pathlib import Path

from bitewright import __version__
from bitewright.files.exercise_files import read_key, read_set_page
from bitewright.files.qti_package import qti_package
from bitewright.keeping.whole_files import write_file
from bitewright.teaching.item import Item, ItemKind


@dataclass(frozen=True, slots=True, kw_only=True)
class QtiWritten:
    """What was written, and how many exercises have no form in the standard."""

    file: Path
    written: int
    left_out: int


def write_qti(page: Path, key: Path, out: Path) -> QtiWritten:
    """Write a set as a QTI 3.0 package, whole or not at all. It holds the answers.

    Raises
    ------
    OtherSetError
        If the key is another set's.
    NothingToExportError
    """
    given = read_set_page(page)
    known = {each["id"]: each for each in read_key(key, of_set=given["set"])["items"]}
    items = [
        Item(
            id=each["id"],
            kind=ItemKind(each["kind"]),
            topic=known[each["id"]]["topic"],
            question=each["question"],
            choices=tuple(each["choices"]),
            key=tuple(known[each["id"]]["key"]),
            explanation=tuple(known[each["id"]]["explanation"]),
            film_png=b64decode(each["film"]),
        )
        for each in given["items"]
    ]
    packed, left_out = qti_package(items, title=given["title"], version=__version__)
    write_file(out, packed)
    return QtiWritten(file=out, written=len(items) - left_out, left_out=left_out)


__all__ = ["QtiWritten", "write_qti"]
