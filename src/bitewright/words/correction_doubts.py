"""Which marks to check before an explanation is believed, in words."""

from collections.abc import Sequence

from bitewright.explanation.chairside_answers import ChairsideQuestion
from bitewright.explanation.correction import Correction, Part
from bitewright.words.mark_doubts import mark_doubts
from bitewright.words.mark_slips import slip_sentences
from bitewright.words.movements import with_unit
from bitewright.words.phrases import listed


def correction_doubts(correction: Correction) -> tuple[str, ...]:
    """A sentence for each slip, for marks to check, and for what fits no answer or no mouth."""
    said = list(first_doubts(correction))
    said += mark_doubts(correction.doubtful_marks)
    if correction.bite_against_marks:
        said.append(_against_the_bite(correction))
    if correction.is_unlike and not correction.closed_spaces:
        said.append(
            "Taken together, marks or teeth lie further off than those the estimate was made for: "
            "some mark may be misnamed or misplaced, or the teeth are unusual, so check the marks."
        )
    return tuple(said)


def _against_the_bite(correction: Correction) -> str:
    """That the marks show otherwise than was answered how far apart the teeth were."""
    closing = correction.of(Part.CLOSURE)
    if not correction.answers[ChairsideQuestion.BITE]:
        return (
            "The teeth were said not to touch the bite block, but as marked they did, or nearly: "
            "check the marks, and ask again."
        )
    apart = with_unit(closing.needed.value, closing.unit)
    return (
        f"The teeth were said to touch the bite block, but as marked they were about {apart} short "
        "of it: check the marks, and ask again."
    )


def first_doubts(correction: Correction) -> tuple[str, ...]:
    """What stands before all else: a sentence for each slip, and on a mouth that is not known."""
    closed = correction.closed_spaces
    return (*slip_sentences(correction.slips), *([closed_words(closed)] if closed else []))


def closed_words(pairs: Sequence[str]) -> str:
    """That teeth stand together where the estimate keeps a missing tooth's space."""
    return (
        f"At {listed(list(pairs))} the space of missing teeth has closed in part, and the estimate "
        "keeps the whole: in this mouth it tells no movement. Give the mouth itself, where it is "
        "known."
    )


__all__ = ["closed_words", "correction_doubts", "first_doubts"]
