"""Answers to exercises kept as attempts, under the code that a student gives."""

from datetime import datetime

from bitewright.competence.attempts import Attempt, Skill, checked_student, moment_utc
from bitewright.errors import BitewrightError, quoted
from bitewright.tasks.competence.keep_record import AttemptsKept, add_given_attempts
from bitewright.tasks.log.store_place import now_utc
from bitewright.tasks.teach.answers import ItemAnswer
from bitewright.tasks.teach.set_files import MarkedSet
from bitewright.teaching.item import Item


class OtherStudentError(BitewrightError):
    """Answers were to be kept under a code that is not the one they give."""

    def __init__(self, asked: str, given: str) -> None:
        super().__init__(
            f"The answers give the code {quoted(given)}, and were to be kept as {quoted(asked)}: "
            "give the file of that student, or that code; nothing is kept."
        )


def student_code(given: object) -> str | None:
    """A student's code as the log has codes; None where none was given.

    Raises
    ------
    StudentCodeError
    """
    text = str(given or "").strip()
    return checked_student(text) if text else None


def keep_answer(
    student: str, item: Item, answer: ItemAnswer, score: float, *, at: datetime, store: str | None
) -> AttemptsKept:
    """Keep an answer to an exercise under a student's code.

    ``at``: when it was committed, with its zone.

    Raises
    ------
    AttemptTakenError, AttemptError
    """
    attempt = Attempt(
        student=student,
        item=item.id,
        skill=Skill(item.kind.value),
        topic=item.topic,
        score=score,
        sure=answer.sure,
        answered_at=at.strftime("%Y-%m-%dT%H:%M:%SZ"),
    )
    return add_given_attempts([attempt], store)


def keep_marked(student: str, marked: MarkedSet, store: str | None) -> AttemptsKept:
    """Keep a set's marked answers under a student's code; unanswered ones not.

    They are kept as answered when their file was saved, so that the same file given again adds
    nothing; now, where it does not say when.

    Raises
    ------
    StudentCodeError, AttemptError
    OtherStudentError
        If the answers give another's code.
    """
    code = checked_student(student)
    answered_at = moment_utc(marked.saved_at) if marked.saved_at else now_utc()
    if marked.student and marked.student != code:
        raise OtherStudentError(code, marked.student)
    attempts = [
        Attempt(
            student=code,
            item=each.item,
            skill=Skill(each.kind),
            topic=each.topic,
            score=each.score,
            sure=each.sure,
            answered_at=answered_at,
        )
        for each in marked.answers
        if each.score is not None
    ]
    return add_given_attempts(attempts, store)


__all__ = ["keep_answer", "keep_marked", "student_code"]
