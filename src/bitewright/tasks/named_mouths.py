"""A mouth and equipment, all by name: what a page may ask for."""

from pathlib import Path

from bitewright.errors import BitewrightError
from bitewright.tasks.own_catalogue import STANDARD, mouth_names, named_mouth
from bitewright.tasks.resources import StationRequest


class UnknownMouthError(BitewrightError):
    """A mouth was named that there is not."""

    def __init__(self, given: str, known: tuple[str, ...]) -> None:
        self.given = given
        super().__init__(f"Mouth {given[:60]!r} is not known: give one of {', '.join(known)}.")


def station_request(*, mouth: str, receptor: str, holder: str, tube: str) -> StationRequest:
    """Mouth and equipment, all by name.

    Raises
    ------
    UnknownMouthError
    """
    if named_mouth(mouth) is None:
        raise UnknownMouthError(mouth, mouth_names())
    return StationRequest(
        mouth_file=None if mouth == STANDARD else Path(mouth),
        receptor=receptor,
        holder=holder,
        tube=tube,
    )


__all__ = ["UnknownMouthError", "station_request"]
