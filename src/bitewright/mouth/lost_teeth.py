"""What a lost tooth leaves: a gap, into which its neighbours drift and tip.

Order of size from general teaching, no source; every figure here is our choice.
"""

from dataclasses import replace

import numpy as np

from bitewright.mouth.mouth import LIMITS, Mouth

LOST_PER_YEAR = (0.0001, 0.0001, 0.0001, 0.0006, 0.0006, 0.0014, 0.0008, 0.0008)
"""Share of teeth lost for each year past `LOST_FROM_YEARS`, by place: first molars most."""

LOST_FROM_YEARS = 25.0
MOST_LOST = 4
"""More would need words that this model has not, of what holds the bite."""

CLOSED_SHARE = (0.1, 0.5)
"""Of a lost tooth's width, how much its neighbours drift into."""

TIP_BEHIND_DEG = (4.0, 18.0)
"""How far the tooth behind tips into the gap, least and most: with how much has closed."""

TIP_AHEAD_DEG = (0.0, 4.0)
"""And the one in front, backwards."""

TURN_BEHIND_DEG = 5.0
"""A tipping tooth also turns to its tongue side, by a normal amount of this deviation."""


def with_lost_teeth(mouth: Mouth, own: np.random.Generator) -> Mouth:
    """The same mouth, with as many teeth lost as its age brings.

    Parameters
    ----------
    mouth : Mouth
    own : numpy Generator
        Drawn from once for each tooth, whether it is lost or not.
    """
    years = max(0.0, mouth.age_years - LOST_FROM_YEARS)
    drawn = {code: own.random() for code in mouth.teeth}
    risk = {code: drawn[code] - LOST_PER_YEAR[code % 10 - 1] * years for code in mouth.teeth}
    lost = sorted((code for code in risk if risk[code] < 0.0), key=risk.__getitem__)[:MOST_LOST]
    for code in sorted(lost):
        mouth = without_tooth(mouth, code, own)
    return mouth


def without_tooth(mouth: Mouth, code: int, own: np.random.Generator) -> Mouth:
    """The same mouth without one tooth, its neighbours drifted and tipped into the gap."""
    teeth = dict(mouth.teeth)
    closed = float(own.uniform(*CLOSED_SHARE))
    reach = (closed - CLOSED_SHARE[0]) / (CLOSED_SHARE[1] - CLOSED_SHARE[0])
    gone = teeth[code]
    teeth[code] = replace(
        gone,
        present=False,
        md_crown_mm=max(gone.md_crown_mm * (1.0 - closed), LIMITS["md_crown_mm"][0]),
        mesial_flank_deg=0.0,
        distal_flank_deg=0.0,
        rotation_deg=0.0,
        tip_deg=0.0,
    )
    behind, ahead = code + 1, code - 1
    if behind in teeth:
        tip = TIP_BEHIND_DEG[0] + reach * (TIP_BEHIND_DEG[1] - TIP_BEHIND_DEG[0])
        turn = -TURN_BEHIND_DEG * abs(float(own.standard_normal()))
        teeth[behind] = replace(
            teeth[behind],
            tip_deg=_within("tip_deg", teeth[behind].tip_deg + tip),
            rotation_deg=_within("rotation_deg", teeth[behind].rotation_deg + turn),
        )
    if ahead in teeth and code % 10 > 1:
        tip = TIP_AHEAD_DEG[0] + reach * (TIP_AHEAD_DEG[1] - TIP_AHEAD_DEG[0])
        teeth[ahead] = replace(teeth[ahead], tip_deg=_within("tip_deg", teeth[ahead].tip_deg - tip))
    return replace(mouth, teeth=teeth)


def _within(name: str, value: float) -> float:
    low, high, _ = LIMITS[name]
    return float(min(max(value, low), high))


__all__ = ["with_lost_teeth", "without_tooth"]
