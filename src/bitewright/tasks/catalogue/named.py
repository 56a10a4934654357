"""Names and files turned into what they stand for, once, where a person's wish comes in."""

import os
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from bitewright.equipment.catalogue import Catalogue, packaged_catalogue
from bitewright.equipment.holders import Holder
from bitewright.equipment.receptors import Receptor
from bitewright.equipment.tubes import Tube
from bitewright.errors import BitewrightError
from bitewright.estimation.mouth_belief import MouthBelief
from bitewright.exposing.exposure import Station, station
from bitewright.files.belief_file import read_belief
from bitewright.files.toml_files import read_toml
from bitewright.mouth.mouth import Mouth
from bitewright.mouth.mouth_description import mouth_from_description
from bitewright.mouth.outlines import build_outlines
from bitewright.mouth.standard_mouth import standard_mouth
from bitewright.quality.views import View
from bitewright.tasks.catalogue.named_mouths import known_mouth
from bitewright.tasks.catalogue.own_equipment import own_equipment


@dataclass(frozen=True, slots=True, kw_only=True)
class Equipment:
    """What an exposure is made with."""

    receptor: Receptor
    holder: Holder
    tube: Tube


def equipment(files: Sequence[Path] = ()) -> Catalogue:
    """The packaged equipment with a user's own added: what is kept, and further files."""
    catalogue = packaged_catalogue().merged(own_equipment())
    for path in files:
        catalogue = catalogue.with_entries(read_toml(path))
    return catalogue


def named_equipment(known: Catalogue, *, receptor: str, holder: str, tube: str) -> Equipment:
    """Equipment by name.

    Raises
    ------
    UnknownEquipmentError
    """
    return Equipment(
        receptor=known.receptor(receptor), holder=known.holder(holder), tube=known.tube(tube)
    )


def mouth_from(given: Path | None) -> Mouth:
    """The mouth of a file, or of a name that `named_mouth` knows, or the standard one.

    Raises
    ------
    UnknownMouthError
        For what can only be a name, and is none.
    BitewrightError
        If the file cannot be read or describes no mouth.
    """
    if given is None:
        return standard_mouth()
    if given.suffix or len(given.parts) != 1 or os.path.exists(given):  # noqa: PTH110  never raises
        return mouth_from_description(read_toml(given))
    return known_mouth(str(given), or_file=True)


def believed_or_given(mouth: Path | None, belief: MouthBelief | None, of_view: View) -> Mouth:
    """The mouth in the middle of a belief as a view sees it, or else what `mouth_from` gives.

    Raises
    ------
    TwoMouthsError
        If both are given.
    """
    if belief is None:
        return mouth_from(mouth)
    if mouth is not None:
        raise TwoMouthsError
    return belief.seen_from(of_view.region.side).mouth()


class TwoMouthsError(BitewrightError):
    """A mouth file and a belief name two mouths."""

    def __init__(self) -> None:
        super().__init__(
            "A mouth file and a belief were both given, only one mouth can be meant: give --mouth "
            "for a mouth that is known, --belief for one that films have taught about."
        )


def station_for(of_view: View, mouth: Mouth, by: Equipment) -> Station:
    """Build a mouth and bring equipment to a view's region."""
    return station(build_outlines(mouth), of_view.region, by.receptor, by.holder, by.tube)


__all__ = [
    "Equipment",
    "TwoMouthsError",
    "believed_or_given",
    "equipment",
    "mouth_from",
    "named_equipment",
    "read_belief",
    "station_for",
]
