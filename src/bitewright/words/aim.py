"""An operator's aim in one sentence of movement, never a bare angle."""

from collections.abc import Sequence

from bitewright.audit.operator_aim import FEWEST_ASSESSED, OperatorAim
from bitewright.audit.pooled_means import WORTH_SAYING, PartEstimate
from bitewright.explanation.correction import Estimated, Movement, Need, Part
from bitewright.exposing.scatter import AimPart
from bitewright.words.could_have_missed import aim_missed, aims_missed
from bitewright.words.movements import OPENING, instruction
from bitewright.words.phrases import capital, counted, listed

RIM_RADIUS_MM = 60.0
"""From the receptor to the rim in a ring holder; only the millimetres in the sentence use it. Our
choice: operators are told apart by no holder."""

MENDED_BY = {
    AimPart.CONTACT_ERROR: Part.SWING,
    AimPart.VERTICAL_ERROR: Part.VERTICAL,
    AimPart.FORWARD: Part.FORWARD,
    AimPart.HEIGHT: Part.HEIGHT,
}
"""The movement that mends each part of an aim."""
OFF_BY = {
    AimPart.CONTACT_ERROR: ("the tube {by} degrees too far to the {way}", "front", "back"),
    AimPart.VERTICAL_ERROR: ("the tube {by} degrees too {way}", "high", "low"),
    AimPart.FORWARD: ("the receptor {by} mm too far to the {way}", "front", "back"),
    AimPart.HEIGHT: ("the receptor {by} mm too {way}", "high", "low"),
}
"""How a part is off, and which way where its mean is positive, and where it is negative."""


TENTHS_WITHIN = 1.0
"""Half an interval's width from which on whole degrees and millimetres are told. Our choice."""


def decimals_known(low: float, high: float) -> int:
    """To how many decimals a figure is told with its interval: tenths, or whole ones if wide."""
    return 0 if 0.5 * (high - low) >= TENTHS_WITHIN else 1


def advice(aim: OperatorAim, *, opening: str = OPENING) -> str:
    """What an operator should change, what they perhaps should, or that nothing needs to be said.

    Perhaps: where a mean lies beyond what is worth saying, but not surely. Nobody like that is told
    to keep the technique.
    """
    if aim.assessed < FEWEST_ASSESSED:
        return f"Only {counted(aim.assessed, 'assessed exposure')}: too few to tell."
    perhaps = perhaps_off(aim)
    if not aim.remarked and perhaps:
        return (
            f"Perhaps steadily off, not surely: {listed([_off(part) for part in perhaps])}. Assess "
            f"more exposures before anything is changed for it. {aim_missed(aim)}"
        ).strip()
    if not aim.remarked:
        return f"No steady error worth a remark: keep the technique. {aim_missed(aim)}".strip()
    movements = (instruction(_mending(p), rim_radius_mm=RIM_RADIUS_MM) for p in aim.remarked)
    return f"{capital(opening)}: {'; '.join(movements)}."


def perhaps_off(aim: OperatorAim) -> list[PartEstimate]:
    """The parts whose mean lies beyond what is worth saying, surely or not."""
    return [
        part
        for part in aim.parts
        if part.assessed >= FEWEST_ASSESSED and abs(part.mean) > WORTH_SAYING[part.part]
    ]


def the_others(aims: Sequence[OperatorAim]) -> str:
    """That nobody else is steadily off, and what that could miss; nothing where all are told."""
    others = [aim for aim in aims if not aim.remarked and not perhaps_off(aim)]
    if not others:
        return ""
    who = counted(len(others), "operator" if len(others) == len(aims) else "other operator")
    return f"Nothing worth a remark of {who}. {aims_missed(others)}".strip()


def mean_words(part: PartEstimate) -> str:
    """A part's mean with its interval, or that nothing of it was assessed."""
    if not part.assessed:
        return "not assessed"
    known = decimals_known(part.low, part.high)
    mean, low, high = (
        f"{round(value, known) + 0.0:+.{known}f}" for value in (part.mean, part.low, part.high)
    )
    return f"{mean} ({low} to {high})"


def _off(part: PartEstimate) -> str:
    """How far a part is off and which way, with its interval from that way's side."""
    said, plus, minus = OFF_BY[part.part]
    sign = 1.0 if part.mean > 0 else -1.0
    low, high = sorted((sign * part.low, sign * part.high))
    way = plus if sign > 0 else minus
    known = decimals_known(part.low, part.high)
    by, least, most = (
        f"{round(value, known) + 0.0:.{known}f}" for value in (sign * part.mean, low, high)
    )
    return f"{said.format(by=by, way=way)} ({least} to {most})"


def _mending(part: PartEstimate) -> Movement:
    """What is steadily off, turned round."""
    needed = Estimated(value=-part.mean, low=-part.high, high=-part.low)
    return Movement(part=MENDED_BY[part.part], needed=needed, need=Need.MOVE)


__all__ = ["advice", "decimals_known", "mean_words", "perhaps_off", "the_others"]
