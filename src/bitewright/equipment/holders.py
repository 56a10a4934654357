"""Holders: what keeps the receptor in place and, with a ring, where the tube belongs."""

from dataclasses import dataclass
from enum import Enum

from bitewright.equipment.entries import CatalogueEntry, required, within_range


class HolderKind(Enum):
    """How a receptor is held."""

    RING_HOLDER = "ring-holder"
    TAB = "tab"
    NONE = "none"


@dataclass(frozen=True, slots=True, kw_only=True)
class Holder(CatalogueEntry):
    """A bite block or tab, with or without a ring that guides the tube.

    The bite block is a flat box at mid-height of the receptor, standing out from its surface
    towards the tube; the patient closes on it, so its thickness is how far the arches stay apart
    at least. `NONE` puts nothing between the teeth: they close edge to edge.

    Parameters
    ----------
    kind : HolderKind
    bite_block_thickness_mm : float
        Between the arches; 0 only where nothing lies between them. [mm]
    bite_block_length_mm : float
        Along the row of teeth. [mm]
    bite_block_width_mm : float
        Across the row, from the receptor outwards. [mm]
    receptor_to_block_mm : float
        Gap from the receptor's surface to where the block begins. [mm]
    backing_thickness_mm : float
        Behind the receptor, on the tongue's side; it needs room too. [mm]
    ring : bool
        Whether a ring guides the tube at right angles to the receptor's centre.
    ring_to_receptor_mm : float
        From the recording plane to the ring's plane, where the tube's end rests; without a ring,
        to where the tube's end is usually held. [mm]

    Raises
    ------
    CatalogueEntryError
        If a field is outside its range, or kind, ring and block contradict one another.
    """

    kind: HolderKind
    bite_block_thickness_mm: float = within_range(0, 15)
    bite_block_length_mm: float = within_range(0, 50)
    bite_block_width_mm: float = within_range(0, 50)
    receptor_to_block_mm: float = within_range(0, 20, default=0.0)
    backing_thickness_mm: float = within_range(0, 10, default=0.0)
    ring: bool
    ring_to_receptor_mm: float = within_range(15, 200)

    def __post_init__(self) -> None:
        CatalogueEntry.__post_init__(self)
        is_ring_holder = self.kind is HolderKind.RING_HOLDER
        required(
            self,
            holds=self.ring is is_ring_holder,
            field="ring",
            allowed="true for a ring-holder and false for a tab or none",
            advice="correct ring or kind",
        )
        for field in ("thickness", "length", "width"):
            self._check_block(f"bite_block_{field}_mm")

    def _check_block(self, field: str) -> None:
        has_block = self.kind is not HolderKind.NONE
        required(
            self,
            holds=(getattr(self, field) > 0) is has_block,
            field=field,
            allowed="more than 0 for a holder or tab and 0 for none",
            advice="correct that field or kind",
        )


__all__ = ["Holder", "HolderKind"]
