"""Scatter files: how far one operator's exposures fall from where they were meant."""

from pathlib import Path
from typing import Any

import numpy as np

from bitewright.exposing.scatter import AimPart, Scatter
from bitewright.files.disk import read_file, write_file
from bitewright.files.json_documents import check_document, document_bytes, parse_document

SCATTER_FORMAT = "bitewright.scatter/1"
SCHEMAS = {SCATTER_FORMAT: "scatter-1.json"}
MOST_BYTES = 1 << 20


def read_scatter(path: Path) -> Scatter:
    """The scatter a file holds.

    Raises
    ------
    FileUnreadableError, NotJsonError, DocumentFormatError, SchemaViolationError,
    ScatterCovarianceError
    """
    path = Path(path)
    return scatter_from_text(read_file(path, most_bytes=MOST_BYTES), str(path))[0]


def scatter_from_text(text: bytes, where: str) -> tuple[Scatter, str]:
    """The scatter that a file's text holds, and whose; errors as `read_scatter`, less the file's.

    Parameters
    ----------
    text : bytes
    where : str
        What the file is called in an error.
    """
    document = parse_document(text, where, schemas=SCHEMAS)
    scatter = Scatter(
        **{part.value: float(document["mean"][part.value]) for part in AimPart},
        covariance=np.array(document["covariance"], dtype=np.float64),
    )
    return scatter, str(document["operator"])


def write_scatter(path: Path, scatter: Scatter, *, operator: str, assessed: int) -> None:
    """Write a scatter, whole or not at all; `read_scatter` gives an equal one back.

    Raises
    ------
    FileUnwritableError
    """
    document = scatter_document(scatter, operator=operator, assessed=assessed)
    check_document(document, str(path), schemas=SCHEMAS)
    write_file(Path(path), document_bytes(document))


def scatter_document(scatter: Scatter, *, operator: str, assessed: int) -> dict[str, Any]:
    """A scatter as data: whose, on how many exposures, means and covariance."""
    return {
        "format": SCATTER_FORMAT,
        "operator": operator,
        "assessed": assessed,
        "mean": {part.value: round(float(getattr(scatter, part.value)), 4) for part in AimPart},
        "order": [part.value for part in AimPart],
        "covariance": [[round(float(cell), 6) for cell in row] for row in scatter.covariance],
    }


__all__ = [
    "SCATTER_FORMAT",
    "read_scatter",
    "scatter_document",
    "scatter_from_text",
    "write_scatter",
]
