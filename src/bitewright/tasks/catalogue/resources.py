"""What every task needs first: equipment by name, a mouth from a file, threads."""

import os
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from bitewright.equipment.catalogue import Catalogue, packaged_catalogue
from bitewright.errors import BitewrightError
from bitewright.exposing.exposure import Station, station
from bitewright.files.belief_file import read_belief
from bitewright.files.toml_files import read_toml, write_toml
from bitewright.mouth.mouth import Mouth, standard_mouth
from bitewright.mouth.mouth_description import mouth_from_description, mouth_to_description
from bitewright.mouth.outlines import build_outlines
from bitewright.quality.views import View
from bitewright.row_bands import Threads
from bitewright.tasks.catalogue.own_catalogue import known_mouth, own_equipment


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


def equipment(files: Sequence[Path] = ()) -> Catalogue:
    """The packaged equipment with a user's own added: what is kept, and further files."""
    catalogue = packaged_catalogue().merged(own_equipment())
    for path in files:
        catalogue = catalogue.with_entries(read_toml(path))
    return catalogue


def mouth_from(path: Path | None) -> Mouth:
    """The mouth of a file, or of a name that `named_mouth` knows, or the standard one.

    Raises
    ------
    UnknownMouthError
        For what can only be a name, and is none.
    BitewrightError
        If the file cannot be read or describes no mouth.
    """
    if path is None:
        return standard_mouth()
    if path.suffix or len(path.parts) != 1 or os.path.exists(path):  # noqa: PTH110  never raises
        return mouth_from_description(read_toml(path))
    return known_mouth(str(path), or_file=True)


def write_mouth(path: Path, of: Mouth) -> None:
    """Write a mouth's whole description."""
    write_toml(
        path,
        mouth_to_description(of),
        comment="A mouth for Bitewright. Lengths in mm, angles in degrees; see the docs.",
    )


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


@contextmanager
def all_cores() -> Iterator[Threads]:
    """Threads on every core, for work on large arrays."""
    count = max(os.cpu_count() or 1, 1)
    with ThreadPoolExecutor(count) as pool:
        yield Threads(count=count, map=pool.map)


__all__ = [
    "StationRequest",
    "TwoMouthsError",
    "all_cores",
    "equipment",
    "mouth_from",
    "station_for",
    "write_mouth",
]
