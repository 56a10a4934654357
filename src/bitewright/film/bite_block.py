"""The holder's block that teeth close on, as it stands on a film: moulded, not cut.

Seen along the beam it is a bar with rounded ends, fading towards its upper and lower edge: a low
lip runs along the side towards the receptor, teeth bite on a shallow dish, and beyond it the block
thins out. It imitates no holder: an invention of ours. Figures: ``tables/bite_block.toml``.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from bitewright.exposing.exposure import Station
from bitewright.figure_tables import figures_of
from bitewright.solids.lofts import loft
from bitewright.space import ClosedMesh

Floats = NDArray[np.float64]


def bite_block(at: Station) -> ClosedMesh | None:
    """The holder's block in the receptor frame, standing out from the casing towards the tube. [mm]

    Our model: a bar with rounded ends and a bitten profile. None for a holder without a block.
    """
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
    place, high = np.array(BITE_BLOCK.out_share), np.array(BITE_BLOCK.height_share)
    side = np.stack([0.5 * thickness_mm * high, -width_mm * place], axis=1)
    across = np.concatenate([side, (side * [-1.0, 1.0])[::-1]])  # over the top, back below
    end = min(BITE_BLOCK.end_mm, 0.5 * length_mm)
    turn = np.deg2rad(BITE_BLOCK.end_turns_deg)
    out = 0.5 * length_mm - end * (1.0 - np.sin(turn))
    along = np.concatenate([-out, out[::-1]])
    full = np.concatenate([np.cos(turn), np.cos(turn)[::-1]])
    rings = np.empty((len(along), len(across), 3))
    short = 1.0 - BITE_BLOCK.draft_share * end / (0.5 * length_mm) * (-across[:, 1] / width_mm)
    rings[..., 0] = along[:, None] * short
    rings[..., 1] = full[:, None] * across[:, 0]
    rings[..., 2] = across[:, 1]
    return rings


class BiteBlock(NamedTuple):
    """The holder's block that teeth close on."""

    out_share: tuple[float, ...]
    height_share: tuple[float, ...]
    end_mm: float
    draft_share: float
    end_turns_deg: tuple[float, ...]


BITE_BLOCK = figures_of(BiteBlock, "bitewright.film", "bite_block")

__all__ = ["bite_block"]
