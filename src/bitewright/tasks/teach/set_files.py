"""A set written for a student and its key for the teacher; answers marked; both on paper."""

import hashlib
from base64 import b64encode
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from bitewright.errors import BitewrightError
from bitewright.files.exercise_files import (
    KEY_FORMAT,
    SET_FORMAT,
    exercise_bytes,
    read_answers,
    read_key,
    read_set_page,
)
from bitewright.keeping.whole_files import check_folder_place, make_folder, write_file
from bitewright.report.exercise_pages import exercises_html, exercises_pdf
from bitewright.steps import Begin, unwatched
from bitewright.tasks.teach.answers import item_answer
from bitewright.tasks.teach.exercise_places import PlaceName, exercise_place
from bitewright.tasks.teach.make_items import MadeItem, SetItem, SetRequest, made_items
from bitewright.teaching.correcting import correction_score
from bitewright.teaching.item import Item, ItemAnswerError, ItemKind, choice_score, order_score
from bitewright.teaching.slips import HandSlip
from bitewright.words.caution import CAUTION
from bitewright.words.exercises import (
    HANDOUT,
    KEY_ABOUT,
    ON_OWN_COMPUTER,
    SURE_TITLES,
    TO_BE_FILLED_IN,
    film_of_exercise,
    key_title,
    outcome_words,
    right_words,
    set_title,
)
from bitewright.words.given_sets import said_words

PAGE, KEY = "exercises.html", "key.json"


class UnknownItemError(BitewrightError):
    """An answer is to an exercise that the key does not hold."""

    def __init__(self, path: Path, item: str) -> None:
        self.path = path
        super().__init__(
            f"The file {path} answers the exercise {item}, which is not in the set: give the "
            "answers of this set."
        )


