"""Findings as plain data, the same in every JSON answer."""

import math
from collections.abc import Collection, Iterable
from dataclasses import asdict
from typing import Any

from bitewright.explanation.chairside_answers import ChairsideQuestion
from bitewright.explanation.correction import COVERAGE, Correction, Estimated, Movement, Part
from bitewright.explanation.next_exposure import NextExposure
from bitewright.exposing.exposure import Station
from bitewright.exposing.receptor_edges import EdgePlace
from bitewright.marking.rating_chances import StateChance
from bitewright.quality.findings import ContactFinding, Finding
from bitewright.quality.questions import (
    AnyQuestion,
    NamedQuestion,
    plain_question,
    questions,
)
from bitewright.quality.rating import ContactState
from bitewright.quality.rating_schemes import RatingScheme
from bitewright.words.chairside import CHAIRSIDE_QUESTIONS, WHY_ASKED
from bitewright.words.corrections import CorrectionWords
from bitewright.words.film_answers import RIM, FilmAnswer
from bitewright.words.movement_rows import movement_rows
from bitewright.words.placement import edge_words, told_edges
from bitewright.words.reasons import reason
from bitewright.words.titles import CAUSES, VERDICTS
from bitewright.words.verdicts import OUTCOME_WORDS, STATE_WORDS


def finding_document(finding: Finding) -> dict[str, Any]:
    """One criterion's outcome."""
    document: dict[str, Any] = {
        "criterion": finding.criterion.name.value,
        "title": finding.criterion.title,
        "outcome": OUTCOME_WORDS[finding.outcome],
        "value": _rounded(finding.value),
        "sd": _rounded(finding.sd),
        "unit": finding.criterion.unit,
        "place": finding.place,
        "needed": finding.needed,
        "target": finding.criterion.met,
        "fails": finding.criterion.fails,
        "sentence": reason(finding),
        "source": finding.criterion.source,
    }
    if finding.doubt is not None:
        document["doubt"] = {
            "limit": _rounded(finding.doubt.limit),
            "other": OUTCOME_WORDS[finding.doubt.other],
            "chance": round(finding.doubt.chance, 3),
        }
    return document


def known_deg(angle_deg: float) -> float | None:
    """An angle as documents tell it; None where there is none, as NaN says. [deg]"""
    return None if math.isnan(angle_deg) else round(angle_deg, 2)


def contact_document(contact: ContactFinding, chance: StateChance | None = None) -> dict[str, Any]:
    """One contact's overlap and state."""
    document: dict[str, Any] = {
        "contact": contact.name,
        "overlap_mm": _rounded(contact.overlap_mm),
        "overlap_sd_mm": _rounded(contact.overlap_sd_mm),
        "enamel_share": _rounded(contact.enamel_share),
        "state": STATE_WORDS[contact.state],
    }
    if chance is not None:
        document["chance"] = {
            "open": round(chance.open, 3),
            STATE_WORDS[ContactState.READABLE]: round(chance.readable, 3),
            "unreadable": round(chance.unreadable, 3),
        }
    return document


def rating_document(
    scheme: RatingScheme, grade: str, question: AnyQuestion, fitness: str
) -> dict[str, Any]:
    """A grade, the scheme it is of and the question it answers; ``fitness`` says what for."""
    asked = questions()[plain_question(question)]
    return {
        "scheme": scheme.name,
        "scheme_title": scheme.title,
        "grade": grade,
        "question": asked.question.value,
        "question_title": asked.title,
        "surfaces": list(question.surfaces) if isinstance(question, NamedQuestion) else [],
        "fitness": fitness,
    }


def equipment_document(at: Station) -> dict[str, Any]:
    """The equipment of a station."""
    things = {"receptor": at.receptor, "holder": at.holder, "tube": at.tube}
    titles = {f"{kind}_title": thing.title for kind, thing in things.items()}
    return {kind: thing.name for kind, thing in things.items()} | titles


