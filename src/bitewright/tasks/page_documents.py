"""Schemas of every document that the pages send and receive, by format."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from bitewright.files.json_documents import check_document, schema

PAGE_FORMATS: Mapping[str, str] = MappingProxyType(
    {
        f"bitewright.{name}/1": f"{name}-1.json"
        for name in (
            "assessment",
            "bench",
            "bench-moving",
            "bench-plan",
            "bench-station",
            "bench-wish",
            "cannot-tell",
            "crown-edge",
            "error",
            "ladder",
            "light-box",
            "marks",
            "marks-change",
            "progress",
            "proposal",
            "usual-marks",
        )
    }
)
"""Schema file by format. A wish and a change of marks go to the server, the others to the page."""


def page_schema(of_format: str) -> dict[str, Any]:
    """The JSON schema of one of the pages' formats."""
    return schema(PAGE_FORMATS[of_format])


def check_page_document(document: Mapping[str, Any]) -> None:
    """Refuse a document that does not fit the schema of its format.

    Raises
    ------
    DocumentFormatError, SchemaViolationError
    """
    check_document(document, "the page's document", schemas=PAGE_FORMATS)


__all__ = ["PAGE_FORMATS", "check_page_document", "page_schema"]
