"""Which marks to check before an explanation is believed, in words."""

from bitewright.explanation.correction import Correction
from bitewright.words.mark_doubts import mark_doubts
from bitewright.words.mark_slips import slip_sentences


def correction_doubts(correction: Correction) -> tuple[str, ...]:
    """A sentence for each slip, for the marks to check, and for marks that fit no mouth well."""
    said = list(slip_sentences(correction.slips))
    said += mark_doubts(correction.doubtful_marks)
    if correction.is_unlike:
        said.append(
            "Taken together, marks or teeth lie further off than those the estimate was made for: "
            "some mark may be misnamed or misplaced, or the teeth are unusual, so check the marks."
        )
    return tuple(said)


__all__ = ["correction_doubts"]
