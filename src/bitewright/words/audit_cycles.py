"""The two cycles of an audit, against the standard and against each other."""

from bitewright.audit.audit_cycle import CycleAction
from bitewright.audit.proportions import ShareDifference
from bitewright.audit.targets import TargetStanding
from bitewright.words.phrases import counted
from bitewright.words.rates import interval_words
from bitewright.words.verdicts import TARGET_WORDS

PATIENTS_NOT_COUNTED = (
    "Images are taken to be each of another patient. Those of one patient come out alike, so the "
    "intervals would be wider: count the patients and give `patients` in each cycle."
)


def cycle_standing(cycle: str, standing: TargetStanding) -> str:
    """How one grade of a cycle stands against its target; ``cycle``: "first cycle"."""
    share = standing.share
    bound = "at least" if standing.at_least else "at most"
    return (
        f"{cycle}, grade {standing.grade}: {share.count} of {share.total} ({share.share:.1%}, "
        f"{interval_words(share)}), target {bound} {standing.target:.0%}: "
        f"{TARGET_WORDS[standing.verdict]}"
    )


def cycle_change(grade: str, pair: ShareDifference, images_needed: int | None) -> str:
    """How a grade's share changed, and how many images would show so much for sure."""
    verdict = "a change beyond chance" if pair.settled else "no change beyond chance"
    enough = ""
    if images_needed is not None and not pair.settled:
        enough = f"; {counted(images_needed, 'image')} in each cycle would show it"
    return (
        f"grade {grade}: {100 * pair.difference:+.1f} points ({100 * pair.low:+.1f} to "
        f"{100 * pair.high:+.1f}), {verdict}{enough}"
    )


def action_words(action: CycleAction) -> str:
    """What was decided, by whom and until when."""
    return f"action: {action.what} ({action.owner}, by {action.by_date})"


def again_words(date: str) -> str:
    """When to audit again."""
    return f"audit again: {date}"


__all__ = ["PATIENTS_NOT_COUNTED", "action_words", "again_words", "cycle_change", "cycle_standing"]
