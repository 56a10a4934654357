"""Scoring a correction by what the film would have become."""

from bitewright.exposing.exposure import CannotOpenError, ReceptorTooLargeError
from bitewright.exposing.hand_settings import SettingValueError
from bitewright.planning.best_aim import Plan
from bitewright.quality.predicted import Prediction, asked, predict
from bitewright.quality.rating import ContactState
from bitewright.teaching.slips import HandSlip, slipped_exposure

WORTH_OF = {ContactState.OPEN: 1.0, ContactState.READABLE: 0.5}
"""What a contact counts: open a whole, overlapped but readable half. Our choice."""


def contacts_won(prediction: Prediction) -> float:
    """Contacts of the view that a film shows, counted by `WORTH_OF`."""
    return sum(WORTH_OF.get(ContactState(int(state)), 0.0) for state in prediction.rating.states[0])


def corrected(plan: Plan, was: HandSlip, movement: HandSlip) -> Prediction | None:
    """What the film would have become after a movement; None if nobody could expose it so."""
    try:
        exposure = slipped_exposure(plan, was + movement)
    except (ReceptorTooLargeError, CannotOpenError, SettingValueError):
        return None
    return predict(exposure, asked(plan.view, plan.station))


def correction_score(plan: Plan, was: HandSlip, movement: HandSlip) -> float:
    """How much of what could be won a movement wins, 0 to 1.

    Our measure: contacts gained over those that the best exposure gains; doing nothing scores 0,
    and so does what loses contacts.
    """
    before = corrected(plan, was, HandSlip())
    after = corrected(plan, was, movement)
    if before is None or after is None:
        return 0.0
    lost = contacts_won(plan.prediction) - contacts_won(before)
    gained = contacts_won(after) - contacts_won(before)
    return min(max(gained / lost, 0.0), 1.0) if lost > 0.0 else 0.0


__all__ = ["WORTH_OF", "contacts_won", "corrected", "correction_score"]
