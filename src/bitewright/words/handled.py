"""Faults of receptor and handling in words: what was done, what shows it, what to do next.

Common practice, no source.
"""

from types import MappingProxyType
from typing import NamedTuple

from bitewright.teaching.fault_names import PlantedFault
from bitewright.words.movements import OPENING
from bitewright.words.phrases import capital


class HandledWords(NamedTuple):
    """A fault in words.

    ``said``: as a choice. ``shown``: what of the picture shows it; ``shown_on_film`` where that is
    something else on a film than on a plate. ``then``: what to do.
    """

    said: str
    shown: str
    then: str
    shown_on_film: str = ""


_F = PlantedFault
HANDLED_WORDS = MappingProxyType(
    {
        _F.RECEPTOR_REVERSED: HandledWords(
            "the receptor lay with its back to the tube",
            "the pattern of the packet's backing lies over the teeth, the film is pale, and it is "
            "the mirror image, so that right looks like left",
            "turn the receptor's face to the tube, and look at its mark before it goes in",
        ),
        _F.RECEPTOR_BENT: HandledWords(
            "a corner of the receptor was bent",
            "a dark crease across one corner, and what lies beyond it is drawn out",
            "lay the receptor flat into its holder, nearer the midline where its corner presses",
        ),
        _F.MOVED: HandledWords(
            "patient, receptor or tube moved during the exposure",
            "every edge is blurred or doubled, and along one direction most",
            "have the patient rest the head, let the tube's arm come to rest, then expose",
        ),
        _F.EXPOSED_TWICE: HandledWords(
            "the receptor had been exposed before and was not erased",
            "a second picture lies over the first, with teeth where no teeth can be",
            "take a receptor that was erased, and keep exposed ones apart",
        ),
        _F.UNDER_EXPOSED: HandledWords(
            "the receptor got too little exposure",
            "the picture is grainy, most in the teeth; how dark it is tells nothing, for the "
            "display of a plate takes that out",
            "set the time for this view and patient by the chart, and hold the button until the "
            "signal ends",
            "the whole film is pale, the air beside the teeth too",
        ),
        _F.OVER_EXPOSED: HandledWords(
            "the receptor got too much exposure",
            "the whole film is dark, and enamel, which should be nearly white, is grey",
            "set the time for this view and patient by the chart",
        ),
        _F.SCRATCHED: HandledWords(
            "the receptor's face was scratched",
            "fine bright lines that cross teeth and bone and belong to neither",
            "look at the receptor's face before it is used, and put a scratched one aside",
        ),
        _F.LIT: HandledWords(
            "light reached the receptor before it was read",
            "the picture pales towards one side, without the sharp edge that the beam's field has",
            "keep the receptor in its cover, and read it soon and out of bright light",
        ),
    }
)


def handled_explained(fault: PlantedFault, *, on_film: bool) -> tuple[str, ...]:
    """What was done, what shows it, and what to do next; a sentence each."""
    of = HANDLED_WORDS[fault]
    return (
        f"{capital(of.said)}; it was aimed as planned.",
        f"What shows it: {(on_film and of.shown_on_film) or of.shown}.",
        f"{capital(OPENING)}: {of.then} (common practice, no source).",
    )


__all__ = ["HANDLED_WORDS", "handled_explained"]
