"""A mouth and equipment, all by name: what a page may ask for."""

from pathlib import Path

from bitewright.tasks.catalogue.own_catalogue import STANDARD, known_mouth
from bitewright.tasks.catalogue.resources import StationRequest


def named_station(*, mouth: str, receptor: str, holder: str, tube: str) -> StationRequest:
    """Mouth and equipment, all by name.

    Raises
    ------
    UnknownMouthError
    """
    known_mouth(mouth)
    return StationRequest(
        mouth_file=None if mouth == STANDARD else Path(mouth),
        receptor=receptor,
        holder=holder,
        tube=tube,
    )


__all__ = ["named_station"]
