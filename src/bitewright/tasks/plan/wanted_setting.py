"""A setting as a person wants it: in part planned, in part told from where contacts are open."""

from dataclasses import dataclass, replace

from bitewright.errors import BitewrightError
from bitewright.exposing.aim import Aim
from bitewright.exposing.contact_error import contact_error_deg, contact_errors_deg
from bitewright.exposing.exposure import Station
from bitewright.planning.best_aim import Setting, best_aim
from bitewright.quality.predicted import Asked
from bitewright.quality.questions import AnyQuestion
from bitewright.quality.views import View
from bitewright.tasks.all_cores import all_cores
from bitewright.tasks.plan.set_exposure import (
    HandSetting,
    SeatedReceptor,
    aim_at,
    seat_receptor,
)


class AimedTwiceError(BitewrightError):
    """Both ways to say where the tube points were given."""

    def __init__(self) -> None:
        super().__init__(
            "The tube was told to point in two ways, by --ring-offset from the ring and by "
            "--contact-error from where the contacts are open: give one of them."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class WantedSetting:
    """One exposure's setting as a person asks for it. [mm, deg]

    ``planned`` starts from the best setting found for view and mouth; the numbers given then
    change it. Otherwise ``ring_offset_deg`` counts from the ring, or ``contact_error_deg`` in
    its stead from the direction in which the view's contacts are open. ``swing_forward_deg`` swings
    the tube on from there. ``lingual_mm`` None seats the receptor as near the teeth as it fits.
    """

    planned: bool = False
    forward_mm: float | None = None
    lingual_mm: float | None = None
    height_mm: float = 0.0
    turn_deg: float | None = None
    tilt_deg: float = 0.0
    roll_deg: float = 0.0
    ring_offset_deg: float | None = None
    contact_error_deg: float | None = None
    swing_forward_deg: float = 0.0
    vertical_deg: float | None = None
    tube_forward_mm: float = 0.0
    tube_up_mm: float = 0.0


def settled(
    wanted: WantedSetting, of_view: View, at: Station, of: Asked, *, question: AnyQuestion
) -> HandSetting:
    """The numbers that give what is wanted.

    Parameters
    ----------
    wanted : WantedSetting
    of_view : View
    at : Station
    of : Asked
        The view asked of the station with every contact.
    question : AnyQuestion
        What a plan is made for.

    Raises
    ------
    AimedTwiceError
    NoContactToAimAtError
        If the aim is told from contacts and the mouth has none of the view's.
    """
    if wanted.ring_offset_deg is not None and wanted.contact_error_deg is not None:
        raise AimedTwiceError
    start = _planned(of_view, at, question) if wanted.planned else None
    forward, turn, ring, vertical = (
        asked_for if asked_for is not None else getattr(start, name) if start else 0.0
        for name, asked_for in (
            ("forward_mm", wanted.forward_mm),
            ("turn_deg", wanted.turn_deg),
            ("ring_offset_deg", wanted.ring_offset_deg),
            ("vertical_deg", wanted.vertical_deg),
        )
    )
    setting = HandSetting(
        forward_mm=forward,
        lingual_mm=wanted.lingual_mm,
        height_mm=wanted.height_mm,
        turn_deg=turn,
        tilt_deg=wanted.tilt_deg,
        roll_deg=wanted.roll_deg,
        ring_offset_deg=ring,
        vertical_deg=vertical,
        tube_forward_mm=wanted.tube_forward_mm,
        tube_up_mm=wanted.tube_up_mm,
    )
    if wanted.contact_error_deg is not None:
        if not own_contacts(of):
            raise NoContactToAimAtError(of_view)
        seated = seat_receptor(at, setting)
        ring = _ring_offset_for(wanted.contact_error_deg, at, seated, setting.aim, of)
    return replace(setting, ring_offset_deg=ring + wanted.swing_forward_deg)


class NoContactToAimAtError(BitewrightError):
    """An aim by a view's contacts in a mouth that lacks them all."""

    def __init__(self, of_view: View) -> None:
        super().__init__(
            f"No contact of the {of_view.title} view is left in this mouth: aim by --ring-offset "
            "or --planned."
        )


def own_contacts(of: Asked) -> list[int]:
    """Columns of the view's own contacts among all projected ones."""
    return [c for c, site in enumerate(of.targets.sites) if site.pair in of.wanted.contacts]


def _planned(of_view: View, at: Station, question: AnyQuestion) -> Setting:
    with all_cores() as threads:
        return best_aim(of_view, at, question=question, threads=threads).setting


def _ring_offset_for(
    wanted_deg: float, at: Station, seated: SeatedReceptor, aim: Aim, of: Asked
) -> float:
    """Ring offset that gives a contact error; two steps suffice, for one follows the other."""
    offset = 0.0
    for _ in range(4):
        exposure = aim_at(at, seated, replace(aim, ring_offset_deg=offset)).exposure
        errors = contact_errors_deg(exposure, of.targets.sites)[:, own_contacts(of)]
        offset += wanted_deg - float(contact_error_deg(errors)[0])
    return offset


__all__ = [
    "AimedTwiceError",
    "NoContactToAimAtError",
    "WantedSetting",
    "own_contacts",
    "settled",
]
