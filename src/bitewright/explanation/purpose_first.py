"""Which movements come first: those that mend what the film's purpose lacked."""

from collections.abc import Collection, Sequence

from bitewright.explanation.correction import Movement, Part
from bitewright.quality.criteria import CriterionName

MENDED_BY = {
    CriterionName.CONTACTS_SHOWN: (Part.FORWARD,),
    CriterionName.CONTACTS_OPEN: (Part.SWING, Part.TURN),
    CriterionName.CANINE_DISTAL: (Part.FORWARD,),
    CriterionName.GAPS_SHOWN: (Part.FORWARD,),
    CriterionName.LAST_DISTAL: (Part.FORWARD,),
    CriterionName.CREST: (Part.HEIGHT, Part.VERTICAL, Part.CLOSURE),
    CriterionName.LEVEL: (Part.ROLL,),
    CriterionName.CENTRAL: (Part.HEIGHT, Part.VERTICAL),
    CriterionName.CLOSURE: (Part.CLOSURE, Part.HEIGHT),
    CriterionName.BEAM: (Part.SWING, Part.VERTICAL),
}
"""What moves where a criterion is not met. Common practice, no source."""


def purpose_first(
    movements: Sequence[Movement], lacked: Collection[CriterionName]
) -> tuple[Movement, ...]:
    """The same movements, those first that mend a criterion the film lacked; else in their order.

    Parameters
    ----------
    movements : sequence of Movement
        The most important first.
    lacked : collection of CriterionName
        Criteria that the question needs and the film did not meet.
    """
    mending = {part for name in lacked for part in MENDED_BY[name]}
    return tuple(sorted(movements, key=lambda each: each.part not in mending))


__all__ = ["MENDED_BY", "purpose_first"]
