"""The films of a visit, planned, in words."""

from collections.abc import Iterable, Mapping, Sequence

from bitewright.planning.best_aim import Plan
from bitewright.planning.ladder import WORKS
from bitewright.quality.questions import AnyQuestion, plain_question, questions
from bitewright.visit.ledger import SURE
from bitewright.words.ladder import places_together
from bitewright.words.odds import hand_title, uncertain_share
from bitewright.words.phrases import counted, listed

FILM_HEADINGS = ("film", "taken for")


def visit_plan_answer(films: int, question: AnyQuestion, *, all_shown: bool) -> str:
    """How many films it takes."""
    for_what = questions()[plain_question(question)].title
    if not films:
        return f"No film weighed here shows a place that {for_what} needs."
    if all_shown:
        return f"{counted(films, 'film')} for every place that is needed: {for_what}."
    return f"{counted(films, 'film')} for what can be shown of what is needed: {for_what}."


def not_shown_words(names: Sequence[str]) -> str:
    """What no set of films shows; nothing where all is shown."""
    if not names:
        return ""
    return (
        f"No set of films weighed here shows {listed(places_together(names))} in {WORKS:.0%} or "
        "more: ask what else can answer it."
    )


def film_words(plan: Plan) -> str:
    """A film by its view and receptor."""
    at = plan.station
    holder = "" if at.holder.ring else f", {at.holder.title}"
    return f"{plan.view.title}, {at.receptor.title}{holder}"


def taken_for_words(names: Sequence[str]) -> str:
    """What a film is taken for."""
    return listed(places_together(names))


def hand_headings(hands: Iterable[str]) -> tuple[str, ...]:
    """Of whom the chances are that a film shows all that it is taken for."""
    return tuple(f"chance: {hand_title(hand)}" for hand in hands)


def chances_words(chances: Mapping[str, float]) -> str:
    """Chances by hand: "82% for a learner, 95% for a practised hand"."""
    return ", ".join(
        f"{uncertain_share(chance)} for {hand_title(hand)}" for hand, chance in chances.items()
    )


def all_words(films: int, chances: Mapping[str, float]) -> str:
    """How likely all films together show it all."""
    on = "this film, not taken again" if films == 1 else "these films, none taken again"
    return f"The chance that all of that is on {on}: {chances_words(chances)}."


def more_words(films: int, chances: Mapping[str, float]) -> str:
    """What more films than the fewest would gain; nothing where there are none."""
    if not chances:
        return ""
    return f"With {counted(films, 'film')} instead, for the same places: {chances_words(chances)}."


def odds_note(*, is_described: bool) -> str:
    """What the odds are counted over."""
    mouths = (
        "this mouth as it is described"
        if is_described
        else "many mouths that this one may be, as far as it is known"
    )
    return (
        f"Chances are counted over simulated exposures of {mouths}, each with slips of the hand. A "
        f"film is taken for a place that it shows in {SURE:.0%} of them or more; for one that no "
        "film shows so often, the film that shows it about as often as any. Premolars first: molar "
        "films are harder to bear."
    )


def learned_words(name: str, films: int) -> str:
    """What a file of a learned mouth holds."""
    return f"{name}: a mouth learned from {counted(films, 'film')}."


def whose_hand_words(name: str, operator: str) -> str:
    """What an operator's Scatter file holds."""
    return f"{name}: how {operator} aims and places."


__all__ = [
    "FILM_HEADINGS",
    "all_words",
    "chances_words",
    "film_words",
    "hand_headings",
    "learned_words",
    "more_words",
    "not_shown_words",
    "odds_note",
    "taken_for_words",
    "visit_plan_answer",
    "whose_hand_words",
]
