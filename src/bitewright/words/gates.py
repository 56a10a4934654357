"""The gate before another exposure, in words: not exposing first, then what one more may win."""

from collections.abc import Mapping

from bitewright.quality.views import View, view
from bitewright.visit.gate import MOST_FAILED, Gate, Withheld
from bitewright.visit.ledger import SURE, Ledger, Reading
from bitewright.visit.odds import Odds
from bitewright.words.landmarks import landmark_title
from bitewright.words.phrases import counted
from bitewright.words.visits import doubtful_words, it_or_them, places_words, unread_words

DO_NOT_EXPOSE = "Do not expose"
EXPOSE = "Expose once more"
DECISIONS_HERE = {"not-exposing": DO_NOT_EXPOSE, "exposing": EXPOSE}
SIGN_CAUTION = "The tool proposes; a licensed practitioner decides, under local rules."
WHAT_ELSE = (
    "What else may do: earlier films of these teeth, the next recall, looking (dry, under light, "
    "with the teeth parted), another reader for what is doubtful."
)
WITHHELD = {
    Withheld.NOTHING_UNREAD: "No exposure is offered: no place that is needed is unread.",
    Withheld.ONLY_DOUBTFUL: "No exposure is offered: no place that is needed is unread for "
    "certain, and another reader may settle what is doubtful.",
    Withheld.NOT_MARKED: "No exposure is offered yet: of what is needed not all is marked, and a "
    "film may show it.",
    Withheld.NO_PURPOSE: "No exposure is offered before somebody states what it is wanted for.",
    Withheld.NO_CAUSE: "No exposure is offered before somebody states why the film failed: "
    "a repeat without a cause faces the same odds.",
    Withheld.NO_CHANGE: "No exposure is offered before somebody states what will be changed: "
    "a repeat without a change faces the same odds.",
    Withheld.TWO_FAILED: "No exposure of these views is offered: {most} of each have failed. "
    "Another size of receptor, technique or person may serve.",
}
LIKELY = 0.5
"""Less likely than this, a place is said not to be shown. Our choice."""


def not_exposing_words(of: Ledger) -> tuple[str, ...]:
    """What not exposing would leave unread or in doubt, after what is to be marked first."""
    unmarked = of.needed(Reading.NOT_MARKED)
    unread, doubtful = unread_words(of), doubtful_words(of)
    left = f"it leaves unread {unread}" if unread else ""
    if doubtful:
        left += f", and leaves doubtful {doubtful}" if unread else f"it leaves doubtful {doubtful}"
    if unmarked:
        places = places_words(unmarked)
        known = f"Of all else {left}." if left else "All else that is needed can be read."
        return (
            f"Mark first: {places}. Whether the films show {it_or_them(unmarked)} is not known.",
            f"{DO_NOT_EXPOSE} before that. {known}",
        )
    return (f"{DO_NOT_EXPOSE}: {left or 'it leaves unread nothing that is needed'}.",)


def withheld_words(of: Gate) -> tuple[str, ...]:
    """Why no exposure is offered, a sentence each."""
    return tuple(WITHHELD[each].format(most=MOST_FAILED) for each in of.withheld)


def failed_words(of: Gate) -> tuple[str, ...]:
    """Which views failed how often."""
    return tuple(
        f"The {view(name).title} view has failed {count} times: no further one."
        for name, count in of.failed.items()
        if count >= MOST_FAILED
    )


def odds_words(of_view: View, odds: Odds, hand: str) -> tuple[str, ...]:
    """What one exposure may win, and what it still would not show."""
    likely = {name: odd for name, odd in odds.places.items() if odd >= LIKELY}
    rest = [name for name in odds.places if name not in likely]
    first = (
        f"{EXPOSE}, {of_view.title}: {odds.expected:.1f} of {len(odds.places)} unread places won "
        f"on average in the hands of {hand}; all of them {odds.all_of_them:.0%} likely, none "
        f"{1.0 - odds.at_least_one:.0%}."
    )
    said = [first]
    if likely:
        shares = ", ".join(f"{landmark_title(name)} {odd:.0%}" for name, odd in likely.items())
        said.append(f"Likely to be read then: {shares}.")
    if rest:
        said.append(
            "It still would likely not show: "
            + ", ".join(f"{landmark_title(name)} ({odds.places[name]:.0%})" for name in rest)
            + "."
        )
    return tuple(said)


ODDS_CAVEAT = (
    "The odds are counted over mouths that fit what these films show, a hand's slips assumed; a "
    "crowded contact may stay closed whatever is done."
)


def dose_words(least_usv: float, most_usv: float, source: str) -> str:
    """The dose of one bitewing as a range, with its source."""
    return f"Dose of one more: about {least_usv:g} to {most_usv:g} uSv ({source})."


DOSE_SOURCE = (
    "Ludlow et al. 2008 gives 1.25 uSv a bitewing with a rectangular field on plate or F-speed "
    "film; the range from memory"
)


def decision_why(decision: str, reason: str, of: Ledger) -> str:
    """A decision's reason as the log keeps it, in a line: with what not exposing leaves."""
    said = [f"{DECISIONS_HERE[decision]}: {reason.strip()}"]
    if decision == "not-exposing":
        left = {
            "left unread": unread_words(of),
            "left doubtful": _count_of(of, Reading.DOUBTFUL),
            "not marked": _count_of(of, Reading.NOT_MARKED),
        }
        said += [f"{title}: {what}" for title, what in left.items() if what]
    return "; ".join(said)


def _count_of(of: Ledger, reading: Reading) -> str:
    """How many needed places are of a reading; empty where there is none."""
    count = len(of.needed(reading))
    return counted(count, "place") if count else ""


def in_log_words(number: int | None) -> str:
    """Whether the film that a decision is about is in the log."""
    if number is None:
        return "It is not in the log yet, and is recorded with the decision."
    return f"It is exposure {number} in the log."


def outcome_why(read: Mapping[str, float]) -> str:
    """What the further film showed, in a line."""
    won = sum(chance >= SURE for chance in read.values())
    return f"Outcome: {won} of {counted(len(read), 'place')} with stated odds can be read now"


__all__ = [
    "DECISIONS_HERE",
    "DOSE_SOURCE",
    "EXPOSE",
    "ODDS_CAVEAT",
    "SIGN_CAUTION",
    "WHAT_ELSE",
    "decision_why",
    "dose_words",
    "failed_words",
    "in_log_words",
    "not_exposing_words",
    "odds_words",
    "outcome_why",
    "withheld_words",
]
