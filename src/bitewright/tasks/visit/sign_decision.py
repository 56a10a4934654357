"""A person's decision at the gate, signed and logged once, with the film it is about."""

from collections.abc import Sequence
from dataclasses import dataclass
from hashlib import sha256

from bitewright.errors import BitewrightError
from bitewright.log.entry_row import LONGEST_WHY
from bitewright.log.place_chances import chances_as_text
from bitewright.tasks.log.record_exposure import ChangeRequest, Recorded, decide_exposure
from bitewright.tasks.visit.gate_visit import GateAnswer
from bitewright.tasks.visit.logged_film import logged_film
from bitewright.words.gates import DECISIONS_HERE, decision_why

NOT_EXPOSING, EXPOSING = "not-exposing", "exposing"
KEPT = "accepted-with-a-remark"
REJECTED = "rejected"


class NotOfferedError(BitewrightError):
    """Somebody decides to expose where no exposure is offered."""

    def __init__(self, reasons: Sequence[str]) -> None:
        super().__init__(f"This decision is not written. {' '.join(reasons)}")


class UnknownGateDecisionError(BitewrightError):
    """Something else is decided than there is to decide."""

    def __init__(self) -> None:
        super().__init__(f"Nothing is decided: give one of {', '.join(DECISIONS_HERE)}.")


class OwnFilmError(BitewrightError):
    """A student signs for the own film."""

    def __init__(self, code: str) -> None:
        super().__init__(
            f"{code} took the film as a student and cannot sign for it: a supervisor signs with "
            "another code."
        )


class NoReasonError(BitewrightError):
    """A decision has no reason, or nobody signs it."""

    def __init__(self) -> None:
        super().__init__(
            f"A decision needs a reason of a line, up to {LONGEST_WHY} characters with what is "
            "stated and left unread, and the code of who signs."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class SignedDecision:
    """What a person decided at a gate.

    Parameters
    ----------
    decision : str
        "not-exposing" or "exposing".
    reason, by : str
        In a line; the code of who signs.
    about : str or None
        The film's exposure in the log, by number or key; None for the film in question, which is
        recorded first where the log does not have it.
    operator : str
        Code of who took the film.
    is_students : bool
        Whether a student took it: somebody else signs then.
    store : str or None
    """

    decision: str
    reason: str
    by: str
    about: str | None = None
    operator: str = ""
    is_students: bool = False
    store: str | None = None


def sign_decision(answer: GateAnswer, signed: SignedDecision) -> Recorded:
    """Write a person's decision to the log, once: the same decision again adds nothing.

    Raises
    ------
    NotOfferedError, OwnFilmError, NoReasonError, UnknownGateDecisionError, NotInLogError
    BitewrightError
        If the log refuses it.
    """
    why = _checked_why(answer, signed)
    about = signed.about or logged_film(
        answer.film_in_question,
        operator=signed.operator,
        supervisor=signed.by if signed.is_students else "",
        store=signed.store,
    )
    said = f"{about}\n{signed.decision}\n{signed.by}\n{why}"
    is_repeat = answer.best is not None and answer.best.view.name in answer.gate.failed
    request = ChangeRequest(
        exposure=about,
        by=signed.by,
        why=why,
        key=f"gate-{sha256(said.encode()).hexdigest()[:40]}",
        fields=_stated(answer),
        store=signed.store,
    )
    decision = REJECTED if signed.decision == EXPOSING and is_repeat else KEPT
    return decide_exposure(request, decision, by=signed.by)


def _checked_why(answer: GateAnswer, signed: SignedDecision) -> str:
    """The reason as it is logged, once all else about a decision has been looked at."""
    if signed.decision not in DECISIONS_HERE:
        raise UnknownGateDecisionError
    if not signed.reason.strip() or not signed.by.strip():
        raise NoReasonError
    if signed.is_students and signed.operator.strip() == signed.by.strip():
        raise OwnFilmError(signed.by)
    if signed.decision == EXPOSING and not answer.is_offered:
        raise NotOfferedError(answer.exposing)
    why = decision_why(signed.decision, signed.reason, answer.visit.ledger)
    if len(why) > LONGEST_WHY or not why.isprintable():
        raise NoReasonError
    return why


def _stated(answer: GateAnswer) -> dict[str, str]:
    """The odds that were stated, as the log keeps them; nothing where none were."""
    if not answer.is_offered or answer.best is None:
        return {}
    return {"stated_odds": chances_as_text(answer.best.odds.places)}


__all__ = [
    "EXPOSING",
    "NOT_EXPOSING",
    "NotOfferedError",
    "OwnFilmError",
    "SignedDecision",
    "sign_decision",
]