class NotInFilesError(BitewrightError):
    """A set in files was to hold exercises that need a server."""

    def __init__(self) -> None:
        super().__init__(
            "Exercises of the kind 'aim' are not written to files, for each film is made when "
            "somebody exposes it: begin them on the page Teach (`bitewright serve`), or leave this "
            "kind out."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class SetFiles:
    """What was written: the student's page and the teacher's key."""

    page: Path
    key: Path
    title: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkedAnswer:
    """One exercise of a marked set; ``score`` None where it was not answered.

    ``said`` and ``right``: what was answered and what is right, by the numbers of the handout;
    ``right`` is empty where a movement is asked for.
    """

    number: int
    item: str
    kind: str
    topic: str
    score: float | None
    sure: float | None
    outcome: str
    said: str
    right: str
    explanation: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkedSet:
    """A student's answers, marked; ``saved_at`` empty where their file does not say when."""

    student: str
    title: str
    saved_at: str
    answers: tuple[MarkedAnswer, ...]

    @property
    def points(self) -> float:
        """The sum of the scores; what was not answered scores nothing."""
        return sum(each.score or 0.0 for each in self.answers)

    def document(self) -> dict[str, Any]:
        """As data for machines."""
        return {
            "format": "bitewright.marked-exercises/1",
            "student": self.student,
            "title": self.title,
            "points": round(self.points, 3),
            "answers": [asdict(each) for each in self.answers],
        }


def write_set(request: SetRequest, out: Path, *, begin: Begin = unwatched) -> SetFiles:
    """Make a set and write it into a folder: the page for students, the key for the teacher.

    Raises
    ------
    NotInFilesError, FileUnwritableError
    """
    if ItemKind.AIM in request.kinds:
        raise NotInFilesError
    check_folder_place(out)
    made = list(made_items(request, begin=begin))
    title = set_title(request.count, request.kinds, own=len(request.own))
    mark = hashlib.sha256("".join(each.item.id for each in made).encode()).hexdigest()[:16]
    given = {
        "format": SET_FORMAT,
        "set": mark,
        "title": title,
        "items": [
            {
                "id": each.item.id,
                "kind": each.item.kind.value,
                "question": each.item.question,
                "choices": list(each.item.choices),
                "film": b64encode(each.item.film_png).decode(),
            }
            for each in made
        ],
    }
    kept = {
        "format": KEY_FORMAT,
        "set": mark,
        "title": title,
        "seed": request.seed,
        "items": [_key_document(each) for each in made],
    }
    page = exercises_html(
        title=title,
        document=exercise_bytes(given).decode(),
        notes=(ON_OWN_COMPUTER,),
        caution=CAUTION,
        sure=SURE_TITLES,
    )
    make_folder(out)
    write_file(out / PAGE, page.encode())
    write_file(out / KEY, exercise_bytes(kept))
    return SetFiles(page=out / PAGE, key=out / KEY, title=title)


def _key_document(made: SetItem) -> dict[str, Any]:
    slip: dict[str, float] = {}
    mouth = of_view = ""
    if isinstance(made, MadeItem):
        slip = asdict(made.exercise.film.slip)
        mouth, of_view = made.place.mouth, made.place.view
    return {
        "id": made.item.id,
        "kind": made.item.kind.value,
        "topic": made.item.topic,
        "choices": list(made.item.choices),
        "key": list(made.item.key),
        "explanation": list(made.item.explanation),
        "mouth": mouth,
        "view": of_view,
        "slip": {name: value for name, value in slip.items() if value},
        "best_film": b64encode(made.best_png).decode(),
    }


def mark_answers(page: Path, answers: Path, key: Path) -> MarkedSet:
    """Mark a student's answers to a set.

    Raises
    ------
    OtherSetError
        If the three files are not of one set.
    ItemAnswerError, UnknownItemError
        If an answer cannot be one.
    """
    given = read_set_page(page)
    known = read_key(key, of_set=given["set"])
    told = read_answers(answers, of_set=given["set"])
    by_item = {each["id"]: each for each in told["answers"]}
    unknown = set(by_item) - {each["id"] for each in known["items"]}
    if unknown:
        raise UnknownItemError(answers, min(unknown))
    return MarkedSet(
        student=told.get("student", ""),
        title=known["title"],
        saved_at=told.get("saved_at", ""),
        answers=tuple(
            _marked(number, item, by_item.get(item["id"]))
            for number, item in enumerate(known["items"], start=1)
        ),
    )


def _marked(number: int, item: Mapping[str, Any], told: Mapping[str, Any] | None) -> MarkedAnswer:
    score = sure = None
    said, kind = "", ItemKind(item["kind"])
    is_moved = kind is ItemKind.CORRECT
    if told is not None:
        answer = {name: value for name, value in told.items() if name != "id"}
        score, sure = _score(item, answer), answer.get("sure")
        said = _said(item, answer)
    return MarkedAnswer(
        number=number,
        item=item["id"],
        kind=item["kind"],
        topic=item["topic"],
        score=None if score is None else round(score, 3),
        sure=sure,
        outcome=outcome_words(score),
        said=said,
        right="" if is_moved else right_words(kind, item["choices"], item["key"]),
        explanation=tuple(item["explanation"]),
    )


def _said(item: Mapping[str, Any], given: Mapping[str, Any]) -> str:
    answer = item_answer(given)
    moved = answer.movement
    return said_words(
        item["choices"],
        chosen=answer.chosen,
        order=answer.order,
        movement=None if moved is None else (moved.swing_deg, moved.forward_mm),
    )


def _score(item: Mapping[str, Any], given: Mapping[str, Any]) -> float:
    answer, kind = item_answer(given), ItemKind(item["kind"])
    of = Item(
        id=item["id"],
        kind=kind,
        topic=item["topic"],
        question="",
        choices=tuple(item["choices"]),
        key=tuple(item["key"]),
        explanation=(),
        film_png=b"",
    )
    if kind is ItemKind.CORRECT and answer.movement is not None:
        place = exercise_place(PlaceName(item["mouth"], item["view"]))
        return correction_score(place.plan, HandSlip(**item["slip"]), answer.movement)
    if kind is ItemKind.ORDER and answer.order is not None:
        return order_score(of, answer.order)
    if kind not in (ItemKind.CORRECT, ItemKind.ORDER) and answer.chosen is not None:
        return choice_score(of, answer.chosen)
    raise ItemAnswerError(dict(given), f"an answer to an exercise of the kind {kind.value}")


def write_handout(page: Path, out: Path) -> Path:
    """The exercises of a set on paper, without their answers."""
    given = read_set_page(page)
    items = [
        _paper(
            number,
            item["question"],
            item["choices"],
            TO_BE_FILLED_IN if item["kind"] == ItemKind.CORRECT else (),
            item["film"],
        )
        for number, item in enumerate(given["items"], start=1)
    ]
    pdf = exercises_pdf(title=given["title"], about=HANDOUT, items=items, caution=CAUTION)
    write_file(out, pdf)
    return out


def write_key_sheet(page: Path, key: Path, out: Path) -> Path:
    """The answers of a set on paper, with the films as they would have been.

    Raises
    ------
    OtherSetError
        If the key is another set's.
    """
    given = read_set_page(page)
    known = read_key(key, of_set=given["set"])
    items = [
        _paper(
            number,
            right_words(ItemKind(item["kind"]), item["choices"], item["key"]),
            right if item["kind"] == ItemKind.ORDER else (),
            item["explanation"],
            item["best_film"] or asked["film"],
        )
        for number, (item, asked) in enumerate(
            zip(known["items"], given["items"], strict=True), start=1
        )
        for right in ([item["choices"][k] for k in item["key"]],)
    ]
    pdf = exercises_pdf(
        title=key_title(known["title"]), about=KEY_ABOUT, items=items, caution=CAUTION
    )
    write_file(out, pdf)
    return out


def _paper(
    number: int,
    question: str,
    choices: Sequence[str],
    lines: Sequence[str],
    film: str,
) -> dict[str, Any]:
    return {
        "title": str(number),
        "question": question,
        "choices": list(choices),
        "lines": list(lines),
        "film": film,
        "alt": film_of_exercise(number),
    }


__all__ = [
    "MarkedAnswer",
    "MarkedSet",
    "SetFiles",
    "mark_answers",
    "write_handout",
    "write_key_sheet",
    "write_set",
]
