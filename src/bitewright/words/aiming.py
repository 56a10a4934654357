"""Aiming with the film hidden, in words: the dose, what films came to, what was still off."""

from collections.abc import Mapping, Sequence

from bitewright.equipment.tubes import FieldShape
from bitewright.explanation.correction import Estimated, Movement, Need, Part
from bitewright.exposing.receptor_edges import edge_places
from bitewright.planning.best_aim import Plan
from bitewright.quality.predicted import Prediction
from bitewright.teaching.aiming import contacts_on
from bitewright.teaching.correcting import contacts_won
from bitewright.visit.gate import bitewing_dose_usv
from bitewright.words.movements import instruction, receptor_instead
from bitewright.words.phrases import counted, listed
from bitewright.words.plans import plan_instructions

COUNTING = "Counting an open contact 1 and one that overlaps but can be read a half"
QUARTER = (
    "Each exposure after the first takes a quarter off what the films show: it has to win more "
    "than that."
)


def best_aim_words(plan: Plan) -> tuple[str, ...]:
    """The best aim as an operator would be told it."""
    placed, aimed, *_ = plan_instructions(plan.setting, edge_places(plan.exposure))
    return (f"The best aim found here: {placed[0].lower()}{placed[1:]} {aimed}",)


def exposures_words(count: int, field: FieldShape) -> str:
    """How many exposures there were, and the dose of all together."""
    dose = bitewing_dose_usv(field)
    return (
        f"{counted(count, 'exposure')}: an effective dose of about {count * dose.least_usv:g} to "
        f"{count * dose.most_usv:g} uSv"
    )


def aimed_words(plan: Plan, films: Sequence[Prediction]) -> tuple[str, ...]:
    """What somebody's films came to beside the best aim, and what the last was still off."""
    best, shown = contacts_won(plan.prediction), contacts_on(films)
    if len(films) == 1:
        return (f"{COUNTING}: your film shows {shown:g}, the best aim {best:g}.",)
    each = listed([f"{contacts_won(film):g}" for film in films])
    together = f"your {len(films)} films together show {shown:g}, one with the best aim {best:g}"
    return f"{COUNTING}: {together}.", f"Film by film: {each}. {QUARTER}"


def still_off_words(
    plan: Plan, last: Prediction, needed: Mapping[Part, float], *, was_flush: bool
) -> str:
    """From the last film to the best aim, in movements of a hand.

    ``needed`` is as `still_off` gives it; ``was_flush``: whether the rim was flush with its ring.
    """
    as_good = contacts_won(last) >= contacts_won(plan.prediction)
    if not needed:
        return (
            "The last set-up was as near to the best aim as is worth moving."
            if as_good
            else "In the last set-up nothing was off by as much as is worth moving, and yet its "
            "film shows less."
        )
    if as_good:
        return (
            "The last film shows as much as the best aim, or more, set up another way; the best "
            "aim weighs every criterion, and the room left in each."
        )
    rim_mm = plan.station.holder.ring_to_receptor_mm
    moves = []
    for part, far in needed.items():
        exact = Estimated(value=far, low=far, high=far)
        movement = Movement(part=part, needed=exact, need=Need.MOVE)
        moves.append(
            receptor_instead(movement)
            if was_flush and part is Part.SWING
            else instruction(movement, rim_radius_mm=rim_mm)
        )
    return f"From the last set-up to the best aim: {'; '.join(moves)}."


__all__ = [
    "aimed_words",
    "best_aim_words",
    "exposures_words",
    "still_off_words",
]
