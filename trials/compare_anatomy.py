"""Compare independent anatomy with the outlines: in which direction each contact is open."""

from collections.abc import Callable, Collection
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from bitewright.errors import BitewrightError
from bitewright.mouth.crown_lines import CrownLines
from bitewright.mouth.open_direction import OpenDirection, open_direction
from bitewright.mouth.outlines import Outlines, build_outlines
from bitewright.mouth.tooth_forms import is_right
from bitewright.space import ClosedMesh
from trials.meshes import read_mesh
from trials.mouth_like import mouth_like
from trials.scanned_teeth import ScannedTeeth, scanned_teeth

Pair = tuple[int, int]


class NoTeethInFolderError(BitewrightError):
    """A folder holds no mesh named for a tooth."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        super().__init__(
            f"The folder {folder} holds no tooth meshes: name each FDI_16.stl or FDI_16.obj by its "
            "ISO 3950 code."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class ContactComparison:
    """One contact's open direction by four ways. [deg]

    ``scan`` and ``outline``: by the same search for the least overlap, on the scanned crowns and
    on the outlines' flanks. ``approach_deg``: along the scanned surfaces where they come nearest.
    ``facet_deg``: as the outlines state it.
    """

    pair: Pair
    scan: OpenDirection
    outline: OpenDirection
    approach_deg: float
    facet_deg: float

    @property
    def scan_deg(self) -> float:
        """Azimuth of least overlap of the scanned crowns. [deg]"""
        return self.scan.open_azimuth_deg

    @property
    def outline_deg(self) -> float:
        """Azimuth of least overlap of the outlines. [deg]"""
        return self.outline.open_azimuth_deg

    @property
    def difference_deg(self) -> float:
        """Outline less scan. [deg]"""
        return self.outline_deg - self.scan_deg


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Spread:
    """How differences lie. Contacts of one mouth hang together: this is no sample of mouths.

    ``differences_deg``: (n,), outline less scan, positive where the outline opens further in front.
    """

    differences_deg: NDArray[np.float64]

    @property
    def mean_deg(self) -> float:
        """The common offset. [deg]"""
        return float(np.mean(self.differences_deg))

    @property
    def sd_deg(self) -> float:
        """Standard deviation about the common offset. [deg]"""
        return float(np.std(self.differences_deg))

    @property
    def median_size_deg(self) -> float:
        """Median of the differences without their sign. [deg]"""
        return float(np.median(np.abs(self.differences_deg)))

    @property
    def worst_deg(self) -> float:
        """Largest difference, without its sign. [deg]"""
        return float(np.abs(self.differences_deg).max())

    @property
    def worst_about_mean_deg(self) -> float:
        """Largest difference once the common offset is taken out, without its sign. [deg]"""
        return float(np.abs(self.differences_deg - self.mean_deg).max())


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class AnatomyComparison:
    """All contacts of one dentition from the canines to the second molars."""

    teeth: ScannedTeeth
    outlines: Outlines
    contacts: tuple[ContactComparison, ...]

    def spread(self, *, leaving_out: Collection[Pair] = ()) -> Spread:
        """Outlines less scan, both by the same search."""
        return self._spread(lambda contact: contact.difference_deg, leaving_out)

    def facet_spread(self, *, leaving_out: Collection[Pair] = ()) -> Spread:
        """The outlines' own statement less scan."""
        return self._spread(lambda contact: contact.facet_deg - contact.scan_deg, leaving_out)

    def swings_deg(self, azimuth_deg: Callable[[ContactComparison], float]) -> dict[int, float]:
        """By quadrant, how much further in front 3-4 is open than 6-7. [deg]"""
        found = {contact.pair: azimuth_deg(contact) for contact in self.contacts}
        ends = {q: ((10 * q + 3, 10 * q + 4), (10 * q + 6, 10 * q + 7)) for q in (1, 2, 3, 4)}
        return {
            quadrant: found[front] - found[back]
            for quadrant, (front, back) in ends.items()
            if front in found and back in found
        }

    def _spread(
        self, difference: Callable[[ContactComparison], float], leaving_out: Collection[Pair]
    ) -> Spread:
        kept = [contact for contact in self.contacts if contact.pair not in leaving_out]
        return Spread(differences_deg=np.array([difference(contact) for contact in kept]))


def compare_anatomy(
    folder: Path, *, name: str = "scanned mouth", turned: bool = False
) -> AnatomyComparison:
    """Read tooth meshes, build outlines of their sizes and arches, and compare their contacts.

    Parameters
    ----------
    folder : Path
        Holds FDI_16.stl or FDI_16.obj and so on, in millimetres and one frame: x to the subject's
        left, y up, z forward.
    turned : bool
        Also give the outlines' teeth the scanned teeth's turns (`mouth_like`).

    Raises
    ------
    NoTeethInFolderError
    ScanIncompleteError
    MeshFileError
    """
    return compare_teeth(scanned_teeth(read_teeth(folder)), name=name, turned=turned)


def compare_teeth(teeth: ScannedTeeth, *, name: str, turned: bool = False) -> AnatomyComparison:
    """As `compare_anatomy`, for teeth already placed."""
    outlines = build_outlines(mouth_like(teeth, name=name, turned=turned))
    crowns = {
        code: CrownLines.of_flanks(outlines.flanks_mouth[row]) for code, row in outlines.row.items()
    }
    return AnatomyComparison(
        teeth=teeth,
        outlines=outlines,
        contacts=tuple(
            ContactComparison(
                pair=(front, back),
                scan=teeth.open_direction((front, back)),
                outline=open_direction(crowns[front], crowns[back], right=is_right(front)),
                approach_deg=teeth.approaches[front, back].open_azimuth_deg,
                facet_deg=outlines.site[front, back].open_azimuth_deg,
            )
            for front, back in teeth.posterior_pairs
        ),
    )


def read_teeth(folder: Path) -> dict[int, ClosedMesh]:
    """Meshes of a folder by ISO 3950 code, in their own frame."""
    files = sorted(Path(folder).glob("FDI_[1-4][1-8].*"))
    if not files:
        raise NoTeethInFolderError(Path(folder))
    return {int(path.stem[4:]): read_mesh(path) for path in files}


__all__ = [
    "AnatomyComparison",
    "ContactComparison",
    "NoTeethInFolderError",
    "Spread",
    "compare_anatomy",
    "compare_teeth",
    "read_teeth",
]
