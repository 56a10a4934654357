"""Rating schemes an audit may use: the packaged ones, and a school's own in a TOML file."""

from pathlib import Path
from types import MappingProxyType
from typing import Any

from bitewright.files.json_documents import check_document
from bitewright.files.toml_files import read_toml
from bitewright.quality.rating_schemes import RatingScheme, rating_scheme

OWN_FORMAT = "bitewright.own-scheme/1"
SCHEMAS = {OWN_FORMAT: "own-scheme-1.json"}


def audit_scheme(given: str) -> RatingScheme:
    """A scheme by name, or from a file whose name ends in .toml.

    Raises
    ------
    UnknownSchemeError
        If the name is not known.
    FileUnreadableError, TomlFileError, DocumentFormatError, SchemaViolationError
        If the file cannot be used.
    """
    if not given.endswith(".toml"):
        return rating_scheme(given)
    document = read_toml(Path(given))
    check_document(document, given, schemas=SCHEMAS)
    return _scheme(document)


def _scheme(document: dict[str, Any]) -> RatingScheme:
    targets = MappingProxyType(document["targets"])
    best = document["best"]
    return RatingScheme(
        name=document["name"],
        title=document["title"],
        says=document.get("says", ""),
        grades=MappingProxyType({"all_met": best}),
        targets_digital=targets,
        targets_film=MappingProxyType(document.get("targets_film", document["targets"])),
        source=document["source"],
        year=document["year"],
    )


__all__ = ["audit_scheme"]
