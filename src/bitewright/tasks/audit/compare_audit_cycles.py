"""Compare the two cycles of an audit that is written down in a TOML file."""

from pathlib import Path
from typing import Any

from bitewright import __version__
from bitewright.audit.audit_cycle import (
    AuditPlan,
    Cycle,
    CycleAction,
    CycleComparison,
    compare_cycles,
)
from bitewright.files.json_documents import check_document
from bitewright.files.toml_files import read_toml
from bitewright.tasks.audit.audit_documents import standing_document
from bitewright.tasks.audit.audit_schemes import audit_scheme
from bitewright.tasks.audit.rate_documents import share_document

PLAN_FORMAT = "bitewright.audit-plan/1"
COMPARISON_FORMAT = "bitewright.audit-comparison/1"
SCHEMAS = {PLAN_FORMAT: "audit-plan-1.json"}


def compare_audit_cycles(path: Path) -> CycleComparison:
    """Both cycles against the standard and each other.

    Raises
    ------
    FileUnreadableError, TomlFileError, DocumentFormatError, SchemaViolationError,
    UnknownSchemeError, NoSuchGradeError, TooManyPatientsError
    """
    document = read_toml(path)
    check_document(document, str(path), schemas=SCHEMAS)
    standard = document["standard"]
    second = document.get("second_cycle")
    plan = AuditPlan(
        subject=document["subject"],
        scheme=audit_scheme(standard["scheme"]),
        film=standard.get("film", False),
        own_targets=standard.get("targets", {}),
        first=_cycle(document["first_cycle"]),
        actions=tuple(
            CycleAction(what=row["what"], owner=row["owner"], by_date=row["by"])
            for row in document.get("actions", [])
        ),
        reaudit_date=document["reaudit"],
        second=None if second is None else _cycle(second),
        learned=document.get("learned", ""),
    )
    return compare_cycles(plan)


def comparison_document(told: CycleComparison) -> dict[str, Any]:
    """A comparison as data for machines."""
    return {
        "format": COMPARISON_FORMAT,
        "version": __version__,
        "subject": told.plan.subject,
        "scheme": told.plan.scheme.name,
        "reaudit": told.plan.reaudit_date,
        "first": [standing_document(each) for each in told.first],
        "second": [standing_document(each) for each in told.second],
        "changes": [
            {
                "grade": grade,
                "before": share_document(pair.first),
                "after": share_document(pair.second),
                "difference": round(pair.difference, 5),
                "low": round(pair.low, 5),
                "high": round(pair.high, 5),
                "differs": pair.settled,
                "images_needed": told.images_needed[grade],
            }
            for grade, pair in told.changes.items()
        ],
    }


def _cycle(row: dict[str, Any]) -> Cycle:
    return Cycle(
        date=row["date"],
        sample=row["sample"],
        grades=row["grades"],
        causes=tuple(row.get("causes", [])),
        patients=row.get("patients"),
    )


__all__ = ["compare_audit_cycles", "comparison_document"]