def edges_document(edges: Iterable[EdgePlace]) -> list[dict[str, Any]]:
    """Where each edge of the receptor lies."""
    return [
        {
            "edge": title,
            "row": "upper" if edge.upper else "lower",
            "tooth": edge.tooth,
            "place": edge_words(edge),
        }
        for title, edge in told_edges(edges)
    ]


def film_answer_document(
    answer: FilmAnswer, asks: ChairsideQuestion | None = None
) -> dict[str, Any]:
    """The verdict, the one movement and how sure that is; what is asked of the chairside."""
    return {
        "served": answer.served.value,
        "headline": answer.headline,
        "why": answer.why,
        "when": answer.when,
        "movement": answer.movement,
        "set_up": answer.set_up,
        "expected": answer.expected,
        "also": answer.also,
        "sure": answer.sure,
        "is_settled": answer.is_settled,
        "marks_first": answer.marks_first,
        "rim_question": RIM if answer.asks_rim else None,
        "asked": None
        if asks is None
        else {"question": asks.value, "words": CHAIRSIDE_QUESTIONS[asks], "why": WHY_ASKED},
    }


def correction_document(
    correction: Correction, words: CorrectionWords, *, receptor_turned: Collection[Part] = ()
) -> dict[str, Any]:
    """A correction with its sentences and its table: an assessment's explanation."""
    return {
        "verdict": correction.verdict.value,
        "verdict_title": VERDICTS[correction.verdict],
        "coverage": COVERAGE,
        "movements": [_movement_document(movement) for movement in correction.movements],
        "table": [
            asdict(row) for _, row in movement_rows(correction, receptor_turned=receptor_turned)
        ],
        "causes": [
            {
                "cause": cause.name.value,
                "title": CAUSES[cause.name],
                "unit": cause.unit,
                **_estimated_document(cause.size),
                "weight": _rounded(cause.weight),
                "alternative": cause.is_alternative,
            }
            for cause in correction.causes
        ],
        "settling_marks": list(correction.settling_marks),
        "doubtful_marks": [each.name for each in correction.doubtful_marks],
        "borders_elsewhere": [
            {"mark": each.name, "border_mm": _rounded(each.border_mm)}
            for each in correction.doubtful_marks
            if each.border_mm is not None
        ],
        "seen_elsewhere": [
            {
                "mark": each.name,
                "outward_mm": _rounded(each.seen_mm[0]),
                "rootward_mm": _rounded(each.seen_mm[1]),
            }
            for each in correction.doubtful_marks
            if each.seen_mm is not None
        ],
        "misfit": _rounded(correction.misfit),
        "is_unlike": correction.is_unlike,
        "rim_radius_mm": _rounded(correction.rim_radius_mm),
        "beam_margin_mm": _rounded(correction.beam_margin_mm),
        "sentences": {
            "operator": words.operator,
            "teacher": words.teacher,
            "causes": list(words.causes),
            "doubts": list(words.doubts),
        },
    }


def next_document(then: NextExposure | None) -> dict[str, Any] | None:
    """What to do next as it was weighed, with what is expected of each course."""
    if then is None:
        return None
    return {
        "course": then.course.value,
        "set_up": {name: _rounded(value) for name, value in asdict(then.set_up).items()}
        if then.has_room
        else None,
        "expected": [
            {
                "course": course.value,
                "wanted": _rounded(each.readable),
                "needed": _rounded(each.needed),
            }
            for course, each in then.expected.items()
        ],
    }


def _movement_document(movement: Movement) -> dict[str, Any]:
    rim = movement.rim
    return {
        "part": movement.part.value,
        "unit": movement.unit,
        **_estimated_document(movement.needed),
        "need": movement.need.value,
        "rim_mm": None if rim is None else _estimated_document(rim),
    }


def _estimated_document(size: Estimated) -> dict[str, Any]:
    return {
        "value": _rounded(size.value),
        "low": _rounded(size.low),
        "high": _rounded(size.high),
    }


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, 4)


__all__ = [
    "contact_document",
    "correction_document",
    "edges_document",
    "equipment_document",
    "film_answer_document",
    "finding_document",
    "known_deg",
    "next_document",
    "rating_document",
]
