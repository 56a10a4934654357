"""Answers to exercises: taken, scored, and what is told once one is committed."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import isfinite
from typing import Any

import numpy as np
from numpy.typing import NDArray

from bitewright.exposing.exposure import Exposures
from bitewright.report import exposure_views as views
from bitewright.tasks.bench.bench_drawing import row_origin, seated_drawing
from bitewright.tasks.plan.set_exposure import HandSetting
from bitewright.tasks.teach.aim_exposures import (
    NothingExposedError,
    aim_explanation,
    last_exposure,
    predictions_of,
)
from bitewright.tasks.teach.exercise_places import ExercisePlace, exercise_place
from bitewright.tasks.teach.make_items import MadeItem, SetItem
from bitewright.teaching.aiming import aim_score
from bitewright.teaching.correcting import contacts_won, corrected, correction_score
from bitewright.teaching.item import ItemAnswerError, ItemKind, choice_score, order_score
from bitewright.teaching.planted import PLANTINGS
from bitewright.teaching.slips import HandSlip, slipped_exposure
from bitewright.words.exercises import (
    ALONG_ROW,
    FROM_ABOVE,
    FROM_CHEEK,
    correction_words_of,
    outcome_words,
)

SURE = (0.0, 0.5, 1.0)
"""How sure, in three steps: guessing, fairly sure, certain."""

MOST_SWING_DEG, MOST_FORWARD_MM = 30.0, 15.0
"""How far tube and receptor can be moved in an answer. Our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ItemAnswer:
    """What somebody committed to. One of the first three, by the exercise's kind.

    ``chosen``: a choice, counted from 0. ``order``: choices in order. ``movement``: tube and
    receptor moved. ``aims``: the set-ups exposed, in order; a server keeps them. ``sure``: one of
    `SURE`, or None.
    """

    chosen: int | None = None
    order: tuple[int, ...] | None = None
    movement: HandSlip | None = None
    aims: tuple[HandSetting, ...] = ()
    sure: float | None = None

    def document(self) -> dict[str, Any]:
        """As plain data, as `item_answer` takes it."""
        told: dict[str, Any] = {}
        if self.chosen is not None:
            told["chosen"] = self.chosen
        if self.order is not None:
            told["order"] = list(self.order)
        if self.movement is not None:
            told["swing_deg"] = self.movement.swing_deg
            told["forward_mm"] = self.movement.forward_mm
        if self.aims:
            told["exposures"] = len(self.aims)
        if self.sure is not None:
            told["sure"] = self.sure
        return told


def item_answer(given: Mapping[str, Any]) -> ItemAnswer:
    """An answer from plain data.

    Raises
    ------
    ItemAnswerError
    """
    unknown = set(given) - {"chosen", "order", "swing_deg", "forward_mm", "sure"}
    if unknown:
        raise ItemAnswerError(
            min(unknown), "chosen, or order, or swing_deg and forward_mm; and sure"
        )
    movement = None
    if "swing_deg" in given or "forward_mm" in given:
        movement = HandSlip(
            swing_deg=_number(given.get("swing_deg", 0.0), MOST_SWING_DEG),
            forward_mm=_number(given.get("forward_mm", 0.0), MOST_FORWARD_MM),
        )
    sure = given.get("sure")
    if sure is not None and (isinstance(sure, bool) or sure not in SURE):
        raise ItemAnswerError(sure, "how sure as 0, 0.5 or 1")
    return ItemAnswer(
        chosen=None if "chosen" not in given else _whole(given["chosen"]),
        order=_order(given["order"]) if "order" in given else None,
        movement=movement,
        sure=sure,
    )


def answer_score(made: SetItem, answer: ItemAnswer) -> float:
    """How good an answer is, 0 to 1.

    Raises
    ------
    ItemAnswerError
        If it is an answer to another kind of exercise.
    NothingExposedError
    """
    item = made.item
    if isinstance(made, MadeItem) and item.kind is ItemKind.AIM:
        if not answer.aims:
            raise NothingExposedError
        return aim_score(made.exercise.film.plan, predictions_of(made, answer.aims))
    if isinstance(made, MadeItem) and item.kind is ItemKind.CORRECT:
        if answer.movement is None:
            raise ItemAnswerError(answer.document(), "a movement of tube or receptor")
        film = made.exercise.film
        return correction_score(film.plan, film.slip, answer.movement)
    if item.kind is ItemKind.ORDER:
        if answer.order is None:
            raise ItemAnswerError(answer.document(), "all choices in order")
        return order_score(item, answer.order)
    if answer.chosen is None:
        raise ItemAnswerError(answer.document(), "one of the choices")
    return choice_score(item, answer.chosen)


def told_after(made: SetItem, answer: ItemAnswer) -> dict[str, Any]:
    """What is told once an answer is committed: the truth, why, and the drawing."""
    score = answer_score(made, answer)
    explanation = list(made.item.explanation)
    drawn: dict[str, Any] | None = None
    if isinstance(made, MadeItem):
        explanation, drawn = _explained(made, answer)
    return {
        "score": round(score, 3),
        "outcome": outcome_words(score),
        "key": list(made.item.key),
        "explanation": explanation,
        "drawing": drawn,
        "best": bool(made.best_png),
        "answer": answer.document(),
    }


