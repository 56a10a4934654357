"""What a visit is to show, and what with."""

from collections.abc import Sequence
from dataclasses import dataclass

from bitewright.equipment.catalogue import Catalogue
from bitewright.equipment.receptors import Receptor
from bitewright.exposing.scatter import Scatter
from bitewright.mouth.numbering import Side
from bitewright.planning.ladder import Owned
from bitewright.planning.odds import OPERATOR
from bitewright.planning.stated_hands import MIDDLING, stated_hands
from bitewright.tasks.catalogue.named import Equipment
from bitewright.tasks.plan.plan_ladder import owned_of
from bitewright.tasks.rated_by import RatedBy
from bitewright.visit.sites import BOTH_SIDES


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitWish:
    """What a visit is to show, and what with.

    Parameters
    ----------
    by : RatedBy
        The purpose.
    taken_with : Equipment
        With the receptor that is usual here.
    receptors : tuple of Receptor
        Further ones that the room was said to have.
    owned : Owned
        All that may be tried where a usual film does not do.
    sides : sequence of Side
    teeth : tuple of int
        Those whose surfaces are wanted; all, if empty.
    scatter : Scatter or None
        The operator's; the stated hands, if None.
    """

    by: RatedBy
    taken_with: Equipment
    owned: Owned
    receptors: tuple[Receptor, ...] = ()
    sides: Sequence[Side] = BOTH_SIDES
    teeth: tuple[int, ...] = ()
    scatter: Scatter | None = None

    @property
    def hands(self) -> dict[str, Scatter]:
        """Whose odds are told."""
        if self.scatter is not None:
            return {OPERATOR: self.scatter}
        return {name: hand.scatter for name, hand in stated_hands().items()}

    @property
    def hand(self) -> str:
        """The hand that decides."""
        return MIDDLING if self.scatter is None else OPERATOR


def visit_wish(
    known: Catalogue,
    taken_with: Equipment,
    own: Sequence[str],
    *,
    by: RatedBy,
    sides: Sequence[Side] = BOTH_SIDES,
    teeth: Sequence[int] = (),
    scatter: Scatter | None = None,
) -> VisitWish:
    """A wish by names: receptors that the room was said to have are weighed beside the usual one.

    Raises
    ------
    NotOwnableError
    """
    owned = owned_of(known, own)
    return VisitWish(
        by=by,
        taken_with=taken_with,
        owned=owned,
        receptors=owned.receptors if own else (),
        sides=sides,
        teeth=tuple(teeth),
        scatter=scatter,
    )


__all__ = ["VisitWish", "visit_wish"]
