"""Audit a record: choose exposures, work out every view, say what was found."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from bitewright.audit.rates import RateTable, rates_by
from bitewright.audit.whole_audit import Audit, AuditSettings, whole_audit
from bitewright.log.checklists import Checklists
from bitewright.tasks.audit.audit_calendar import with_year_targets
from bitewright.tasks.audit.audit_courses import check_began, courses_of
from bitewright.tasks.audit.audit_documents import audit_document
from bitewright.tasks.audit.audit_request import (
    AuditRequest,
    AuditWordError,
    check_any,
    day_of,
    filter_of,
    grouping_of,
    undecided_in,
)
from bitewright.tasks.audit.audit_schemes import audit_scheme
from bitewright.tasks.catalogue.own_checklists import known_checklists
from bitewright.words.alarm import alarm_answers
from bitewright.words.answer import Answer
from bitewright.words.audit_answers import audit_answers, undecided_answers


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class AuditAnswer:
    """An audit with its answers and the table asked for."""

    request: AuditRequest
    told: Audit
    undecided: int
    answers: tuple[Answer, ...]
    checklists: Checklists
    table: RateTable

    def unnamed(self) -> tuple[Answer, ...]:
        """The answers without any person's code."""
        return (
            *alarm_answers(self.told),
            *undecided_answers(self.undecided),
            *audit_answers(self.told, self.checklists, named=False),
        )

    def document(self) -> dict[str, Any]:
        """As data for machines."""
        return audit_document(self.told, self.answers, self.table, seed=self.request.seed)


def audit_log(request: AuditRequest) -> AuditAnswer:
    """Every view of the exposures asked for.

    Raises
    ------
    AuditWordError, UnknownLabelError, UnknownSchemeError, NoSuchGradeError, NothingLoggedError,
    NothingDecidedError
    """
    settings, wanted = settings_of(request), filter_of(request)
    log = request.source().taken(wanted)
    undecided = undecided_in(request, wanted)
    check_any(len(log), undecided)
    check_began(settings.courses, log)
    settings = with_year_targets(settings, request, log)
    told = whole_audit(log, settings, np.random.default_rng(request.seed))
    checklists = known_checklists()
    return AuditAnswer(
        request=request,
        checklists=checklists,
        told=told,
        undecided=undecided,
        answers=(
            *alarm_answers(told),
            *undecided_answers(undecided),
            *audit_answers(told, checklists),
        ),
        table=rates_by(log, grouping_of(log, request), request.event),
    )


def settings_of(request: AuditRequest) -> AuditSettings:
    """What the audit is asked; raises `AuditWordError` and `UnknownSchemeError`."""
    return AuditSettings(
        event=request.event,
        period=request.period,
        changes=tuple(_change(text) for text in request.changes),
        scheme=audit_scheme(request.scheme),
        film=request.film,
        own_targets=dict(_target(text) for text in request.targets),
        courses=courses_of(request),
    )


def _change(text: str) -> tuple[str, int]:
    day, _, name = text.partition("=")
    if not name.strip():
        raise AuditWordError("The change", text, "YYYY-MM-DD=WHAT, such as 2025-04-01=sensors")
    return name.strip(), day_of(day, "The change's day")


def _target(text: str) -> tuple[str, float]:
    grade, _, share = text.partition("=")
    form = "GRADE=SHARE with a share from 0 to 1, such as A=0.9"
    try:
        value = float(share)
    except ValueError as error:
        raise AuditWordError("The target", text, form) from error
    if not 0.0 <= value <= 1.0:
        raise AuditWordError("The target", text, form)
    return grade.strip(), value


__all__ = [
    "AuditAnswer",
    "audit_log",
    "settings_of",
]
