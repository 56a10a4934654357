"""How sure a correction is, in words: what its marks leave open, how often intervals held."""

from collections.abc import Collection

from bitewright.explanation.correction import Correction, Movement, Need, Part, Spared, Verdict
from bitewright.explanation.known_accuracy import known_accuracy, view_kind
from bitewright.explanation.needs import is_one_way, is_worth_it
from bitewright.exposing.region import Region
from bitewright.words.landmarks import landmark_words
from bitewright.words.movements import SAID, WITH_ITS_RING
from bitewright.words.phrases import counted, listed

MOST_MARKS = 3
"""So many marks are asked for at once. Our choice."""


def certainty(
    correction: Correction, region: Region | None, *, receptor_turned: Collection[Part] = ()
) -> list[str]:
    """What the marks do not settle, and how often such intervals held, a sentence each.

    ``receptor_turned``: the tube's movements that the receptor makes instead.
    """
    said = []
    unsure = left_open(correction)
    if unsure and not correction.closed_spaces:
        questions = [SAID[movement.part].open_question for movement in unsure]
        said.append(f"Not settled by these marks: {listed(questions, last='and')}")
        if correction.settling_marks:
            said.append(f"What would settle most of it: {settling(correction)}")
    likely = [each for each in correction.movements if each.need is Need.PERHAPS]
    by_reason: dict[str, list[str]] = {why: [] for why in (*WHY_PERHAPS, *SPARED.values())}
    for each in likely:
        by_reason[_why_perhaps(each)].append(_in_a_row(each.part, receptor_turned=receptor_turned))
    for why, names in by_reason.items():
        of_mouth = why.replace(THE_PLAN, ITS_PLAN) if correction.of_known_mouth else why
        said += [f"{of_mouth}: {listed(names)}"] if names else []
    stays = [each for each in correction.movements if each.need is Need.STAY]
    if correction.verdict in (Verdict.MOVE, Verdict.NEARER) and stays:
        said.append("What the table says no to need not move for this film")
    if correction.verdict is not Verdict.NOTHING and not correction.is_unlike:
        said.append(_held(correction, region))
    return said


THE_PLAN, ITS_PLAN = "the general plan", "the plan for it"
WHY_PERHAPS = MAY_BE_NONE, MAY_BE_SMALL, NOT_OF_THE_PLAN = (
    "Likely, but within the interval it may be none",
    "Likely, but within the interval it may be too small to matter",
    "Likely for the best exposure of this mouth, but the general plan does not go that way",
)
SPARED = {
    Spared.NOT_OF_THE_PLAN: NOT_OF_THE_PLAN,
    Spared.ALL_SHOWN: "Likely for the best exposure of this mouth, but the film shows all of the "
    "row that it would bring",
    Spared.ASKED_FIRST: "Likely by the marks as they are, which are asked about first",
    Spared.NO_GAIN: "Likely for the best exposure of this mouth, but hardly more is expected to be "
    "read by another way",
    Spared.NOT_SURELY_HELD: "Likely, but these marks do not tell surely whether the receptor held "
    "the teeth apart or they did not close",
}
"""Why a movement is told as perhaps."""


def _why_perhaps(movement: Movement) -> str:
    if movement.spared is not None:
        return SPARED[movement.spared]
    if not is_one_way(movement.part, movement.needed):
        return MAY_BE_NONE
    return NOT_OF_THE_PLAN if is_worth_it(movement) else MAY_BE_SMALL


def _in_a_row(part: Part, *, receptor_turned: Collection[Part]) -> str:
    """What moves, as it can stand among others: without a comma of its own."""
    named = WITH_ITS_RING.get(part, part) if part in receptor_turned else part
    return f"the {SAID[named].name.replace(',', '')}"


def _held(correction: Correction, region: Region | None) -> str:
    """How often intervals like these held the truth, as measured for the view and movement."""
    meant = "The intervals are meant to hold the true value nine times in ten"
    moves = [each.part for each in correction.movements if each.need is Need.MOVE]
    asked = moves or [each.part for each in left_open(correction)]
    known = {part: known_accuracy(region, part) for part in asked} if region is not None else {}
    found = {part: held for part, held in known.items() if held is not None}
    if region is None or not found:
        return meant
    often = [f"{held.share_held:.0%} ({SAID[part].name})" for part, held in found.items()]
    films = min(held.films for held in found.values())
    made = counted(films, f"simulated {view_kind(region)} film")
    return (
        f"{meant}; in {made} of real crowns in mouths not known before they did in {listed(often)}"
    )


def left_open(correction: Correction) -> list[Movement]:
    """What the marks leave open, the swing where nothing else.

    The receptor's turn and tilt are left out: no film tells them from the tube's, so no mark would.
    """
    unsure = [
        each
        for each in correction.movements
        if each.need is Need.UNSURE and each.part not in (Part.TURN, Part.TILT)
    ]
    if correction.verdict is Verdict.CANNOT_TELL and not unsure:
        return [correction.of(Part.SWING)]
    return unsure


def settling(correction: Correction) -> str:
    """The marks that would settle most of it, named."""
    return listed([landmark_words(name) for name in correction.settling_marks[:MOST_MARKS]])


__all__ = ["certainty", "left_open", "settling"]
