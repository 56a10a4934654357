"""The words of a chair card: short, in the order of the work, every number one a hand can set."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import floor, radians, tan

from bitewright.exposing.beside_receptor import space_to_tooth_mm, tooth_beside
from bitewright.exposing.exposure import Exposures, Station
from bitewright.exposing.receptor_edges import (
    EdgeFromContact,
    EdgeName,
    EdgePlace,
    edge_places,
    edges_from_contacts,
    teeth_on_block,
)
from bitewright.exposing.region import Format
from bitewright.planning.best_aim import Plan, Setting
from bitewright.planning.ladder import WORKS, StepKind, Tried
from bitewright.planning.odds import OPERATOR
from bitewright.planning.stated_hands import MIDDLING
from bitewright.planning.tolerance import Slip, SlipWay
from bitewright.quality.questions import AnyQuestion, plain_question, questions
from bitewright.words.ladder import STEP_TITLES
from bitewright.words.odds import hand_title, uncertain_share
from bitewright.words.phrases import capital, counted, listed
from bitewright.words.placement import lies_words
from bitewright.words.plans import counted_degrees, whole_degrees

HOW_SURE = ((0.95, "nearly always"), (0.75, "mostly"), (0.5, "more often than not"))
SELDOM = "less often than not"
"""A chance in a word, from this chance on. Our choice."""

LINES = 6
LOOKS_TITLE, ROOM_TITLE, IF_TITLE = "Look before you expose", "Room", "If it does not go so"
CARD_CAUTION = "For teaching and quality assurance; the practitioner decides on every exposure."
MOST_WAYS = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class CardWords:
    """What one card says.

    Parameters
    ----------
    title, about : str
        View; receptor, holder and tube.
    odds : str
        How surely, in words and numbers.
    lines : tuple of six str
        What to do, in order.
    looks, room, otherwise : tuples of str
    room_title, otherwise_title : str
    """

    title: str
    about: str
    odds: str
    lines: tuple[str, ...]
    looks: tuple[str, ...]
    room: tuple[str, ...]
    otherwise: tuple[str, ...]
    room_title: str = ROOM_TITLE
    otherwise_title: str = IF_TITLE


def card_words(
    plan: Plan,
    chances: Mapping[str, float],
    slips: Sequence[Slip],
    others: Sequence[Tried],
    question: AnyQuestion,
    *,
    others_alike: bool = True,
) -> CardWords:
    """All that a card says of a plan.

    Parameters
    ----------
    plan : Plan
    chances : mapping of str to float
        How likely the first film serves in this mouth, by hand.
    slips : sequence of Slip
    others : sequence of Tried
        Steps that could be taken instead.
    question : AnyQuestion
    others_alike : bool
        Whether their chances are of the same mouths and places as `chances`; else none is said,
        for beside those they would mislead.
    """
    at = plan.station
    return CardWords(
        title=capital(plan.view.title),
        about=equipment_words(at),
        odds=_odds_words(chances, question),
        lines=set_up_lines(plan.setting, plan.exposure),
        looks=look_lines(plan.setting, at),
        room=_room(slips, at),
        otherwise=_otherwise(others, chances, with_odds=others_alike),
    )


def equipment_words(at: Station) -> str:
    """Receptor, holder and tube."""
    return f"{capital(at.receptor.title)}, {at.holder.title}, {at.tube.title}"


def _odds_words(chances: Mapping[str, float], question: AnyQuestion) -> str:
    said = [
        f"{_how_sure(chance)} for {hand_title(hand)} ({uncertain_share(chance)})"
        for hand, chance in chances.items()
    ]
    title = questions()[plain_question(question)].title
    return f"The first film serves ({title}): {listed(said)}."


def _how_sure(chance: float) -> str:
    return next((word for least, word in HOW_SURE if chance >= least), SELDOM)


def set_up_lines(setting: Setting, exposure: Exposures) -> tuple[str, ...]:
    """The six lines of setting up, in the order of the work."""
    at = exposure.station
    side = "long side level" if at.region.format is Format.HORIZONTAL else "long side upright"
    cable = ""
    if at.receptor.flex_mm == 0.0:
        cable = ", cable to the front" if at.region.format is Format.HORIZONTAL else ", cable down"
    edges = edges_from_contacts(exposure)
    places = edge_places(exposure)
    tooth = tooth_beside(exposure)
    space = f"{round(space_to_tooth_mm(exposure, tooth))} mm from the inner side of {tooth}"
    return (
        f"Take the {at.receptor.title} on the {at.holder.title}, {side}{cable}.",
        f"Front edge: {_edge_words(edges, places, EdgeName.CASING_FRONT)}.",
        f"Back edge: {_edge_words(edges, places, EdgeName.CASING_BACK)}.",
        f"{space}, {_turn(setting)}{_tilt(setting)}.",
        _bite(exposure),
        _tube(setting, at),
    )


def _edge_words(
    edges: Sequence[EdgeFromContact], places: Sequence[EdgePlace], edge: EdgeName
) -> str:
    """Where an edge lies below and above: by tooth, and by millimetres from a contact."""
    said = []
    for upper in (False, True):
        row = "above" if upper else "below"
        tooth = [lies_words(p) for p in places if p.edge is edge and p.upper is upper]
        near = [e for e in edges if e.edge is edge and e.upper is upper and _is_told(e)]
        words = [*tooth, *(_ahead(each) for each in near)]
        if words:
            said.append(f"{row}, {', '.join(words)}")
    return "; ".join(said)


FAR_MM = 15.0
"""A back edge further than this from a contact is told by its tooth alone. Our choice."""


def _is_told(edge: EdgeFromContact) -> bool:
    return edge.edge is EdgeName.CASING_FRONT or abs(edge.ahead_mm) <= FAR_MM


def _ahead(edge: EdgeFromContact) -> str:
    size = round(edge.ahead_mm)
    if size == 0:
        return f"at the contact {edge.name}"
    way = "in front of" if size > 0 else "behind"
    return f"{abs(size)} mm {way} the contact {edge.name}"


def _turn(setting: Setting) -> str:
    turn = whole_degrees(setting.turn_deg)
    if turn == 0:
        return "parallel to the teeth"
    way = "the opposite canine" if turn > 0 else "the teeth"
    return f"front end turned {counted_degrees(abs(turn))} towards {way}"


def _tilt(setting: Setting) -> str:
    tilt = whole_degrees(setting.tilt_deg)
    return f", upper edge tilted {counted_degrees(tilt)} to the midline" if tilt >= 1 else ""


def _bite(exposure: Exposures) -> str:
    at = exposure.station
    teeth = [str(code) for code in teeth_on_block(exposure)]
    block = "bite block" if at.holder.ring else "tab"
    if not at.holder.bite_block_thickness_mm:
        return "Teeth closed edge to edge."
    on = f"{capital(block)} on {listed(teeth)}" if teeth else f"{capital(block)} between the teeth"
    return f"{on}; close slowly and fully."


def _tube(setting: Setting, at: Station) -> str:
    swing, vertical = whole_degrees(setting.ring_offset_deg), whole_degrees(setting.vertical_deg)
    if at.holder.ring and swing == 0 and vertical == 0:
        return "Ring to the cheek, rim flush with the ring all round, tube level."
    said = ["Ring to the cheek; the tube leaves it" if at.holder.ring else "Rim to the cheek"]
    said.append("square onto the receptor")
    if swing:
        way = "front" if swing > 0 else "back"
        said.append(f"then swung {counted_degrees(abs(swing))} towards the {way}")
    said.append(
        f"from {counted_degrees(abs(vertical))} {'above' if vertical > 0 else 'below'}"
        if vertical
        else "tube level"
    )
    return f"{', '.join(said)}."


def look_lines(setting: Setting, at: Station) -> tuple[str, ...]:
    """What to look at before exposing."""
    flush = (
        at.holder.ring
        and whole_degrees(setting.ring_offset_deg) == whole_degrees(setting.vertical_deg) == 0
    )
    above = "rim on the ring all round" if flush else "tube through the contacts"
    level = "tube level" if whole_degrees(setting.vertical_deg) == 0 else "tube points down"
    return (
        f"From above: {above}.",
        f"From the front: {level}, block level.",
        "Closed? Teeth on the block." if at.holder.bite_block_thickness_mm else "Closed?",
    )


ROOM_WORDS = {
    SlipWay.TUBE_FORWARD: ("Rim", "to the front"),
    SlipWay.TUBE_BACK: ("Rim", "to the back"),
    SlipWay.TUBE_UP: ("Rim", "up"),
    SlipWay.TUBE_DOWN: ("Rim", "down"),
    SlipWay.RECEPTOR_FORWARD: ("Receptor", "forward"),
    SlipWay.RECEPTOR_BACK: ("Receptor", "back"),
}


def _room(slips: Sequence[Slip], at: Station) -> tuple[str, ...]:
    """How far each movement may slip before the film fails, in whole millimetres, rounded down."""
    said: dict[str, list[str]] = {}
    for slip in slips:
        what, way = ROOM_WORDS[slip.movement]
        said.setdefault(what, []).append(f"{_slip_mm(slip, at)} {way}")
    return tuple(f"{what}: {', '.join(ways)}." for what, ways in said.items())


def _slip_mm(slip: Slip, at: Station) -> str:
    def mm(size: float) -> int:
        reach = at.holder.ring_to_receptor_mm
        return floor(size if slip.unit == "mm" else reach * tan(radians(size)))

    if slip.until_failed is None:
        return f"over {mm(slip.tried)} mm"
    size = mm(slip.until_failed)
    return f"{size} mm" if size >= 1 else "none"


WAYS = {
    "It hurts": (StepKind.TILTED, StepKind.SMALLER, StepKind.PLATE_OR_FILM),
    "Gags": (StepKind.SMALLER, StepKind.PLATE_OR_FILM),
    "Won't close": (StepKind.TILTED, StepKind.TAB, StepKind.PLATE_OR_FILM, StepKind.SMALLER),
}
"""What helps with what, in order. Common practice, no source."""

WAY_KINDS = frozenset(kind for kinds in WAYS.values() for kind in kinds)
NOTHING_HELPS = "stop; nothing else here serves"


def _otherwise(
    others: Sequence[Tried], chances: Mapping[str, float], *, with_odds: bool
) -> tuple[str, ...]:
    hand = MIDDLING if MIDDLING in chances else OPERATOR
    said = []
    for trouble, kinds in WAYS.items():
        ways = []
        for kind in kinds:
            found = [each for each in others if each.step.kind is kind]
            works = next((each for each in found if each.chance(hand) >= WORKS), None)
            if works is not None:
                odds = f" ({uncertain_share(works.chance(hand))})" if with_odds else ""
                ways.append(f"{_way(works)}{odds}")
        said.append(f"{trouble}: {', then '.join(ways[:MOST_WAYS]) or NOTHING_HELPS}.")
    return tuple(said)


def _way(tried: Tried) -> str:
    step = tried.step
    if step.kind in (StepKind.SMALLER, StepKind.PLATE_OR_FILM):
        return step.receptor.title
    return STEP_TITLES[step.kind]


def written_words(name: str, cards: int) -> str:
    """That cards were written."""
    return f"Written: {name}, {counted(cards, 'card')}."


__all__ = [
    "CARD_CAUTION",
    "LINES",
    "LOOKS_TITLE",
    "WAY_KINDS",
    "CardWords",
    "card_words",
    "equipment_words",
    "look_lines",
    "set_up_lines",
    "written_words",
]
