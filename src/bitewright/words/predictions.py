"""How an exposure is set, and which structures it shows."""

import math
from collections.abc import Sequence

from bitewright.exposing.aim import Aim
from bitewright.exposing.placement import Placement
from bitewright.quality.rating import ContactState
from bitewright.words.phrases import are, counted, listed


def setting_rows(
    placement: Placement,
    aim: Aim,
    *,
    opening_deg: float,
    closure_mm: float,
    contact_error_deg: float,
) -> tuple[tuple[str, str], ...]:
    """Where receptor and tube are in one exposure, each with its figure and its direction.

    ``opening_deg``: of the mandible. ``closure_mm``: the teeth off the bite block, as the criterion
    measures it.
    """
    p, a = placement.arrays(), aim.arrays()
    front, back = "to the front", "to the back"
    canine, teeth = "to the opposite canine", "to the teeth"
    return (
        ("receptor from the view's middle", _way(p["forward_mm"][0], "mm", front, back)),
        ("space to the teeth", f"{p['lingual_mm'][0]:.1f} mm"),
        ("receptor's front end turned", _way(p["turn_deg"][0], "degrees", canine, teeth)),
        ("tube from the ring, square on the receptor", beam_off(a["ring_offset_deg"][0])),
        ("tube from the contacts' open direction", beam_off(contact_error_deg)),
        ("tube from the occlusal plane", _way(a["vertical_deg"][0], "degrees", "above", "below")),
        ("mandible open", f"{opening_deg:.1f} degrees"),
        ("teeth on the bite block", closure_words(closure_mm)),
    )


def fan_words(outside_deg: float | None, state: ContactState) -> str:
    """How the ray through a contact lies to the fan in which it is open.

    Parameters
    ----------
    outside_deg : float or None
        How far outside, positive with the tube too far to the front; None where there is no fan.
        [deg]
    state : ContactState
        The projected overlap decides at a fan's very edge.
    """
    if state is ContactState.OPEN:
        return "in the fan"
    if outside_deg is None:
        return "no fan: open from nowhere"
    size = f"{abs(outside_deg):.1f} degrees"
    if size.startswith("0.0 "):
        is_shut = state in (ContactState.READABLE, ContactState.UNREADABLE)
        return "at the fan's edge" if is_shut else "in the fan"
    return f"{size} outside, {'to the front' if outside_deg > 0.0 else 'to the back'}"


def left_off_words(contacts: Sequence[str], step_mm: float) -> str:
    """Why a planned place leaves contacts off the image: further forward they are unreadable."""
    what = "it is" if len(contacts) == 1 else "they are"
    return (
        f"With the receptor {step_mm:g} mm further to the front {listed(contacts)} "
        f"would be on the image, but unreadable; for this question {what} not needed."
    )


def closure_words(closure_mm: float) -> str:
    """How the teeth stand on the bite block, as its criterion says it: "1.2 mm off it"."""
    size = f"{abs(closure_mm):.1f} mm"
    return "closed on it" if closure_mm <= 0.0 or size == "0.0 mm" else f"{size} off it"


def beam_off(error_deg: float) -> str:
    """How far the beam lies from a contact's open direction, and which way; NaN of no contact."""
    if math.isnan(error_deg):
        return "no contact of the view is left"
    return _way(error_deg, "degrees", "to the front", "to the back")


def _way(value: float, unit: str, plus: str, minus: str) -> str:
    """A size with its direction; none where it rounds to nought."""
    size = f"{abs(value):.1f} {unit}"
    return size if size.startswith("0.0 ") else f"{size} {plus if value > 0.0 else minus}"


def shown_words(missing: Sequence[str], *, shown: int, of: int) -> str:
    """What the view wants and the exposure does not show, and how many structures are shown."""
    wanted = "Everything the view wants is shown."
    if missing:
        wanted = f"The view wants and does not show: {', '.join(missing)}."
    return (
        f"{wanted} Of {counted(of, 'structure')} on this side {shown} {are(shown)} shown "
        "(--json lists them)."
    )


__all__ = ["beam_off", "closure_words", "fan_words", "setting_rows", "shown_words"]
