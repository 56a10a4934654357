"""Audits as plain data."""

import math
from collections.abc import Sequence
from typing import Any

from bitewright import __version__
from bitewright.audit.dated_change import BeforeAfter
from bitewright.audit.faults import FaultCount
from bitewright.audit.funnel import OperatorStanding
from bitewright.audit.groupings import date_of
from bitewright.audit.operator_aim import OperatorAim
from bitewright.audit.proportions import Share
from bitewright.audit.rates import RateTable
from bitewright.audit.targets import TargetStanding
from bitewright.audit.unexplained_change import ChangePoint
from bitewright.audit.whole_audit import Audit
from bitewright.words.aim import advice
from bitewright.words.answer import Answer
from bitewright.words.audit_answers import actions, reaudit_size
from bitewright.words.caution import CAUTION
from bitewright.words.verdicts import TARGET_WORDS

AUDIT_FORMAT = "bitewright.audit/1"
RATES_FORMAT = "bitewright.rates/1"


def audit_document(
    told: Audit, found: Sequence[Answer], table: RateTable, *, seed: int
) -> dict[str, Any]:
    """An audit with its answers, the table asked for, and all views."""
    return {
        "format": AUDIT_FORMAT,
        "version": __version__,
        "caution": CAUTION,
        "event": told.settings.event.value,
        "exposures": told.exposures,
        "first_date": date_of(told.first_day),
        "last_date": date_of(told.last_day),
        "overall": share_document(told.overall),
        "expected": None
        if told.expected is None
        else {
            "of": told.expected.kind,
            "rate": _rounded(told.expected.rate),
            "source": told.expected.source,
        },
        "chance_of_each_question": _rounded(told.each_chance),
        "seed": seed,
        "answers": [answer_document(answer) for answer in found],
        "actions": list(actions(tuple(found))),
        "images_to_see_a_quarter_less": reaudit_size(told),
        "table": table_document(table),
        "targets": [standing_document(standing) for standing in told.standings],
        "changes": [change_document(change) for change in told.changes],
        "unnamed_changes": [point_document(point) for point in told.points],
        "faults": [fault_document(fault) for fault in told.faults],
        "operators": {
            "spread": _rounded(told.funnel.spread),
            "limit_z": _rounded(told.funnel.z_beyond),
            "standings": [operator_document(each) for each in told.funnel.operators],
        },
        "aims": [aim_document(aim) for aim in told.aims],
    }


def share_document(share: Share) -> dict[str, Any]:
    """So many of so many."""
    return {
        "count": share.count,
        "total": share.total,
        "share": _rounded(share.share),
        "low": _rounded(share.low),
        "high": _rounded(share.high),
        "confidence": _rounded(share.confidence),
        "enough": share.enough,
    }


def answer_document(answer: Answer) -> dict[str, Any]:
    """One question and its answer."""
    return {
        "topic": answer.topic,
        "question": answer.question,
        "found": answer.found.value,
        "sentence": answer.sentence,
        "actions": list(answer.actions),
    }


def table_document(table: RateTable) -> dict[str, Any]:
    """Rates by group."""
    return {
        "by": table.name,
        "event": table.event.value,
        "design_effect": _rounded(table.clustering),
        "not_given": table.not_given,
        "groups": [
            {"label": label, **share_document(share)}
            for label, share in zip(table.labels, table.shares, strict=True)
        ],
    }


def rates_document(table: RateTable) -> dict[str, Any]:
    """One table of rates alone."""
    return {
        "format": RATES_FORMAT,
        "version": __version__,
        "table": table_document(table),
        "overall": share_document(table.overall),
    }


def standing_document(standing: TargetStanding) -> dict[str, Any]:
    """One grade against its target."""
    return {
        "grade": standing.grade,
        "target": standing.target,
        "at_least": standing.at_least,
        "verdict": TARGET_WORDS[standing.verdict],
        **share_document(standing.share),
    }


def change_document(change: BeforeAfter) -> dict[str, Any]:
    """Before and after a named change."""
    pair, step = change.shares, change.step
    return {
        "name": change.name,
        "date": date_of(change.day),
        "before": share_document(pair.first),
        "after": share_document(pair.second),
        "difference": _rounded(pair.difference),
        "low": _rounded(pair.low),
        "high": _rounded(pair.high),
        "confidence": _rounded(pair.confidence),
        "enough": change.enough,
        "differs": change.settled,
        "came_with_the_day": change.came_with_the_day,
        "step_odds_ratio": None if step is None else _rounded(step.odds_ratio),
        "step_low": None if step is None else _rounded(step.low),
        "step_high": None if step is None else _rounded(step.high),
    }


def point_document(point: ChangePoint) -> dict[str, Any]:
    """A change nobody named."""
    return {
        "date": date_of(point.day),
        "first_date": date_of(point.first_day),
        "last_date": date_of(point.last_day),
        "before": _rounded(point.shares.first.share),
        "after": _rounded(point.shares.second.share),
        "chance": _rounded(point.chance),
    }


def fault_document(fault: FaultCount) -> dict[str, Any]:
    """One fault among all."""
    return {
        "fault": fault.label,
        "count": fault.among_faults.count,
        "share_of_faults": _rounded(fault.among_faults.share),
        "cumulative": _rounded(fault.cumulative),
        "share_of_exposures": _rounded(fault.among_exposures.share),
        "typical_size": _rounded(fault.typical_size),
    }


def operator_document(operator: OperatorStanding) -> dict[str, Any]:
    """One operator among all."""
    return {
        "operator": operator.label,
        "count": operator.rejects,
        "total": operator.exposures,
        "expected": _rounded(operator.expected),
        "likely_rate": _rounded(operator.likely_rate),
        "low": _rounded(operator.low),
        "high": _rounded(operator.high),
        "z": _rounded(operator.z),
        "beyond": operator.beyond,
        "enough": operator.enough,
    }


def aim_document(aim: OperatorAim) -> dict[str, Any]:
    """One operator's aim."""
    return {
        "operator": aim.label,
        "assessed": aim.assessed,
        "advice": advice(aim),
        "parts": [
            {
                "part": part.part.value,
                "mean": _rounded(part.mean),
                "low": _rounded(part.low),
                "high": _rounded(part.high),
                "scatter": _rounded(part.scatter),
                "remarked": part in aim.remarked,
            }
            for part in aim.parts
        ],
    }


def _rounded(value: float | None) -> float | None:
    return None if value is None or not math.isfinite(value) else round(value, 5)


__all__ = [
    "aim_document",
    "audit_document",
    "rates_document",
    "share_document",
    "standing_document",
]
