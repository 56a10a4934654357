"""Whether a film's pixel size is believable: how large the picture is, and how wide its crowns."""

from collections.abc import Sequence

import numpy as np

from bitewright.mouth.standard_mouth import standard_mouth
from bitewright.proposing.proposals import ProposedMark
from bitewright.proposing.square import FilmOnSquare

LARGEST_MM = 62.0
"""No receptor for bitewings is longer. Our choice, from the sizes of ISO 3665 and a border."""

NARROW, WIDE = 0.9, 1.3
"""Crowns' widths against usual ones, the median of a film's, lie between: on films of 20 mouths of
our own it was 0.94 to 1.22. Our choice."""

FEWEST_TEETH = 3


def is_scale_doubtful(film: FilmOnSquare, made: Sequence[ProposedMark]) -> bool:
    """Whether the picture is larger than any receptor, or crowns far from their usual widths."""
    if max(film.size_mm) > LARGEST_MM:
        return True
    usual = standard_mouth(third_molars=True).teeth
    across = {each.name: each.place_px[0] for each in made}
    to_mm = film.size_mm[1] / film.columns_px
    shares = [
        to_mm * abs(across[f"{code}.mesial"] - across[f"{code}.distal"]) / usual[code].md_crown_mm
        for code in sorted({each.code for each in made})
        if f"{code}.mesial" in across and f"{code}.distal" in across
    ]
    return len(shares) >= FEWEST_TEETH and not NARROW < float(np.median(shares)) < WIDE


__all__ = ["LARGEST_MM", "is_scale_doubtful"]
