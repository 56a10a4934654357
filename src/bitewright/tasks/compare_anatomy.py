"""Compare independent anatomy with the outlines: in which direction each contact is open."""

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from bitewright.dentition.mouth_like import mouth_like
from bitewright.dentition.outlines import Outlines, build_outlines
from bitewright.dentition.scanned_teeth import (
    ScannedTeeth,
    open_azimuth_deg,
    open_azimuths_deg,
    posterior_pairs,
    scanned_teeth,
)
from bitewright.dentition.tooth_forms import is_right
from bitewright.errors import BitewrightError
from bitewright.files.meshes import read_mesh
from bitewright.space import ClosedMesh


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
    """One contact's open direction in the scan and in outlines of the same sizes. [deg]

    ``outline_deg`` by the same search on the outlines' crowns, ``facet_deg`` as the outlines
    state it.
    """

    pair: tuple[int, int]
    scan_deg: float
    outline_deg: float
    facet_deg: float

    @property
    def difference_deg(self) -> float:
        """Outline less scan. [deg]"""
        return self.outline_deg - self.scan_deg


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class AnatomyComparison:
    """All posterior contacts of one dentition."""

    teeth: ScannedTeeth
    outlines: Outlines
    contacts: tuple[ContactComparison, ...]

    @property
    def mean_deg(self) -> float:
        """Mean difference. [deg]"""
        return float(np.mean([c.difference_deg for c in self.contacts]))

    @property
    def sd_deg(self) -> float:
        """Standard deviation of the differences. [deg]"""
        return float(np.std([c.difference_deg for c in self.contacts]))


def compare_anatomy(folder: Path, *, name: str = "scanned mouth") -> AnatomyComparison:
    """Read tooth meshes (FDI_16.stl or .obj), build outlines of their sizes, compare contacts."""
    teeth = scanned_teeth(read_teeth(folder))
    outlines = build_outlines(mouth_like(teeth, name=name))
    scan = open_azimuths_deg(teeth)
    crowns = {code: outlines.flanks_mouth[row].reshape(-1, 3) for code, row in outlines.row.items()}
    return AnatomyComparison(
        teeth=teeth,
        outlines=outlines,
        contacts=tuple(
            ContactComparison(
                pair=pair,
                scan_deg=scan[pair],
                outline_deg=open_azimuth_deg(
                    crowns[pair[0]], crowns[pair[1]], right=is_right(pair[0])
                ),
                facet_deg=outlines.site[pair].open_azimuth_deg,
            )
            for pair in posterior_pairs(teeth.meshes)
        ),
    )


def read_teeth(folder: Path) -> dict[int, ClosedMesh]:
    """Meshes of a folder by ISO 3950 code, in their own frame."""
    files = sorted(Path(folder).glob("FDI_[1-4][1-8].*"))
    if not files:
        raise NoTeethInFolderError(Path(folder))
    return {int(path.stem[4:]): read_mesh(path) for path in files}


__all__ = ["AnatomyComparison", "ContactComparison", "compare_anatomy", "read_teeth"]
