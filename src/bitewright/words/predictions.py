"""How an exposure is set, and which structures it shows."""

from collections.abc import Sequence

from bitewright.exposing.aim import Aim
from bitewright.exposing.placement import Placement
from bitewright.exposing.seating import Seat
from bitewright.words.phrases import are, counted


def setting_rows(
    placement: Placement, aim: Aim, seat: Seat, *, contact_error_deg: float
) -> tuple[tuple[str, str], ...]:
    """Where receptor and tube are in one exposure, each with its figure and its direction."""
    p, a = placement.arrays(), aim.arrays()
    front, back = "to the front", "to the back"
    canine, teeth = "to the opposite canine", "to the teeth"
    return (
        ("receptor from the view's middle", _way(p["forward_mm"][0], "mm", front, back)),
        ("space to the teeth", f"{p['lingual_mm'][0]:.1f} mm"),
        ("receptor's front end turned", _way(p["turn_deg"][0], "degrees", canine, teeth)),
        ("tube from the ring's direction", beam_off(a["ring_offset_deg"][0])),
        ("tube from the open direction", beam_off(contact_error_deg)),
        ("tube from the occlusal plane", _way(a["vertical_deg"][0], "degrees", "above", "below")),
        ("mandible open", f"{seat.opening_deg[0]:.1f} degrees"),
        ("teeth apart beyond the bite block", f"{seat.closure_mm[0]:.1f} mm"),
    )


def beam_off(error_deg: float) -> str:
    """How far the beam lies from a contact's open direction, and to which side."""
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


__all__ = ["beam_off", "setting_rows", "shown_words"]
