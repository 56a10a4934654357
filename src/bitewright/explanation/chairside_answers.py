"""What a person who was there may be asked of an exposure, and the answers given."""

from collections.abc import Mapping
from enum import StrEnum


class ChairsideQuestion(StrEnum):
    """A question that takes yes or no; one that nobody can answer stays without an answer."""

    RIM = "rim"
    """Was the tube's rim flush with its ring?"""
    GAP_ALONG = "gap-along"
    """Was there a gap between rim and ring at the front or the back?"""
    GAP_ABOVE = "gap-above"
    """Was there a gap between rim and ring above or below?"""
    BITE = "bite"
    """Did the teeth touch the bite block, above and below?"""
    FRONT = "front"
    """Did the receptor's front edge lie further to the front than it was meant to?"""
    BACK = "back"
    """Did it lie further to the back?"""
    HIGH = "high"
    """Was the receptor set too high in its holder?"""
    LOW = "low"
    """Was it set too low?"""
    LEVEL = "level"
    """Was the receptor level, its front edge neither up nor down?"""


OF_A_RING = frozenset(
    {ChairsideQuestion.RIM, ChairsideQuestion.GAP_ALONG, ChairsideQuestion.GAP_ABOVE}
)
"""Asked of a holder with a ring alone."""

OPPOSITES = (
    (ChairsideQuestion.FRONT, ChairsideQuestion.BACK),
    (ChairsideQuestion.HIGH, ChairsideQuestion.LOW),
    (ChairsideQuestion.RIM, ChairsideQuestion.GAP_ALONG),
    (ChairsideQuestion.RIM, ChairsideQuestion.GAP_ABOVE),
)
"""Of two of these not both are yes."""

Answers = Mapping[ChairsideQuestion, bool]
"""Yes or no by question; what is not known is left out."""

__all__ = ["OF_A_RING", "OPPOSITES", "Answers", "ChairsideQuestion"]
