"""The holder's block that teeth close on, as it stands on a film: moulded, not cut.

Seen along the beam it is a bar with rounded ends, fading towards its upper and lower edge: a low
lip runs along the side towards the receptor, teeth bite on a shallow dish, and beyond it the block
thins out. It imitates no holder: an invention of ours.
"""

import numpy as np
from numpy.typing import NDArray

from bitewright.exposing.exposure import Station
from bitewright.solids.lofts import loft
from bitewright.space import ClosedMesh

Floats = NDArray[np.float64]

PROFILE = (
    (0.0, 0.8),
    (0.01, 1.0),
    (0.04, 1.12),
    (0.10, 1.10),
    (0.18, 1.0),
    (0.30, 0.97),
    (0.50, 0.95),
    (0.62, 1.0),
    (0.72, 0.92),
    (0.85, 0.72),
    (0.96, 0.56),
    (1.0, 0.40),
)
"""From the receptor's side outwards: place as a share of the width, height as a share of half the
thickness. Our choice."""

END_MM = 1.3
"""Ends are rounded over this much of the length. Our choice."""

DRAFT_SHARE = 0.25
"""At each end the outer side is shorter than the receptor's by so much of the rounding."""


def bite_block(at: Station) -> ClosedMesh | None:
    """The holder's block in the receptor frame, standing out from the casing towards the tube."""
    holder = at.holder
    if holder.bite_block_thickness_mm == 0.0:
        return None
    seating = at.seating
    middle = np.array([at.region.front_sign * seating.offset_along_mm, seating.offset_up_mm])
    face = -at.receptor.active_depth_mm - holder.receptor_to_block_mm
    rings = _rings(
        holder.bite_block_length_mm, holder.bite_block_thickness_mm, holder.bite_block_width_mm
    )
    return loft(rings + np.array([*middle, face]))


def _rings(length_mm: float, thickness_mm: float, width_mm: float) -> Floats:
    """Outlines across the block, one after the other along it, (K, M, 3). [mm]"""
    place, high = np.array(PROFILE).T
    side = np.stack([0.5 * thickness_mm * high, -width_mm * place], axis=1)
    across = np.concatenate([side, (side * [-1.0, 1.0])[::-1]])  # over the top, back below
    end = min(END_MM, 0.5 * length_mm)
    turn = np.deg2rad([85.0, 65.0, 45.0, 25.0, 10.0, 0.0])
    out = 0.5 * length_mm - end * (1.0 - np.sin(turn))
    along = np.concatenate([-out, out[::-1]])
    full = np.concatenate([np.cos(turn), np.cos(turn)[::-1]])
    rings = np.empty((len(along), len(across), 3))
    short = 1.0 - DRAFT_SHARE * end / (0.5 * length_mm) * (-across[:, 1] / width_mm)
    rings[..., 0] = along[:, None] * short
    rings[..., 1] = full[:, None] * across[:, 0]
    rings[..., 2] = across[:, 1]
    return rings


__all__ = ["bite_block"]
