"""Audits as plain data."""

from collections.abc import Sequence
from typing import Any

from bitewright import __version__
from bitewright.audit.could_have_missed import rates_found_from
from bitewright.audit.dated_change import BeforeAfter
from bitewright.audit.faults import FaultCount
from bitewright.audit.funnel import OperatorStanding
from bitewright.audit.groupings import date_of
from bitewright.audit.operator_aim import OperatorAim
from bitewright.audit.rates import RateTable
from bitewright.audit.targets import TargetStanding
from bitewright.audit.unedited_marks import UneditedMarks
from bitewright.audit.unexplained_change import ChangePoint
from bitewright.audit.whole_audit import Audit
from bitewright.tasks.audit.rate_documents import rounded, share_document, table_document
from bitewright.words.aim import advice
from bitewright.words.answer import Answer
from bitewright.words.audit_answers import actions, reaudit_size
from bitewright.words.cannot_tell import course_names
from bitewright.words.caution import CAUTION
from bitewright.words.verdicts import TARGET_WORDS

AUDIT_FORMAT = "bitewright.audit/1"


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
            "rate": rounded(told.expected.rate),
            "source": told.expected.source,
        },
        "chance_of_each_question": rounded(told.each_chance),
        "period": told.periods.name,
        "allowed_for": [
            name
            for name, used in zip(
                course_names(told.settings.courses), told.courses_used, strict=True
            )
            if used
        ],
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
            "spread": rounded(told.funnel.spread),
            "spread_borrowed": told.funnel.borrowed,
            "limit_z": rounded(told.funnel.z_beyond),
            "found_from": [
                {"exposures": end.exposures, "rate": rounded(end.rate)}
                for end in rates_found_from(told.funnel)
            ],
            "standings": [operator_document(each) for each in told.funnel.operators],
        },
        "aims": [aim_document(aim) for aim in told.aims],
        "proposed_marks": None
        if told.unedited is None
        else unedited_document(told.unedited)
        | {"by": [{"who": each.label} | unedited_document(each) for each in told.unedited_by]},
    }


def unedited_document(of: UneditedMarks) -> dict[str, Any]:
    """Films with proposed marks, and those of them on which no mark was edited."""
    return {
        "unedited": share_document(of.unedited),
        "marks": of.marks,
        "corrected": of.corrected,
        "removed": of.removed,
        "added": of.added,
        "doubted": of.doubted,
        "doubted_looked_at": of.doubted_looked_at,
    }


def answer_document(answer: Answer) -> dict[str, Any]:
    """One question and its answer."""
    return {
        "topic": answer.topic,
        "question": answer.question,
        "found": answer.found.value,
        "sentence": answer.sentence,
        "cannot_tell": answer.cannot_tell,
        "actions": list(answer.actions),
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
        "difference": rounded(pair.difference),
        "low": rounded(pair.low),
        "high": rounded(pair.high),
        "confidence": rounded(pair.confidence),
        "enough": change.enough,
        "differs": change.settled,
        "came_with_the_day": change.came_with_the_day,
        "odds_ratio_beside_courses": None
        if change.beside_courses is None
        else rounded(change.beside_courses.odds_ratio),
        "step_odds_ratio": None if step is None else rounded(step.odds_ratio),
        "step_low": None if step is None else rounded(step.low),
        "step_high": None if step is None else rounded(step.high),
    }


def point_document(point: ChangePoint) -> dict[str, Any]:
    """A change nobody named."""
    return {
        "date": date_of(point.day),
        "first_date": date_of(point.first_day),
        "last_date": date_of(point.last_day),
        "before": rounded(point.shares.first.share),
        "after": rounded(point.shares.second.share),
        "chance": rounded(point.chance),
    }


def fault_document(fault: FaultCount) -> dict[str, Any]:
    """One fault among all."""
    return {
        "fault": fault.label,
        "count": fault.among_faults.count,
        "share_of_faults": rounded(fault.among_faults.share),
        "cumulative": rounded(fault.cumulative),
        "share_of_exposures": rounded(fault.among_exposures.share),
        "typical_size": rounded(fault.typical_size),
    }


def operator_document(operator: OperatorStanding) -> dict[str, Any]:
    """One operator among all."""
    return {
        "operator": operator.label,
        "count": operator.rejects,
        "total": operator.exposures,
        "expected": rounded(operator.expected),
        "likely_rate": rounded(operator.likely_rate),
        "low": rounded(operator.low),
        "high": rounded(operator.high),
        "z": rounded(operator.z),
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
                "assessed": part.assessed,
                "mean": rounded(part.mean) if part.assessed else None,
                "low": rounded(part.low) if part.assessed else None,
                "high": rounded(part.high) if part.assessed else None,
                "scatter": rounded(part.scatter) if part.assessed else None,
                "remarked": part in aim.remarked,
            }
            for part in aim.parts
        ],
    }


__all__ = [
    "aim_document",
    "audit_document",
    "standing_document",
]
