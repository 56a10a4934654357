"""How surely a set-up serves, in words and percentages."""

from bitewright.exposing.scatter import AimPart
from bitewright.planning.expected_success import Success
from bitewright.planning.odds import OPERATOR, standing_mouths
from bitewright.planning.plan_by_odds import Leaving
from bitewright.planning.stated_hands import stated_hands
from bitewright.quality.questions import AnyQuestion, plain_question, questions
from bitewright.words.phrases import counted
from bitewright.words.titles import criterion_title

ODDS_HEADINGS = ("hand", "this mouth", "a mouth nobody knows", "fails most often there")
OPERATOR_TITLE = "this operator"


def odds_title(question: AnyQuestion) -> str:
    """What the odds are of."""
    return f"Chance that the first film serves: {questions()[plain_question(question)].title}"


def hand_title(hand: str) -> str:
    """A hand as it is called."""
    return OPERATOR_TITLE if hand == OPERATOR else stated_hands()[hand].title


def chance_of(found: Success) -> str:
    """A chance, with its error where that shows: "83%", "66% ± 4"."""
    error = round(100.0 * found.error)
    return f"{found.chance:.0%}" + (f" ± {error}" if error >= 1 else "")


def uncertain_share(chance: float) -> str:
    """A chance in percent, none called certain."""
    return "over 99%" if chance > 0.99 else f"{chance:.0%}"


def fails_words(found: Success) -> str:
    """What fails most often, and how often; nothing where nothing does."""
    if not found.fails_most:
        return ""
    name, share = found.fails_most[0]
    return f"{criterion_title(name)} ({share:.0%})"


def hands_words() -> str:
    """What is assumed of the stated hands and of mouths that nobody knows."""
    spreads = "; ".join(
        f"{hand.title}, {counted(degrees, 'degree')} and {mm:g} mm"
        for hand in stated_hands().values()
        for degrees, mm in [_spread(hand.name)]
    )
    return (
        "Assumed, for nobody has kept a record, how far off (SD) the tube is swung and the "
        f"receptor placed: {spreads}. An operator's own Scatter file (--scatter) takes their "
        "place. "
        f"{unknown_words()}"
    )


def unknown_words() -> str:
    """What stands for a mouth that nobody knows."""
    return (
        f"A mouth nobody knows: the same set-up in {len(standing_mouths())} mouths that stand for "
        "a population of real crowns; ± were they drawn at random."
    )


def leaving_words(leaving: Leaving) -> str:
    """What leaving the ring would gain."""
    setting = leaving.setting
    ways = []
    if abs(setting.ring_offset_deg) >= 0.5:
        way = "front" if setting.ring_offset_deg > 0.0 else "back"
        ways.append(f"{abs(setting.ring_offset_deg):g} degrees towards the {way}")
    if abs(setting.vertical_deg) >= 0.5:
        side = "above" if setting.vertical_deg > 0.0 else "below"
        ways.append(f"{abs(setting.vertical_deg):g} degrees from {side}")
    return (
        f"Leaving the ring ({' and '.join(ways)}) would raise the chance in this mouth by "
        f"{leaving.gain:.0%}; holders are used with the rim flush (common practice)."
    )


def _spread(hand: str) -> tuple[int, float]:
    row = stated_hands()[hand].scatter.covariance.diagonal() ** 0.5
    parts = list(AimPart)
    swing, place = (row[parts.index(part)] for part in (AimPart.CONTACT_ERROR, AimPart.FORWARD))
    return round(float(swing)), round(float(place), 1)


__all__ = [
    "ODDS_HEADINGS",
    "chance_of",
    "fails_words",
    "hand_title",
    "hands_words",
    "leaving_words",
    "odds_title",
    "uncertain_share",
    "unknown_words",
]
