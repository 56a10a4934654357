"""An explanation: a correction, the exposures it lies between, and what to do next."""

from dataclasses import dataclass, replace

from bitewright.estimation.estimate import Estimate
from bitewright.explanation.correction import Correction, Need, Part
from bitewright.explanation.next_exposure import NextExposure
from bitewright.exposing.exposure import Exposures
from bitewright.planning.best_aim import Plan


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Explanation:
    """A correction and the two exposures it lies between; what to do next, if anything."""

    correction: Correction
    now: Exposures
    plan: Plan
    estimate: Estimate
    next: NextExposure | None = None

    @property
    def next_plan(self) -> Plan:
        """The set-up for next time: what was weighed, else the best aim of the estimated mouth.

        Where the mouth has no room for any, the exposure stays where it was.
        """
        if self.next is None:
            return self.plan
        if not self.next.has_room:
            return replace(self.plan, exposure=self.now)
        return replace(self.plan, setting=self.next.set_up, exposure=self.next.exposure)

    @property
    def tells_how_far(self) -> bool:
        """Whether movements are told with their amounts, or with the way alone."""
        return not self.correction.is_unlike and (self.next is None or self.next.is_moved)

    @property
    def ways_alone(self) -> tuple[Part, ...]:
        """Parts of which the way alone is told, though others are told with their amounts."""
        if self.next is None:
            return ()
        return tuple(each.part for each in self.next.ways_of(self.correction))

    @property
    def drawn(self) -> Correction:
        """The correction with those movements alone that are told, so that no other is drawn."""
        if self.next is None:
            return self.correction
        told = {each.part for each in self.next.told_of(self.correction)}
        return replace(
            self.correction,
            movements=tuple(
                each if each.part in told else replace(each, need=Need.STAY)
                for each in self.correction.movements
            ),
        )


__all__ = ["Explanation"]
