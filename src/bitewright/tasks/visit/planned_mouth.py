"""The mouth that a visit is planned in: described, believed, or one that nobody knows."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from bitewright.errors import BitewrightError
from bitewright.estimation.mouth_belief import MouthBelief, population
from bitewright.exposing.exposure import Station
from bitewright.mouth.mouth import Mouth
from bitewright.quality.closed_spaces import closed_spaces
from bitewright.quality.views import View
from bitewright.quality.wanted import Pair, Wanted, wanted
from bitewright.tasks.catalogue.named import Equipment, TwoMouthsError, station_for

USUAL_TEETH = tuple(10 * quadrant + place for quadrant in (1, 2, 3, 4) for place in range(1, 8))


class NotThereError(BitewrightError):
    """A tooth is named that is not in the mouth."""

    def __init__(self, tooth: int, there: Sequence[int]) -> None:
        self.tooth = tooth
        super().__init__(
            f"Tooth {tooth} is not in this mouth: give one of {', '.join(map(str, there))}."
        )


class LostSinceError(BitewrightError):
    """Teeth are said to be lost in a mouth whose films said which are there."""

    def __init__(self) -> None:
        super().__init__(
            "What earlier films taught says already which teeth are there: leave out --lost, or "
            "leave out --belief."
        )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PlannedMouth:
    """A mouth as it is described, or what is believed of one.

    Parameters
    ----------
    described : Mouth or None
    believed : MouthBelief
        Counts where nothing is described.
    """

    described: Mouth | None
    believed: MouthBelief

    @property
    def teeth(self) -> frozenset[int]:
        """Those that are there."""
        if self.described is None:
            return frozenset(self.believed.teeth)
        return frozenset(code for code, tooth in self.described.teeth.items() if tooth.present)

    @property
    def closed(self) -> tuple[Pair, ...]:
        """Those of them that meet across missing ones; a mouth that is not described keeps gaps."""
        return () if self.described is None else closed_spaces(self.described)

    def asked_of(self, of_view: View) -> Wanted:
        """What a view is to show of it."""
        return wanted(of_view, self.teeth, self.closed)

    def seen_for(self, of_view: View) -> MouthBelief | None:
        """What is believed of it from a view's side; None where it is described."""
        if self.described is not None:
            return None
        return self.believed.seen_from(of_view.region.side)

    def station(self, of_view: View, by: Equipment) -> Station:
        """The mouth, or the middle of what is believed, brought to a view."""
        seen = self.seen_for(of_view)
        mouth = self.described if seen is None else seen.mouth()
        assert mouth is not None  # noqa: S101  described where nothing is seen
        return station_for(of_view, mouth, by)


def planned_mouth(
    described: Mouth | None = None, belief: MouthBelief | None = None, lost: Sequence[int] = ()
) -> PlannedMouth:
    """The mouth to plan in, less teeth that are lost; the population's where nothing is known.

    Raises
    ------
    NotThereError, LostSinceError, TwoMouthsError
    """
    if belief is not None and described is not None:
        raise TwoMouthsError
    if belief is not None and lost:
        raise LostSinceError
    there = PlannedMouth(described=described, believed=belief or population(USUAL_TEETH))
    for tooth in lost:
        if tooth not in there.teeth:
            raise NotThereError(tooth, sorted(there.teeth))
    if not lost:
        return there
    left = tuple(sorted(there.teeth - set(lost)))
    if described is None:
        return PlannedMouth(described=None, believed=population(left))
    teeth = {code: replace(tooth, present=code in left) for code, tooth in described.teeth.items()}
    return replace(there, described=replace(described, teeth=teeth))


__all__ = ["LostSinceError", "NotThereError", "PlannedMouth", "planned_mouth"]