def _explained(made: MadeItem, answer: ItemAnswer) -> tuple[list[str], dict[str, Any] | None]:
    """Sentences and drawing, with what an answer would have made of the film."""
    film = made.exercise.film
    explanation = list(made.item.explanation)
    if answer.aims:
        explanation = list(aim_explanation(made, answer.aims))
        drawn: dict[str, Any] | None = _drawn_above(made, {"was": last_exposure(made, answer.aims)})
    else:
        drawn = fault_drawing(made)
    if answer.movement is not None:
        after = corrected(film.plan, film.slip, answer.movement)
        told = correction_words_of(
            film,
            now=None if after is None else contacts_won(after),
            of_best=contacts_won(film.plan.prediction),
        )
        explanation.insert(1, told)
        if after is not None and drawn is not None:
            yours = slipped_exposure(film.plan, film.slip + answer.movement)
            drawn["yours"] = laid_document(yours)
    return explanation, drawn


def neutral_document(made: MadeItem) -> dict[str, Any]:
    """The drawing to move tube and receptor on: where they stood is not in it."""
    place = exercise_place(made.place)
    return {"teeth": _teeth_above(place), "neutral": laid_document(place.neutral)}


def fault_drawing(made: MadeItem) -> dict[str, Any] | None:
    """As it stood and as it should stand, from where the fault is seen: above, along, beside.

    None where it stood as it should.
    """
    if made.exercise.film.handled is not None:
        return None
    film, place = made.exercise.film, exercise_place(made.place)
    exposures = {"was": film.exposure, "best": film.plan.exposure}
    part = PLANTINGS[film.fault].part
    seated = seated_drawing(place.station, film.plan.exposure.seat)
    if part in ("vertical_deg", "height_mm"):
        origin = row_origin(place.station)
        laid = {
            name: _document(views.along_row(each, origin_mouth=origin))
            for name, each in exposures.items()
        }
        return {"seen": ALONG_ROW, "teeth": _listed_teeth(seated["row"]["teeth"]), **laid}
    if part == "roll_deg":
        flat = {
            name: {"casing": _places(views.from_side(each)[0]), "tube": [], "ray": []}
            for name, each in exposures.items()
        }
        return {"seen": FROM_CHEEK, "teeth": _listed_teeth(seated["side"]["teeth"]), **flat}
    return _drawn_above(made, exposures)


def _drawn_above(made: MadeItem, exposures: Mapping[str, Exposures]) -> dict[str, Any]:
    """Exposures and the best one from above."""
    shown = {**exposures, "best": made.exercise.film.plan.exposure}
    laid = {name: laid_document(each) for name, each in shown.items()}
    return {"seen": FROM_ABOVE, "teeth": _teeth_above(exercise_place(made.place)), **laid}


def laid_document(exposure: Exposures) -> dict[str, Any]:
    """Receptor, tube and ray from above. [mm]"""
    return _document(views.from_above(exposure))


def _document(laid: views.Laid) -> dict[str, Any]:
    parts = {name: _places(getattr(laid, name)) for name in ("casing", "tube", "ray")}
    return parts | {"middle": [round(float(x), 1) for x in laid.middle]}


def _teeth_above(place: ExercisePlace) -> list[dict[str, Any]]:
    """The upper crowns from above, closed. [mm]"""
    crowns = views.crowns_mouth(place.station, place.neutral.seat, lower=False)
    return [
        {"code": code, "outline": _places(views.hull(views.above(points)))}
        for code, points in crowns.items()
    ]


def _listed_teeth(teeth: list[dict[str, Any]]) -> list[dict[str, Any]]:
    return [{"code": each["code"], "outline": each["outline"]} for each in teeth]


def _places(points: NDArray[np.float64]) -> list[list[float]]:
    return [[round(float(x), 1) for x in point] for point in points]


def _number(given: object, most: float) -> float:
    if isinstance(given, bool) or not isinstance(given, int | float) or not isfinite(given):
        raise ItemAnswerError(given, f"a number from {-most:g} to {most:g}")
    if abs(given) > most:
        raise ItemAnswerError(given, f"a number from {-most:g} to {most:g}")
    return float(given)


def _whole(given: object) -> int:
    if isinstance(given, bool) or not isinstance(given, int):
        raise ItemAnswerError(given, "the number of a choice, counted from 0")
    return given


def _order(given: object) -> tuple[int, ...]:
    if not isinstance(given, list) or len(given) > 20:
        raise ItemAnswerError(given, "a list with the number of each choice once")
    return tuple(_whole(each) for each in given)


__all__ = [
    "SURE",
    "ItemAnswer",
    "answer_score",
    "item_answer",
    "neutral_document",
    "told_after",
]
