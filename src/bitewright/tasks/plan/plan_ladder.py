"""What to try in order where a view is hard to take, from names to an answer."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from bitewright import __version__
from bitewright.equipment.catalogue import Catalogue
from bitewright.errors import BitewrightError, quoted
from bitewright.exposing.exposure import Station
from bitewright.exposing.receptor_edges import EdgePlace, edge_places
from bitewright.exposing.scatter import Scatter
from bitewright.film.film_kinds import right_kerma_mgy
from bitewright.nearest_name import meant
from bitewright.planning.ladder import HandsAsked, Ladder, Owned, Tried, ladder
from bitewright.planning.odds import OPERATOR
from bitewright.planning.patient_limits import NO_LIMITS, Patient
from bitewright.planning.stated_hands import MIDDLING, stated_hands
from bitewright.quality.views import View
from bitewright.steps import Begin, unwatched
from bitewright.tasks.all_cores import all_cores
from bitewright.tasks.rated_by import RatedBy
from bitewright.words.ladder import (
    dose_beside,
    ladder_answer,
    ladder_notes,
    ladder_step_words,
    limits_words,
    lost_words,
)

LADDER_FORMAT = "bitewright.ladder/1"
SEED = 0


class NotOwnableError(BitewrightError):
    """A room was said to own what the catalogue does not know."""

    def __init__(self, given: str, known: Sequence[str]) -> None:
        self.given = given
        super().__init__(
            f"The room was said to have {quoted(given)}, which is no receptor or holder: give one "
            f"of {', '.join(known)}.{meant(given, known)}"
        )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LadderAnswer:
    """The ladder of a view for one patient and room."""

    view: View
    ladder: Ladder
    bears: Patient
    by: RatedBy

    @property
    def answer(self) -> str:
        """What to take, or that no film here serves."""
        return ladder_answer(self.ladder, self.by.question)

    def dose(self, tried: Tried) -> float:
        """A step's dose beside that of the first."""
        first = self.ladder.tried[0].step.receptor
        return right_kerma_mgy(tried.step.receptor) / right_kerma_mgy(first)

    def edges(self, tried: Tried) -> tuple[EdgePlace, ...]:
        """Where the receptor's edges lie in a step that fits."""
        return () if tried.plan is None else edge_places(tried.plan.exposure)

    def document(self) -> dict[str, Any]:
        """As data for machines."""
        take = self.ladder.take
        return {
            "format": LADDER_FORMAT,
            "version": __version__,
            "view": self.view.name,
            "view_title": self.view.title,
            "answer": self.answer,
            "assumed": limits_words(self.bears),
            "notes": ladder_notes(),
            "decided_by": self.ladder.hand,
            "take": None if take is None else self.ladder.tried.index(take),
            "steps": [self._step_document(each) for each in self.ladder.tried],
        }

    def _step_document(self, tried: Tried) -> dict[str, Any]:
        step, dose = tried.step, self.dose(tried)
        document: dict[str, Any] = {
            "step": step.kind.value,
            "words": ladder_step_words(tried),
            "view": step.of.name,
            "receptor": step.receptor.name,
            "holder": step.holder.name,
            "fits": tried.plan is not None,
            "odds": {name: round(each.chance, 3) for name, each in tried.odds.items()},
            "dose": round(dose, 3),
            "dose_words": dose_beside(dose),
            "lost": lost_words(tried),
            "not_shown": list(tried.not_shown),
        }
        if tried.plan is not None:
            setting = tried.plan.setting
            document["settings"] = {
                name: getattr(setting, name)
                for name in (
                    "forward_mm",
                    "lingual_mm",
                    "turn_deg",
                    "tilt_deg",
                    "ring_offset_deg",
                    "vertical_deg",
                )
            }
        return document


def owned_of(known: Catalogue, names: Iterable[str] = ()) -> Owned:
    """What a room has, by name; all that the catalogue knows, if nothing is named.

    Raises
    ------
    NotOwnableError
    """
    wanted = list(names)
    both = [*known.receptors, *known.holders]
    for name in wanted:
        if name not in both:
            raise NotOwnableError(name, both)
    receptors = [each for name, each in known.receptors.items() if not wanted or name in wanted]
    holders = [each for name, each in known.holders.items() if not wanted or name in wanted]
    return Owned(receptors=tuple(receptors), holders=tuple(holders))


def plan_ladder(
    of_view: View,
    at: Station,
    owned: Owned,
    *,
    by: RatedBy,
    bears: Patient = NO_LIMITS,
    scatter: Scatter | None = None,
    begin: Begin = unwatched,
) -> LadderAnswer:
    """Try every step for a view.

    Parameters
    ----------
    of_view, at : View and Station
        With the receptor and the holder that would be taken as usual.
    owned : Owned
    by : RatedBy
    bears : Patient
    scatter : Scatter or None
        The operator's; the stated hands, if None.
    begin : Begin

    Raises
    ------
    StoppedError
        If `begin` stopped it.
    MouthValueError
        If the patient opens less, or further, than a mouth can.
    """
    hands = (
        {OPERATOR: scatter}
        if scatter is not None
        else {name: hand.scatter for name, hand in stated_hands().items()}
    )
    with all_cores() as threads:
        found = ladder(
            of_view,
            at,
            owned,
            HandsAsked(
                scatters=hands, decides=MIDDLING if scatter is None else OPERATOR, seed=SEED
            ),
            bears=bears,
            question=by.question,
            threads=threads,
            begin=begin,
        )
    return LadderAnswer(view=of_view, ladder=found, bears=bears, by=by)


__all__ = ["LadderAnswer", "NotOwnableError", "owned_of", "plan_ladder"]
