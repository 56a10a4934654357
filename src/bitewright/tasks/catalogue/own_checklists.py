"""A practice's own checklists: kept in the data folder, used in place of those that come along."""

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import Any

from bitewright import __version__
from bitewright.errors import BitewrightError, quoted
from bitewright.files.disk import FileUnreadableError, read_file, write_file
from bitewright.files.json_documents import check_document
from bitewright.files.own_folder import own_checklists_file, remove_own_checklists
from bitewright.files.toml_files import read_toml, toml_bytes, toml_from_bytes
from bitewright.keeping.turns import alone_with
from bitewright.log.checklists import (
    CHECKLISTS_FORMAT,
    Checklists,
    NoSuchChecklistError,
    checklists_document,
    own_checklists,
    packaged_checklists,
)
from bitewright.log.faults import fault_kinds
from bitewright.report.checklist_cards import ChecklistCard, checklist_cards_pdf
from bitewright.words import file_notes
from bitewright.words.audit_report import made_words
from bitewright.words.log_titles import fault_title

SCHEMAS = {CHECKLISTS_FORMAT: "checklists-1.json"}
MOST_BYTES = 1 << 20


class CardNotPdfError(BitewrightError):
    """Checklist cards were asked for as a file that is no PDF."""

    def __init__(self, given: str) -> None:
        super().__init__(
            f"Checklist cards are written as PDF, {quoted(given)} is none: give a file that ends "
            "in .pdf."
        )


def known_checklists() -> Checklists:
    """Every checklist by fault: the practice's own, and those that come along for the others.

    Raises
    ------
    TomlFileError, DocumentFormatError, SchemaViolationError, NoSuchChecklistError
        If the kept file was changed by hand and is not as it should be.
    """
    return {**packaged_checklists(), **_kept()}


def keep_checklists(path: Path) -> Checklists:
    """As `keep_checklists_text`, of a file."""
    return keep_checklists_text(read_file(path, most_bytes=MOST_BYTES), name=str(path))


def keep_checklists_text(text: bytes, *, name: str = "of checklists") -> Checklists:
    """Use a practice's own checklists from now on; what it leaves as it came is none of its own.

    Raises
    ------
    FileUnreadableError, TomlFileError, DocumentFormatError, SchemaViolationError,
    NoSuchChecklistError, FileUnwritableError
    """
    document = toml_from_bytes(text, name=name)
    check_document(document, f"The file {name}", schemas=SCHEMAS)
    packaged = packaged_checklists()
    own = {
        fault: each
        for fault, each in own_checklists(document).items()
        if (each.looks, each.source) != (packaged[fault].looks, packaged[fault].source)
    }
    with alone_with(own_checklists_file()):
        write_file(own_checklists_file(), _text(own))
    return own


def drop_checklists() -> bool:
    """Go back to those that come along; whether there were any of one's own.

    Raises
    ------
    FileUnwritableError
    """
    return remove_own_checklists()


def checklists_text() -> bytes:
    """Every checklist that holds, as a file to change."""
    return _text(known_checklists())


def write_checklists(path: Path) -> None:
    """Write the same; raises `FileUnwritableError`."""
    write_file(path, checklists_text())


def write_checklist_cards(path: Path, faults: Sequence[str]) -> int:
    """Write a card for each fault, or for all, to print and lay at the chair; how many.

    Raises
    ------
    CardNotPdfError, NoSuchChecklistError, FileUnwritableError
    """
    if path.suffix.lower() != ".pdf":
        raise CardNotPdfError(path.name)
    content, count = checklist_cards_bytes(faults)
    write_file(path, content)
    return count


def checklist_cards_bytes(faults: Sequence[str] = ()) -> tuple[bytes, int]:
    """The same as bytes, with how many.

    Raises
    ------
    NoSuchChecklistError
    """
    known = known_checklists()
    for fault in faults:
        if fault not in known:
            raise NoSuchChecklistError(fault)
    cards = [
        ChecklistCard(
            title=fault_kinds()[fault].title,
            says=fault_kinds()[fault].says,
            looks=known[fault].looks,
            source=known[fault].source,
        )
        for fault in (dict.fromkeys(faults) if faults else known)
    ]
    made = made_words(__version__, date.today().isoformat())  # noqa: DTZ011 - the reader's day
    return checklist_cards_pdf(cards, made=made), len(cards)


def checklist_rows() -> list[dict[str, Any]]:
    """Every checklist with its fault's title, as a page shows it."""
    return [
        {
            "fault": each.fault,
            "title": fault_title(each.fault),
            "says": fault_kinds()[each.fault].says,
            "looks": each.looks,
            "source": each.source,
            "is_own": each.is_own,
        }
        for each in known_checklists().values()
    ]


def _kept() -> Checklists:
    file = own_checklists_file()
    try:
        document = read_toml(file)
    except FileUnreadableError as error:
        if isinstance(error.__cause__, FileNotFoundError):
            return {}
        raise
    check_document(document, f"The file {file}", schemas=SCHEMAS)
    return own_checklists(document)


def _text(checklists: Checklists) -> bytes:
    return toml_bytes(
        checklists_document(checklists), name="checklists.toml", comment=file_notes.CHECKLISTS
    )


__all__ = [
    "CardNotPdfError",
    "checklist_cards_bytes",
    "checklist_rows",
    "checklists_text",
    "drop_checklists",
    "keep_checklists",
    "keep_checklists_text",
    "known_checklists",
    "write_checklist_cards",
    "write_checklists",
]
