"""Belief files: what films have taught about one mouth, as one JSON document."""

from pathlib import Path
from typing import Any

import numpy as np

from bitewright.errors import BitewrightError
from bitewright.estimation.mouth_belief import MouthBelief
from bitewright.estimation.mouth_prior import directions
from bitewright.files.disk import read_file, write_file
from bitewright.files.json_documents import check_document, document_bytes, parse_document
from bitewright.mouth.numbering import Side

BELIEF_FORMAT = "bitewright.mouth-belief/1"
SCHEMAS = {BELIEF_FORMAT: "mouth-belief-1.json"}
MOST_BYTES = 16 << 20
DIGITS = 7


class BeliefContentError(BitewrightError):
    """A belief document fits its schema, but not the population this version believes in."""

    def __init__(self, where: str, problem: str) -> None:
        self.where = where
        super().__init__(
            f"{where}: {problem}; learn the belief again from its films with "
            "`bitewright assess --save-belief`."
        )


def write_belief(path: Path, belief: MouthBelief) -> None:
    """Write a belief, whole or not at all; `read_belief` gives it back to seven digits.

    Raises
    ------
    FileUnwritableError
    """
    document = belief_to_document(belief)
    check_document(document, str(path), schemas=SCHEMAS)
    write_file(Path(path), document_bytes(document))


def read_belief(path: Path) -> MouthBelief:
    """The belief a file holds.

    Raises
    ------
    FileUnreadableError, NotJsonError, DocumentFormatError, SchemaViolationError
    BeliefContentError
        If its directions are not this version's, or its covariance is none.
    """
    return belief_from_text(read_file(Path(path), most_bytes=MOST_BYTES), str(path))


def belief_from_text(text: bytes, where: str) -> MouthBelief:
    """The belief that a file's text holds; errors as `read_belief`, without the file's.

    Parameters
    ----------
    text : bytes
    where : str
        What the file is called in an error.
    """
    document = parse_document(text, where, schemas=SCHEMAS)
    teeth = tuple(document["teeth"])
    names = [each.name for each in directions(max(code % 10 for code in teeth))]
    if document["directions"] != names:
        raise BeliefContentError(where, "its directions are not those of this version")
    closed = tuple(document.get("closed", ()))
    if set(closed) & set(teeth):
        raise BeliefContentError(where, "a tooth is present and its space closed")
    size = len(names)
    rows = document["covariance_rows"]
    if len(document["mean"]) != size or [len(row) for row in rows] != list(range(1, size + 1)):
        raise BeliefContentError(where, "its mean or covariance has the wrong length")
    covariance = np.zeros((size, size))
    for index, row in enumerate(rows):
        covariance[index, : index + 1] = covariance[: index + 1, index] = row
    if np.linalg.eigvalsh(covariance)[0] <= 0.0:
        raise BeliefContentError(where, "its covariance is not positive")
    return MouthBelief(
        teeth=teeth,
        side=None if document["side"] is None else Side(document["side"]),
        mean=np.array(document["mean"], dtype=np.float64),
        covariance=covariance,
        films=document["films"],
        closed=closed,
        learned_from=tuple(document.get("learned_from", ())),
    )


def belief_to_document(belief: MouthBelief) -> dict[str, Any]:
    """What a belief file holds; the covariance by rows up to its diagonal.

    Closed spaces where there are some, so that every other file is as it was before they were kept.
    """
    return {
        "format": BELIEF_FORMAT,
        "teeth": list(belief.teeth),
        "side": None if belief.side is None else belief.side.value,
        "films": belief.films,
        **({"closed": list(belief.closed)} if belief.closed else {}),
        "learned_from": list(belief.learned_from),
        "directions": [each.name for each in belief.along],
        "mean": [round(value, DIGITS) for value in belief.mean.tolist()],
        "covariance_rows": [
            [round(value, DIGITS) for value in row[: index + 1]]
            for index, row in enumerate(belief.covariance.tolist())
        ],
    }


__all__ = [
    "BeliefContentError",
    "belief_from_text",
    "belief_to_document",
    "read_belief",
    "write_belief",
]
