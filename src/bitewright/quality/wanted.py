"""What a view wants of a particular mouth: only teeth that are there can be asked for."""

from collections.abc import Iterable
from dataclasses import dataclass

from bitewright.quality.views import View

Pair = tuple[int, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """Structures of a view that exist.

    Parameters
    ----------
    view : View
    contacts, crest_sites : tuples of pairs of ISO 3950 codes
    front_surfaces, last_surfaces : tuples of landmark names
        Distal surfaces that must be, or ideally are, on the image.
    """

    view: View
    contacts: tuple[Pair, ...]
    crest_sites: tuple[Pair, ...]
    front_surfaces: tuple[str, ...]
    last_surfaces: tuple[str, ...]

    @property
    def crests(self) -> tuple[str, ...]:
        """Landmark names of the crest at both teeth of every crest site."""
        return tuple(
            f"{code}.{surface}.crest"
            for front, back in self.crest_sites
            for code, surface in ((front, "distal"), (back, "mesial"))
        )

    @property
    def names(self) -> tuple[str, ...]:
        """Every surface and crest that is asked for, each once."""
        edges = (
            f"{code}.{surface}"
            for front, back in self.contacts
            for code, surface in ((front, "distal"), (back, "mesial"))
        )
        return tuple(
            dict.fromkeys((*edges, *self.front_surfaces, *self.last_surfaces, *self.crests))
        )


def wanted(view: View, teeth: Iterable[int]) -> Wanted:
    """Ask a view of the teeth present (ISO 3950 codes)."""
    present = set(teeth)
    quadrants = view.region.quadrants

    def standing(pairs: tuple[Pair, ...]) -> tuple[Pair, ...]:
        return tuple(pair for pair in pairs if present.issuperset(pair))

    front = [10 * q + view.front_surface for q in quadrants] if view.front_surface else []
    last = [max((c for c in present if c // 10 == q), default=0) for q in quadrants]
    return Wanted(
        view=view,
        contacts=standing(view.pairs(view.contacts)),
        crest_sites=standing(view.pairs(view.crest_sites)),
        front_surfaces=tuple(f"{c}.distal" for c in front if c in present),
        last_surfaces=tuple(f"{c}.distal" for c in last if view.last_surface and c % 10 >= 6),
    )


__all__ = ["Pair", "Wanted", "wanted"]
