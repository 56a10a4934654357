"""What a view wants of a particular mouth: only teeth that are there can be asked for."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from functools import cached_property

from bitewright.quality.views import View

Pair = tuple[int, int]


@dataclass(frozen=True, slots=False, kw_only=True)
class Wanted:
    """Structures of a view that exist.

    Parameters
    ----------
    view : View
    contacts, crest_sites : tuples of pairs of ISO 3950 codes
        Of neighbours, and of teeth that meet across a missing one.
    front_surfaces, last_surfaces : tuples of landmark names
        Distal surfaces that must be, or ideally are, on the image.
    gap_surfaces : tuple of landmark names
        Surfaces within the view that face a missing tooth.
    """

    view: View
    contacts: tuple[Pair, ...]
    crest_sites: tuple[Pair, ...]
    front_surfaces: tuple[str, ...]
    last_surfaces: tuple[str, ...]
    gap_surfaces: tuple[str, ...] = ()

    @cached_property
    def surfaces(self) -> tuple[str, ...]:
        """Every proximal surface that is asked for, each once."""
        at_contacts = (name for pair in self.contacts for name in edges(pair))
        others = (*self.gap_surfaces, *self.front_surfaces, *self.last_surfaces)
        return tuple(dict.fromkeys((*at_contacts, *others)))

    @cached_property
    def crests(self) -> tuple[str, ...]:
        """Landmark names of the crest at both teeth of every crest site, then beside gaps."""
        at_sites = (name for pair in self.crest_sites for name in edges(pair))
        return tuple(f"{name}.crest" for name in (*at_sites, *self.gap_surfaces))

    @cached_property
    def names(self) -> tuple[str, ...]:
        """Every surface and crest that is asked for, each once."""
        return tuple(dict.fromkeys((*self.surfaces, *self.crests)))


def wanted(view: View, teeth: Iterable[int], closed: Collection[Pair] = ()) -> Wanted:
    """Ask a view of the teeth present.

    Parameters
    ----------
    view : View
    teeth : iterable of int
        ISO 3950 codes.
    closed : collection of pairs
        Of those teeth that meet across missing ones (`quality.closed_spaces`): a contact in place
        of those that the missing teeth would have.
    """
    present = set(teeth)
    quadrants = view.region.quadrants
    contacts = _standing(view.pairs(view.contacts), present, closed)
    front = [10 * q + view.front_surface for q in quadrants] if view.front_surface else []
    last = [max((c for c in present if c // 10 == q), default=0) for q in quadrants]
    last_surfaces = tuple(f"{c}.distal" for c in last if view.last_surface and c % 10 >= 6)
    at_contacts = {name for pair in contacts for name in edges(pair)}
    gaps = [
        name
        for pair in view.pairs(view.contacts)
        for name, code, other in zip(edges(pair), pair, reversed(pair), strict=True)
        if code in present
        and other not in present
        and name not in last_surfaces
        and name not in at_contacts
    ]
    return Wanted(
        view=view,
        contacts=contacts,
        crest_sites=_standing(view.pairs(view.crest_sites), present, closed),
        front_surfaces=tuple(f"{c}.distal" for c in front if c in present),
        last_surfaces=last_surfaces,
        gap_surfaces=tuple(name for name in gaps if name[1] != "3"),
    )


def _standing(
    pairs: tuple[Pair, ...], present: set[int], closed: Collection[Pair]
) -> tuple[Pair, ...]:
    """Pairs of teeth that are both there, else the two that meet across what is missing of them."""
    found = [
        pair
        for front, back in pairs
        for pair in ((front, back), *closed)
        if present.issuperset(pair) and pair[0] <= front and back <= pair[1]
    ]
    return tuple(dict.fromkeys(found))


def edges(pair: Pair) -> tuple[str, str]:
    """The two surfaces that meet at a contact."""
    return f"{pair[0]}.distal", f"{pair[1]}.mesial"


__all__ = ["Pair", "Wanted", "edges", "wanted"]
