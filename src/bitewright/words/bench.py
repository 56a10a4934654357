"""What to do next on the bench, in one sentence."""

from collections.abc import Container, Mapping, Sequence

from bitewright.exposing.beam_cover import BeamPlace
from bitewright.quality.findings import ContactFinding
from bitewright.quality.rating import ContactState
from bitewright.words.cone_cuts import cone_cut_fact, cone_cut_ways
from bitewright.words.phrases import listed

NAMED = 3
"""So many contacts are named; more than these are counted."""


def next_step(
    contacts: Sequence[ContactFinding],
    errors_deg: Mapping[str, float],
    in_fan: Mapping[str, bool],
    *,
    refused: str | None,
    cut_mm: Mapping[BeamPlace, float],
    not_needed: Container[str] = (),
    fitness: str = "",
) -> str:
    """The next step: what is in the way, which way to swing, or that all is open.

    Parameters
    ----------
    contacts : sequence of ContactFinding
        The view's contacts.
    errors_deg : mapping
        How far the beam lies from each contact's open direction, towards the front. [deg]
    in_fan : mapping
        Whether the beam lies in the fan of a contact.
    refused : str, optional
        Why the receptor cannot be there.
    cut_mm : mapping
        What the beam leaves blank at each edge and corner that it cuts. [mm]
    not_needed : container of str
        Contacts that the view wants and the question can do without.
    fitness : str
        Whether the film answers the question, said where only such contacts are in the way.
    """
    if refused is not None:
        return refused
    unlike = [contact for contact in contacts if contact.state is not ContactState.OPEN]
    shut = [contact for contact in unlike if contact.name not in not_needed]
    off_image = [contact for contact in shut if contact.state is ContactState.NOT_SHOWN]
    if off_image:
        return f"Off the image: {_named(off_image)}. Move the receptor, or bring the beam to it."
    if cut_mm:
        ways = listed(cone_cut_ways(cut_mm))
        return f"A cone cut: {cone_cut_fact(cut_mm)}. Slide the tube {ways}."
    if not shut and unlike:
        return f"{fitness} Not open, and not needed for that: {_named(unlike)}.".strip()
    if not shut:
        return "Every contact of the view is open. The criteria tell what is left."
    return _swing(shut, errors_deg, in_fan)


def best_step(
    contacts: Sequence[ContactFinding],
    not_needed: Container[str],
    *,
    fitness: str,
    serves: bool,
) -> str:
    """What is told at the best aim: what it does, and where to look for what no aim can mend."""
    if not serves:
        return f"This is the best aim, and it does not mend all. {fitness} See Other ways."
    unlike = [contact for contact in contacts if contact.state is not ContactState.OPEN]
    if not unlike:
        return "This is the best aim: every contact of the view is open."
    needed = [contact for contact in unlike if contact.name not in not_needed]
    if not needed:
        return (
            f"This is the best aim. {fitness} Not open, and not needed for that: {_named(unlike)}."
        )
    return f"This is the best aim. {fitness} Not open even so: {_named(needed)}."


def _swing(
    shut: Sequence[ContactFinding], errors_deg: Mapping[str, float], in_fan: Mapping[str, bool]
) -> str:
    """Which way to swing the tube, so that contacts open that are not."""
    names = _named(shut)
    if all(in_fan[contact.name] for contact in shut):
        return f"The beam lies at the very edge of the fan: {names}. Swing a little further in."
    ways = {errors_deg[contact.name] < 0.0 for contact in shut if not in_fan[contact.name]}
    if len(ways) == 2:
        return (
            f"No one beam opens {names}: they want the tube swung to opposite sides. "
            "Best aim weighs them."
        )
    where = "front" if ways.pop() else "back"
    lights = "its fan lights" if len(shut) == 1 else "their fans light"
    return f"Swing the tube towards the {where} until {lights}: {names}. Or press Best aim."


def _named(contacts: Sequence[ContactFinding]) -> str:
    names = [contact.name for contact in contacts[:NAMED]]
    more = len(contacts) - len(names)
    return listed([*names, f"{more} more"] if more else names)


__all__ = ["best_step", "next_step"]
