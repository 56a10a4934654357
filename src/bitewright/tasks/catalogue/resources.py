"""What every task needs first: equipment by name, a mouth from a file, threads."""

from dataclasses import dataclass
from pathlib import Path

from bitewright.errors import BitewrightError
from bitewright.exposing.exposure import Station, station
from bitewright.files.belief_file import read_belief
from bitewright.files.toml_files import write_toml
from bitewright.mouth.mouth import Mouth
from bitewright.mouth.mouth_description import mouth_to_description
from bitewright.mouth.outlines import build_outlines
from bitewright.quality.views import View
from bitewright.tasks.catalogue.named import equipment, mouth_from
from bitewright.words.file_notes import MOUTH


@dataclass(frozen=True, slots=True, kw_only=True)
class StationRequest:
    """Mouth and equipment by name, as a person gives them.

    ``mouth_file`` None is the standard mouth, or the middle of what films taught about one
    (``belief_file``); ``equipment_files`` add to the packaged equipment.
    """

    receptor: str = "film-2"
    holder: str = "ring-holder"
    tube: str = "rectangular-300"
    mouth_file: Path | None = None
    belief_file: Path | None = None
    equipment_files: tuple[Path, ...] = ()


class TwoMouthsError(BitewrightError):
    """A mouth file and a belief name two mouths."""

    def __init__(self) -> None:
        super().__init__(
            "A mouth file and a belief were both given, only one mouth can be meant: give --mouth "
            "for a mouth that is known, --belief for one that films have taught about."
        )


def write_mouth(path: Path, of: Mouth) -> None:
    """Write a mouth's whole description."""
    write_toml(path, mouth_to_description(of), comment=MOUTH)


def station_for(view: View, request: StationRequest) -> Station:
    """Build the mouth and bring the equipment to a view's region.

    Raises
    ------
    TwoMouthsError
        If a mouth file and a belief are both given.
    """
    catalogue = equipment(request.equipment_files)
    if request.belief_file is not None:
        if request.mouth_file is not None:
            raise TwoMouthsError
        own = read_belief(request.belief_file).seen_from(view.region.side).mouth()
    else:
        own = mouth_from(request.mouth_file)
    return station(
        build_outlines(own),
        view.region,
        catalogue.receptor(request.receptor),
        catalogue.holder(request.holder),
        catalogue.tube(request.tube),
    )


__all__ = [
    "StationRequest",
    "TwoMouthsError",
    "station_for",
    "write_mouth",
]
