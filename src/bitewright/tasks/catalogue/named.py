"""Names and files turned into what they stand for, once, where a person's wish comes in."""

import os
from collections.abc import Sequence
from pathlib import Path

from bitewright.equipment.catalogue import Catalogue, packaged_catalogue
from bitewright.files.belief_file import read_belief
from bitewright.files.toml_files import read_toml
from bitewright.mouth.mouth import Mouth, standard_mouth
from bitewright.mouth.mouth_description import mouth_from_description
from bitewright.tasks.catalogue.own_catalogue import known_mouth, own_equipment


def equipment(files: Sequence[Path] = ()) -> Catalogue:
    """The packaged equipment with a user's own added: what is kept, and further files."""
    catalogue = packaged_catalogue().merged(own_equipment())
    for path in files:
        catalogue = catalogue.with_entries(read_toml(path))
    return catalogue


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


__all__ = [
    "equipment",
    "mouth_from",
    "read_belief",
]
