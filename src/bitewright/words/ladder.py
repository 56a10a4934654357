"""What to try where a view is hard to take, in the trade's words."""

from collections.abc import Sequence

from bitewright.planning.ladder import AS_GOOD, WORKS, Ladder, StepKind, Tried
from bitewright.planning.patient_limits import Patient
from bitewright.quality.questions import AnyQuestion, plain_question, questions
from bitewright.words.landmarks import place_title
from bitewright.words.odds import hand_title, uncertain_share
from bitewright.words.phrases import capital, listed

STEP_TITLES = {
    StepKind.BESIDE: "beside the teeth, parallel and level",
    StepKind.NEARER: "nearer the midline",
    StepKind.TURNED: "receptor turned",
    StepKind.TILTED: "upper edge tilted to the midline",
    StepKind.OFF_RING: "tube off the ring, aimed at the contacts",
    StepKind.TAB: "a tab in place of the ring holder",
    StepKind.SMALLER: "a smaller size",
    StepKind.PLATE_OR_FILM: "a plate or film",
    StepKind.UPRIGHT: "upright",
    StepKind.OTHER_VIEW: "another view",
}
LOSSES = {
    StepKind.OFF_RING: "no ring guides the tube",
    StepKind.TAB: "no ring guides the tube",
    StepKind.SMALLER: "less of teeth and bone",
    StepKind.PLATE_OR_FILM: "to be read or developed first",
    StepKind.UPRIGHT: "fewer teeth, more bone",
}
"""What a step gives up for certain. Common practice, no source."""

FORESHORTENS_DEG = 5.0
"""From this tilt on bone is called foreshortened. Our choice."""

FITS_NOT = "does not fit"
NOTHING_LOST = "nothing that the question needs"


def ladder_title(view: str, receptor: str, holder: str) -> str:
    """What the steps are for, and with what one would begin."""
    return f"Steps for {view}, {receptor}, {holder}"


def ladder_step_words(tried: Tried) -> str:
    """A step with what it is taken with: "a smaller size: size 1 sensor, ring holder"."""
    step = tried.step
    view = f", {step.of.title}" if step.kind is StepKind.OTHER_VIEW else ""
    said = f"{STEP_TITLES[step.kind]}{view}"
    if step.kind in (StepKind.SMALLER, StepKind.PLATE_OR_FILM, StepKind.UPRIGHT):
        said += f": {step.receptor.title}"
        said += "" if step.holder.ring else f", {step.holder.title}"
    if step.kind is StepKind.OTHER_VIEW:
        said += f": {step.receptor.title}"
    return said


def lost_words(tried: Tried) -> str:
    """What a step loses: for certain, and of what the question needs."""
    if tried.plan is None:
        return capital(FITS_NOT)
    said = [LOSSES[tried.step.kind]] if tried.step.kind in LOSSES else []
    if (
        tried.plan.setting.tilt_deg >= FORESHORTENS_DEG
        and tried.step.kind is not StepKind.OTHER_VIEW
    ):
        said.append("bone a little foreshortened")
    if tried.not_shown:
        said.append(f"not shown: {listed(places_together(tried.not_shown))}")
    return capital("; ".join(said)) if said else capital(NOTHING_LOST)


def places_together(names: Sequence[str]) -> list[str]:
    """Surfaces and crests in few words, two sides of a contact as one: "16-17", "37 distal"."""
    left = [name for name in names if not name.endswith(".crest")]
    said = []
    for name in left:
        tooth, _, surface = name.partition(".")
        behind = f"{int(tooth) + 1}.mesial"
        ahead = f"{int(tooth) - 1}.distal"
        if surface == "distal" and behind in left:
            said.append(f"{tooth}-{int(tooth) + 1}")
        elif not (surface == "mesial" and ahead in left):
            said.append(place_title(name))
    crests = [name.removesuffix(".crest") for name in names if name.endswith(".crest")]
    said += [f"bone crest at {place_title(name)}" for name in crests if name not in left]
    return said


def ladder_answer(found: Ladder, question: AnyQuestion) -> str:
    """What to take, or that no film here serves, one or two sentences."""
    for_what = questions()[plain_question(question)].title
    if found.take is None:
        return _none(found, for_what)
    chance = found.take.chance(found.hand)
    whose = hand_title(found.hand)
    said = (
        f"Take: {ladder_step_words(found.take)}. It serves in {uncertain_share(chance)} ({whose})"
    )
    if found.take is found.likeliest:
        return f"{said}, no step more often."
    most = found.likeliest.chance(found.hand)
    if most <= chance:
        return f"{said}, no step more often."
    return (
        f"{said}; the likeliest step, {ladder_step_words(found.likeliest)}, in "
        f"{uncertain_share(most)}: within {AS_GOOD:.0%} the first in order is taken."
    )


def _none(found: Ladder, for_what: str) -> str:
    best = found.likeliest
    said = f"No film of this view serves here: {for_what}."
    if best.plan is None:
        said += " Nothing that this room has fits."
    else:
        chance = best.chance(found.hand)
        said += (
            f" The likeliest step, {ladder_step_words(best)}, would in {chance:.0%} "
            f"({hand_title(found.hand)}); less than {WORKS:.0%} is called not working."
        )
    others = [
        each
        for each in found.tried
        if each.step.kind is StepKind.OTHER_VIEW and each.chance(found.hand) >= WORKS
    ]
    if not others:
        return f"{said} Ask what else can answer the question."
    other = max(others, key=lambda each: each.chance(found.hand))
    return (
        f"{said} What another view shows of it: {ladder_step_words(other)}, "
        f"{uncertain_share(other.chance(found.hand))}."
    )


def dose_beside(share: float) -> str:
    """A step's dose beside the first step's: "as the first", "1.5 times"."""
    return "as the first" if abs(share - 1.0) < 0.005 else f"{share:.2g} times"


def limits_words(bears: Patient) -> str:
    """What the patient's limits were taken to be; empty where there are none."""
    said = [f"{each.title}: {each.says}" for each in bears.assumed]
    if bears.opens_mm is not None:
        said.append(f"opening: the front teeth part {bears.opens_mm:g} mm")
    return f"Assumed of this patient. {capital('; '.join(said))}." if said else ""


def ladder_notes() -> str:
    """What the ladder's figures rest on."""
    return (
        "In this mouth as described. A step is left out of account where the receptor cannot be "
        "brought in, has no room, or leaves the teeth more than 2 mm apart on the block. Dose: by "
        "the exposure that each kind of receptor is given in our films, the first step's is 1."
    )


def fit_not_words(found: Ladder) -> str:
    """Which steps do not fit this patient, one sentence; empty where all do."""
    said = [ladder_step_words(each) for each in found.tried if each.plan is None]
    return f"Does not fit this patient: {'; '.join(said)}." if said else ""


def chances_of(tried: Tried) -> str:
    """A step's chances, a hand after the other: "72 / 98 / 100%"."""
    return f"{' / '.join(f'{100.0 * each.chance:.0f}' for each in tried.odds.values())}%"


def hands_heading(found: Ladder) -> str:
    """Of whom the chances are, in their order."""
    hands = next((tuple(each.odds) for each in found.tried if each.odds), ())
    return f"serves: {' / '.join(hand_title(hand) for hand in hands)}"


LADDER_HEADINGS = ("step", "dose", "lost")

__all__ = [
    "LADDER_HEADINGS",
    "chances_of",
    "dose_beside",
    "fit_not_words",
    "hands_heading",
    "ladder_answer",
    "ladder_notes",
    "ladder_step_words",
    "ladder_title",
    "limits_words",
    "lost_words",
    "places_together",
]
