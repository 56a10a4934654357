"""The fewest films that show every wanted place, and how likely each and all of them do.

Our model: a film counts for a place that it shows in `SURE` of the drawn exposures of the hand that
decides, or about as often as any film does; never for one that it shows in less than `WORKS`. Of as
many films, those are taken that most likely show everything.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from bitewright.exposing.region import Zone
from bitewright.planning.best_aim import Plan
from bitewright.planning.ladder import AS_GOOD, WORKS
from bitewright.visit.ledger import SURE
from bitewright.visit.odds import Flags, Floats

MOST_FILMS = 4
"""More films of one side are not looked for. Our choice."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FilmToTake:
    """A film that may be taken.

    Parameters
    ----------
    plan : Plan
    shown : mapping of str to (D, K) bool array
        By hand, which of the K wanted places of its side each drawn exposure shows.
    """

    plan: Plan
    shown: Mapping[str, Flags]

    def often(self, hand: str) -> Floats:
        """How often it shows each place in a hand, (K,)."""
        return np.asarray(self.shown[hand].mean(axis=0))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SideOfVisit:
    """The films of one side.

    Parameters
    ----------
    names : tuple of K str
        The places wanted of it.
    films : tuple of FilmToTake
        In the order in which they are taken.
    shown_by : tuple of K (int or None)
        Which film each place is for; None where no film that was weighed shows it.
    hand : str
        The hand that decides.
    """

    names: tuple[str, ...]
    films: tuple[FilmToTake, ...]
    shown_by: tuple[int | None, ...]
    hand: str

    @property
    def not_shown(self) -> tuple[str, ...]:
        """Places that no film shows that was weighed."""
        return tuple(
            name for name, film in zip(self.names, self.shown_by, strict=True) if film is None
        )

    def places_of(self, film: int) -> tuple[str, ...]:
        """The places that a film is taken for."""
        return tuple(name for name, by in zip(self.names, self.shown_by, strict=True) if by == film)

    def chance_of(self, film: int, hand: str) -> float:
        """How likely a film shows all that it is taken for."""
        own = np.array([by == film for by in self.shown_by])
        return float(self.films[film].shown[hand][:, own].all(axis=1).mean())

    def all_shown(self, hand: str) -> Flags:
        """Whether the films together show every place that any can, in each draw, (D,)."""
        reached = np.array([by is not None for by in self.shown_by])
        return np.asarray(_together(self.films, hand)[:, reached].all(axis=1))


def fewest_films(
    names: Sequence[str], weighed: Sequence[FilmToTake], hand: str, *, beyond: int = 0
) -> SideOfVisit | None:
    """The fewest of some films of one side that show all its places; None where none shows any.

    Places that none of them shows are left out.

    Parameters
    ----------
    names : sequence of K str
    weighed : sequence of FilmToTake
    hand : str
        The hand that decides.
    beyond : int
        Only sets of more films than this are looked at.
    """
    often = np.array([each.often(hand) for each in weighed]).reshape(-1, len(names))
    most = often.max(axis=0, initial=0.0)
    reached = (often >= WORKS) & (often >= np.minimum(SURE, most - AS_GOOD))
    within = np.asarray(reached.any(axis=0))
    if not within.any():
        return None
    for count in range(1 + beyond, min(MOST_FILMS, len(weighed)) + 1):
        found = [
            chosen
            for chosen in combinations(range(len(weighed)), count)
            if (reached[list(chosen)].any(axis=0) >= within).all()
        ]
        if found:
            films = max(
                ([weighed[each] for each in chosen] for chosen in found),
                key=lambda some: _likely(some, hand, within),
            )
            return _in_order(tuple(names), films, hand)
    return None


def _likely(some: Sequence[FilmToTake], hand: str, within: Flags) -> float:
    return float(_together(some, hand)[:, within].all(axis=1).mean())


def _together(some: Sequence[FilmToTake], hand: str) -> Flags:
    return np.asarray(np.any([each.shown[hand] for each in some], axis=0))


def _in_order(names: tuple[str, ...], films: Sequence[FilmToTake], hand: str) -> SideOfVisit:
    """Premolars before molars, whose films are harder to bear: common practice, no source."""
    ordered = sorted(films, key=lambda each: each.plan.view.region.zone is Zone.MOLAR)
    chances = np.array([each.often(hand) for each in ordered])
    best = chances.argmax(axis=0)
    return SideOfVisit(
        names=names,
        films=tuple(ordered),
        shown_by=tuple(
            int(film) if chances[film, place] >= WORKS else None for place, film in enumerate(best)
        ),
        hand=hand,
    )


__all__ = ["FilmToTake", "SideOfVisit", "fewest_films"]
