"""What a film's explanation gains from the other films of a visit, in words."""

from bitewright.explanation.correction import Correction, Part, Verdict
from bitewright.words.movements import figure, with_unit
from bitewright.words.phrases import counted

LEAST_DEG = 0.5
"""Less than this is no news in whole degrees."""


def learned_together(before: Correction | None, after: Correction | None, others: int) -> str:
    """One sentence: how much surer of the tube's swing a film is with the others than alone.

    Parameters
    ----------
    before, after : Correction or None
        Of the same marks without and with the others; nothing is said where there is none.
    others : int
        How many other films went in.
    """
    if before is None or after is None:
        return ""
    films = "the other film" if others == 1 else f"the {counted(others, 'other film')}"
    sentence = f"What {films} taught this one: {taught(before, after)}."
    back = "it" if others == 1 else "each of them"
    who = "It learns" if others == 1 else "They learn"
    return f"{sentence} {who} from this one too: open {back} to read what."


def taught(before: Correction, after: Correction) -> str:
    """What a correction from several films tells of the tube's swing beyond one from one film."""
    told = [each.verdict is not Verdict.CANNOT_TELL for each in (before, after)]
    if told == [False, True]:
        return "alone these marks cannot tell which way the tube should swing, together they can"
    one, other = (each.of(Part.SWING).needed for each in (before, after))
    open_before, open_after = one.high - one.low, other.high - other.low
    if abs(open_before - open_after) < LEAST_DEG and abs(one.value - other.value) < LEAST_DEG:
        return "next to nothing, its own marks tell the tube's swing as well alone"
    moved = abs(one.value - other.value)
    shift = "not changed" if moved < LEAST_DEG else f"changed by {with_unit(moved, 'deg')}"
    alone = with_unit(open_before, "deg")
    return (
        f"alone its marks leave {alone} open for the tube's swing, together "
        f"{figure(open_after, 'deg')}; the swing it asks for is {shift}"
    )


__all__ = ["learned_together", "taught"]
