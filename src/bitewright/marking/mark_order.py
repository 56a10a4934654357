"""Which marks a view's film should get: what decides most first, as an eye goes over it."""

from collections.abc import Collection

from bitewright.mouth.tooth_forms import is_upper, tooth_form
from bitewright.quality.closed_spaces import across_missing
from bitewright.quality.views import View
from bitewright.quality.wanted import Pair, edges, wanted


def mark_order(
    view: View, *, absent_teeth: tuple[int, ...] = (), closed: Collection[Pair] = ()
) -> tuple[str, ...]:
    """Landmark names for one view: both arches' contacts first, then crests, cusps and necks.

    The contacts alone tell every overlap and most of which way the tube was off. Then upper arch
    before lower, front to back. Contacts, surfaces beside a gap, outer surfaces and
    crests decide criteria; cusps and cemento-enamel junctions tell how tube and receptor stood.

    Parameters
    ----------
    view : View
    absent_teeth : tuple of int
        ISO 3950 codes of teeth known to be missing.
    closed : collection of pairs
        Teeth that meet across missing ones. Across other missing teeth both surfaces that face
        each other are asked for too: only they tell whether the space has closed.
    """
    teeth = [code for code in _teeth(view) if code not in absent_teeth]
    of = wanted(view, teeth, closed)
    contacts = [name for pair in of.contacts for name in edges(pair)]
    facing = wanted(view, teeth, across_missing(teeth)).contacts
    alone = (*of.gap_surfaces, *of.front_surfaces, *of.last_surfaces)
    across = [name for pair in facing for name in edges(pair)]
    outer = [name for name in (*alone, *across) if name not in contacts]
    at_contacts = {code for pair in of.contacts for code in pair}
    shown = sorted(at_contacts | {int(name[:2]) for name in of.gap_surfaces})
    order = [*contacts, *outer, *of.crests]
    order += [f"{code}.{cusp}.cusp" for code in shown for cusp in _cusps(code)]
    order += [f"{name}.cej" for name in contacts]
    first = {*contacts, *outer}
    return tuple(
        sorted(dict.fromkeys(order), key=lambda name: (name not in first, *_rank(name, order)))
    )


def _teeth(view: View) -> list[int]:
    return [10 * quadrant + place for quadrant in view.region.quadrants for place in range(3, 8)]


def _cusps(code: int) -> tuple[str, ...]:
    """Cusps that stand out on a film, seen from the cheek: at most the two buccal ones."""
    names = tuple(tooth_form(code).cusps)
    buccal = tuple(name for name in names if "buccal" in name or name == "tip")
    return buccal or names[:1]


def _rank(name: str, order: list[str]) -> tuple[bool, int]:
    return (not is_upper(int(name[:2])), order.index(name))


__all__ = ["mark_order"]
