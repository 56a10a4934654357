"""What was seen of rim and ring, by the way that a tube moves: whether tube or receptor was off."""

from collections.abc import Mapping

from bitewright.explanation.chairside_answers import Answers, ChairsideQuestion
from bitewright.explanation.correction import Part

GAP_OF: Mapping[Part, ChairsideQuestion] = {
    Part.SWING: ChairsideQuestion.GAP_ALONG,
    Part.VERTICAL: ChairsideQuestion.GAP_ABOVE,
}
"""Where a gap between rim and ring shows that the tube itself was off, by the tube's movement."""


def rim_flush_of(part: Part, answers: Answers, *, rim_flush: bool | None) -> bool | None:
    """Whether rim and ring stood flush the way one of the tube's movements goes.

    None where nobody looked. A gap that was looked for that way tells before a rim that was off,
    which may have been so the other way.
    """
    gap = GAP_OF.get(part)
    if rim_flush is True or gap is None or gap not in answers:
        return rim_flush
    return not answers[gap]


def turned_instead(answers: Answers, *, ring: bool, rim_flush: bool | None) -> frozenset[Part]:
    """The tube's movements that the receptor is to make instead, its ring and the tube with it.

    Those whose way rim and ring stood flush; none of a holder without a ring.
    """
    if not ring:
        return frozenset()
    return frozenset(
        part for part in GAP_OF if rim_flush_of(part, answers, rim_flush=rim_flush) is True
    )


__all__ = ["GAP_OF", "rim_flush_of", "turned_instead"]
