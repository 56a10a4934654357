"""What a film was likely taken for, by the teeth that it shows."""

from collections.abc import Sequence

from bitewright.mouth.numbering import Side
from bitewright.mouth.tooth_forms import is_upper
from bitewright.proposing.proposals import ProposedMark
from bitewright.proposing.square import SIDE_PX
from bitewright.quality.views import View, view

MIDDLE_PX = SIDE_PX / 2
"""The film's middle lies in the middle of the square."""


def likely_view(made: Sequence[ProposedMark], side: Side, *, upright: bool) -> View:
    """The view whose contacts the film shows most of; of two with as many the one it is centred on.

    Parameters
    ----------
    made : sequence of ProposedMark
    side : Side
    upright : bool
        Whether the film stands on its shorter side.
    """
    ending = "-vertical" if upright else ""
    views = [view(f"{side.value}-{zone}{ending}") for zone in ("premolar", "molar")]
    shown = {each.name for each in made}
    counts = [
        sum(
            f"{front}.distal" in shown and f"{back}.mesial" in shown
            for front, back in each.pairs(each.contacts)
        )
        for each in views
    ]
    if counts[0] != counts[1]:
        return views[int(counts[1] > counts[0])]
    edges = [each for each in made if each.kind in {"mesial", "distal"}]
    if not edges:
        return views[0]
    nearest = min(edges, key=lambda each: abs(each.place_px[0] - MIDDLE_PX))
    return views[int(nearest.code % 10 >= 6)]


def shown_contacts(made: Sequence[ProposedMark]) -> int:
    """How many contacts are proposed with both their edges."""
    return len(_contacts(made))


def is_one_arch(made: Sequence[ProposedMark]) -> bool:
    """Whether an arch has no contact with both its edges proposed, though a bitewing shows both."""
    return {is_upper(front) for front in _contacts(made)} != {True, False}


def _contacts(made: Sequence[ProposedMark]) -> list[int]:
    """The tooth in front, by ISO 3950 code, of each contact proposed with both its edges."""
    shown = {each.name for each in made}
    return [
        int(name[:2])
        for name in sorted(shown)
        if name.endswith(".distal") and f"{int(name[:2]) + 1}.mesial" in shown
    ]


__all__ = ["is_one_arch", "likely_view", "shown_contacts"]
