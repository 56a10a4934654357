"""Why a planned place leaves a contact off the image: what a place further forward would show."""

from dataclasses import replace

import numpy as np

from bitewright.exposing.exposure import Station
from bitewright.quality.findings import not_shown, pair_name, unreadable_contacts
from bitewright.quality.predicted import Asked, predict
from bitewright.quality.questions import AnyQuestion
from bitewright.tasks.plan.set_exposure import HandSetting, set_exposure
from bitewright.words.predictions import left_off_words

STEPS_MM = np.arange(0.5, 4.1, 0.5)
"""How much further to the front is looked, as finely as a hand sets a receptor."""


def planned_place_words(
    setting: HandSetting, at: Station, of: Asked, *, question: AnyQuestion
) -> str:
    """What the contacts that a planned place leaves off would be on the image; else nothing.

    The search rates contacts by those that are on the image, so that a place may be best which
    leaves off one that would be unreadable and that the question does not need. Said where the
    least step to the front brings all contacts onto the image, and those so brought are unreadable
    there and not needed.

    Parameters
    ----------
    setting : HandSetting
        As planned; its receptor is moved to the front with all else kept.
    at : Station
    of : Asked
        The view asked of the station with every contact.
    question : AnyQuestion
    """
    left = _contacts_left_off(setting, at, of, question)[0]
    if not left:
        return ""
    for step_mm in STEPS_MM:
        moved = replace(setting, forward_mm=setting.forward_mm + float(step_mm))
        still, unreadable = _contacts_left_off(moved, at, of, question)
        if not still:
            return left_off_words(sorted(left), float(step_mm)) if left <= unreadable else ""
    return ""


def _contacts_left_off(
    setting: HandSetting, at: Station, of: Asked, question: AnyQuestion
) -> tuple[set[str], set[str]]:
    """The view's contacts off the image, and those unreadable that the question does not need."""
    prediction = predict(set_exposure(at, setting).exposure, of, question=question)
    shown = prediction.measurements
    own = {pair_name(pair) for pair in shown.wanted.contacts}
    _, not_needed = unreadable_contacts(shown, prediction.rating, question)
    return own & set(not_shown(shown)), set(not_needed)


__all__ = ["planned_place_words"]
