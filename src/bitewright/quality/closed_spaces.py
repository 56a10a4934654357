"""Spaces of missing teeth that have closed: where the next teeth that are there meet again.

Premolars taken out for orthodontics leave such spaces, and molars lost long ago. There the crowns
on either side may overlap on a film like any others, and are a contact of their own, "13-15".
"""

from collections.abc import Iterable
from itertools import pairwise

from bitewright.exposing.targets import FIRST_PLACE
from bitewright.mouth.mouth import Mouth
from bitewright.quality.wanted import Pair

SPACE_CLOSED_MM = 2.0
"""Where the crowns on either side of a missing tooth stand less far apart, its space has closed.
Our choice: less than a third of a premolar's width."""


def across_missing(teeth: Iterable[int]) -> tuple[Pair, ...]:
    """Teeth (ISO 3950 codes) next to each other in their quadrants with some missing between."""
    row = sorted(code for code in set(teeth) if code % 10 >= FIRST_PLACE)
    return tuple(pair for pair in pairwise(row) if _is_across(pair))


def closed_spaces(mouth: Mouth) -> tuple[Pair, ...]:
    """Contacts of a mouth across missing teeth: its own contacts, by the gap it leaves at them.

    A tooth whose space is kept (``present = False``) stands in no such contact.
    """
    return tuple(
        pair
        for pair, contact in mouth.contacts.items()
        if _is_across(pair)
        and pair[0] % 10 >= FIRST_PLACE
        and all(mouth.teeth[code].present for code in pair)
        and contact.gap_mm < SPACE_CLOSED_MM
    )


def _is_across(pair: Pair) -> bool:
    return pair[0] // 10 == pair[1] // 10 and pair[1] - pair[0] > 1


__all__ = ["SPACE_CLOSED_MM", "across_missing", "closed_spaces"]
