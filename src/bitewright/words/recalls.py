"""Two films of the same teeth, taken apart in time, in words: what angulation alone does."""

from collections.abc import Sequence

from bitewright.explanation.correction import Estimated, Part
from bitewright.visit.recall import COMPARABLE_MM, Recall, RecallSite
from bitewright.words.chair_card import (
    CardWords,
    equipment_words,
    look_lines,
    set_up_lines,
)
from bitewright.words.landmarks import landmark_title
from bitewright.words.movements import SAID, figure, with_unit
from bitewright.words.phrases import capital, listed

RECALL_CAUTION = (
    "This tells what angulation does to the image, not what the bone did: whether disease has "
    "changed is judged by a practitioner."
)
NOT_SAID_WHOSE = (
    "The marks do not both say whose film it is: you say that both are of the same patient."
)
RECALL_PICTURE = (
    "An earlier and a later film of the same teeth side by side at one scale; at each site the "
    "cemento-enamel junction is joined to the bone crest."
)
TUBE_ANGLES = ((Part.SWING, "Tube's swing"), (Part.VERTICAL, "Its vertical angle"))
ROOM_TITLE, OTHERWISE_TITLE = "How surely it is known", "What is not repeated"
DIFFERS = {
    Part.SWING: SAID[Part.SWING].name,
    Part.VERTICAL: SAID[Part.VERTICAL].name,
    Part.TURN: SAID[Part.TURN].name,
    Part.TILT: SAID[Part.TILT].name,
    Part.ROLL: SAID[Part.ROLL].name,
}


def recall_words(of: Recall) -> tuple[str, ...]:
    """The answer, a sentence each: at which sites the films are comparable, and why not at others.

    Never of the bone: sites are comparable or not by the two exposures alone.
    """
    can = [site for site in of.sites if site.is_comparable]
    cannot = [site for site in of.sites if not site.is_comparable]
    said = []
    if not cannot:
        said.append(
            f"Comparable at every site: angulation alone could account for less than "
            f"{COMPARABLE_MM:g} mm (our choice) of a difference in crest height."
        )
    elif can:
        said.append(
            f"Comparable at {len(can)} of {len(of.sites)} sites: angulation alone could account "
            f"for less than {COMPARABLE_MM:g} mm (our choice) of a difference in crest height at "
            f"{_titles(can)}."
        )
    else:
        said.append(
            f"Comparable nowhere: at every site angulation alone could account for "
            f"{COMPARABLE_MM:g} mm (our choice) or more of a difference in crest height."
        )
    for part in dict.fromkeys(site.mostly_by for site in cannot):
        some = [site for site in cannot if site.mostly_by is part]
        most = max(site.at_most_mm for site in some)
        said.append(
            f"Not comparable: {_titles(some)} (up to {most:.2f} mm by angulation alone). What "
            f"differs most: {differs_words(part, of.differs[part])}."
        )
    return tuple(said)


def site_words(site: RecallSite) -> str:
    """Whether a site is comparable, in a word or two."""
    return "comparable" if site.is_comparable else "not comparable"


def differs_words(part: Part, amount: Estimated) -> str:
    """The later exposure beside the earlier one: "tube's vertical angle, later against ...".

    Both ends of an interval that reaches past none have their direction.
    """
    return f"{DIFFERS[part]}, later against earlier: {stood_words(part, amount)}"


def stood_words(part: Part, amount: Estimated) -> str:
    """How an exposure stood in one part: "6 degrees to the front (90%: 3 to 9 degrees)"."""
    return f"{_way(part, amount.value)} (90%: {_ends(part, amount)})"


def _ends(part: Part, amount: Estimated) -> str:
    if amount.low * amount.high > 0.0:
        low, high = sorted((abs(amount.low), abs(amount.high)))
        return f"{figure(low, 'deg')} to {with_unit(high, 'deg')}"
    return f"{_way(part, amount.low)} to {_way(part, amount.high)}"


def _way(part: Part, value: float) -> str:
    if figure(value, "deg") == "0":
        return "none"
    way = SAID[part].short_plus if value > 0 else SAID[part].short_minus
    return f"{with_unit(abs(value), 'deg')} {way.partition(',')[0]}"


def crest_change_words(amount: Estimated) -> str:
    """A difference in crest height with its interval. [mm]"""
    return f"{_signed(amount.value)} ({_signed(amount.low)} to {_signed(amount.high)})"


def _signed(value: float) -> str:
    shown = f"{value:+.2f}"
    return "0.00" if shown in {"-0.00", "+0.00"} else shown


def _titles(sites: Sequence[RecallSite]) -> str:
    return listed([landmark_title(site.name) for site in sites])


def film_title(view_title: str, taken_on: str | None, *, is_later: bool) -> str:
    """A film of the two: "the earlier right molar, 2025-11-02"."""
    title = f"the {'later' if is_later else 'earlier'} {view_title}"
    return f"{title}, {taken_on}" if taken_on else title


def repeat_card_words(of: Recall, view_title: str, film: str) -> CardWords:
    """The card that repeats the earlier film's geometry.

    Parameters
    ----------
    of : Recall
    view_title : str
    film : str
        What the earlier film is called.
    """
    setting, at = of.repeated, of.exposure.station
    return CardWords(
        title=f"{capital(view_title)}, repeated",
        about=equipment_words(at),
        odds=f"Repeats the geometry of {film}, as estimated from its marks. Whether to expose is "
        "decided anew.",
        lines=set_up_lines(setting, of.exposure),
        looks=look_lines(setting, at),
        room=(
            *(
                f"{name}: 90% within {with_unit(_half(of.repeated_sure[part]), 'deg')}."
                for part, name in TUBE_ANGLES
            ),
            from_later_words(of),
        ),
        otherwise=("Height and roll of the receptor: they move no crest against its junction.",),
        room_title=ROOM_TITLE,
        otherwise_title=OTHERWISE_TITLE,
    )


def from_later_words(of: Recall) -> str:
    """How the tube goes from where it stood for the later film to where it did for the earlier."""
    told = [
        f"{_way(part, amount.value)} (90% within {with_unit(_half(amount), 'deg')})"
        for part, amount in of.from_later.items()
    ]
    return f"From where the tube stood for the later film: {listed(told)}."


def _half(amount: Estimated) -> float:
    return 0.5 * (amount.high - amount.low)


__all__ = [
    "DIFFERS",
    "NOT_SAID_WHOSE",
    "RECALL_CAUTION",
    "RECALL_PICTURE",
    "crest_change_words",
    "differs_words",
    "film_title",
    "from_later_words",
    "recall_words",
    "repeat_card_words",
    "site_words",
    "stood_words",
]
