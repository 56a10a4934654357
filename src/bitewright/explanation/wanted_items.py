"""What counts on the next film: the view's contacts, then what else its question needs."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bitewright.planning.best_aim import IDEAL_WEIGHT
from bitewright.quality.measure import NOT_SEEN, Measurements
from bitewright.quality.predicted import Asked
from bitewright.quality.questions import AnyQuestion, needs
from bitewright.quality.wanted import edges

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class WantedItems:
    """What counts: the view's contacts, then other surfaces and crests that are needed, I in all.

    ``needed`` (I,), ``weights`` (I,) that come to one.
    """

    contacts: tuple[tuple[int, int], ...]
    surfaces: tuple[str, ...]
    crests: tuple[str, ...]
    needed: Flags
    weights: Floats


def wanted_items(of: Asked, question: AnyQuestion) -> WantedItems:
    """What counts of a view for a question, what is only ideal less than what is needed."""
    want, need = of.wanted, needs(question, of.wanted)
    at_contacts = {name for pair in want.contacts for name in edges(pair)}
    surfaces = tuple(name for name in want.surfaces if name in need.surfaces - at_contacts)
    crests = tuple(name for name in want.crests if name in need.crests)
    of_contacts = [bool(need.surfaces & set(edges(pair))) for pair in want.contacts]
    needed = np.array([*of_contacts, *[True] * (len(surfaces) + len(crests))], dtype=np.bool_)
    weights = np.where(needed, 1.0, IDEAL_WEIGHT)
    return WantedItems(
        contacts=want.contacts,
        surfaces=surfaces,
        crests=crests,
        needed=needed,
        weights=weights / weights.sum(),
    )


def on_image(measured: Measurements, items: WantedItems) -> Flags:
    """Whether each item is on the image, (E, I)."""
    gone = {name: np.isin(measured.gone[name], NOT_SEEN) for name in measured.wanted.surfaces}
    seen = [~(gone[one] | gone[other]) for one, other in map(edges, items.contacts)]
    seen += [~gone[name] for name in items.surfaces]
    column = {name: k for k, name in enumerate(measured.wanted.crests)}
    seen += [measured.crest_clearance_mm[:, column[name]] >= 0.0 for name in items.crests]
    return np.stack(seen, axis=1)


__all__ = ["WantedItems", "on_image", "wanted_items"]
