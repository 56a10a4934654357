"""Remarks about a patient or a visit beside those of faults: "new pt", "caries lower 6"."""

import re

from bitewright.sheets.cells import plain
from bitewright.sheets.phrases import phrases

AWAITED = re.compile(rf"(?:{phrases('awaited')})\b.*")
"""That somebody has still to look at a film."""
ASIDE = re.compile("|".join(map(phrases, ("patient", "others", "mouth", "image"))))
"""Remarks that tell of no fault."""


def is_aside(text: str) -> bool:
    """Whether a remark is about the patient, the mouth or the visit, and about no fault."""
    said = plain(text)
    return ASIDE.fullmatch(said) is not None or AWAITED.fullmatch(said) is not None


LETTER_BEFORE = re.compile(r"(?<![\w/])([^\W\d_])/(?=[^\W\d_]{3})")


def with_patient(text: str) -> str:
    """A text in which "pas." is the patient, as in Norwegian, and no "pas" of a French denial."""
    return PATIENT.sub("pat. ", text)


PATIENT = re.compile(r"\bpas\.\s*", re.IGNORECASE)


def without_stroke(text: str) -> str:
    """A remark without strokes between a letter for a word and the next: "c/cut" is "c cut"."""
    return LETTER_BEFORE.sub(r"\1 ", text)


def is_awaited(text: str) -> bool:
    """Whether a remark says that a film has still to be graded: "awaiting Dr V"."""
    return AWAITED.fullmatch(plain(text)) is not None


STAGE = re.compile(rf"\b(?:{phrases('stages')})\b")
"""Stages of a treatment that are planned films each."""


def names_stage(text: str) -> bool:
    """Whether a text of a view names a planned stage of a treatment: "PA 46 working length"."""
    return STAGE.search(plain(text)) is not None


__all__ = ["is_aside", "is_awaited", "names_stage", "with_patient", "without_stroke"]
