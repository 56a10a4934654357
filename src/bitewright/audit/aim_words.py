"""An operator's aim in one sentence of movement, never a bare angle."""

import math

from bitewright.audit.operator_aim import FEWEST_ASSESSED, OperatorAim, PartEstimate
from bitewright.imaging.scatter import AimPart

RIM_MM = 73.0
"""From the receptor's middle to the tube's rim, about, with a ring holder. Our choice: a ring about
60 mm from the receptor and half a mouth's depth; only the millimetres in the sentence use it."""

NEXT_TIME = "Next time, or if another exposure is justified: "


def advice(aim: OperatorAim) -> str:
    """What an operator should change, or that nothing needs to be said."""
    if aim.assessed < FEWEST_ASSESSED:
        return (
            f"Only {aim.assessed} assessed exposure{'' if aim.assessed == 1 else 's'}: "
            "too few to tell."
        )
    if not aim.remarked:
        return "No steady error worth a remark: keep the technique."
    movements = "; ".join(_movement(part) for part in aim.remarked)
    return f"{NEXT_TIME}{movements}."


def _movement(part: PartEstimate) -> str:
    size = abs(part.mean)
    if part.part is AimPart.CONTACT_ERROR:
        rim = RIM_MM * math.tan(math.radians(size))
        way = "back" if part.mean > 0 else "front"
        return (
            f"slide the tube about {rim:.0f} mm towards the {way} of the mouth at the rim, turning "
            f"to keep it on the receptor ({size:.0f} degrees)"
        )
    if part.part is AimPart.VERTICAL_ERROR:
        way, point = ("lower", "less") if part.mean > 0 else ("raise", "more")
        return f"{way} the tube so that it points {point} down ({size:.0f} degrees)"
    if part.part is AimPart.FORWARD:
        way = "back" if part.mean > 0 else "front"
        return f"place the receptor about {size:.0f} mm further to the {way}"
    way = "lower" if part.mean > 0 else "higher"
    return f"seat the receptor about {size:.0f} mm {way} against the bite block"


__all__ = ["advice"]
