"""The patient that a request asks for: with the limits its query names, none if it names none."""

from typing import Annotated

from fastapi import Depends, Query

from bitewright.tasks.plan.named_patient import Patient, named_patient


def asked_patient(
    limit: Annotated[list[str] | None, Query()] = None, opens_mm: float | None = None
) -> Patient:
    """The patient of a request's query."""
    return named_patient(limit or (), opens_mm)


AskedPatient = Annotated[Patient, Depends(asked_patient)]

__all__ = ["AskedPatient", "asked_patient"]
