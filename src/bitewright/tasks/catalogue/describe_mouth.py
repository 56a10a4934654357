"""Describe a mouth: its contacts, and its whole description as a file to edit."""

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from bitewright.mouth.mouth import Mouth, Tooth
from bitewright.mouth.mouth_description import mouth_to_description
from bitewright.mouth.outlines import Outlines, build_outlines
from bitewright.mouth.tooth_parts import ToothPart
from bitewright.tasks.catalogue.named import mouth_from
from bitewright.tasks.catalogue.resources import write_mouth


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class MouthSummary:
    """A mouth, built."""

    mouth: Mouth
    outlines: Outlines
    written: Path | None

    @property
    def lines(self) -> dict[int, str]:
        """What each tooth carries and has lost, in words, for teeth that differ from sound ones."""
        told = {code: tooth_words(tooth) for code, tooth in self.mouth.teeth.items()}
        return {code: words for code, words in told.items() if words}

    def document(self) -> dict[str, Any]:
        """The whole description, and the open direction of every contact."""
        return mouth_to_description(self.mouth) | {
            "open_azimuth_deg": {
                site.name: round(site.open_azimuth_deg, 2) for site in self.outlines.sites
            }
        }


def describe_mouth(path: Path | None, write: Path | None = None) -> MouthSummary:
    """Read a mouth (the standard one without a path), build it, and write it if asked."""
    described = mouth_from(path)
    outlines = build_outlines(described)
    if write is not None:
        write_mouth(write, described)
    return MouthSummary(mouth=described, outlines=outlines, written=write)


BONE_LOSS_MM = 2.0
"""A crest this far below the junction is told of: 1.5 mm is normal, see `Tooth`. Our choice."""


WEAR_TOLD_MM = 0.4
"""Wear is told of from here on: grown teeth have some. Our choice."""


def tooth_words(tooth: Tooth) -> str:
    """Parts, bone loss and wear of a tooth in words; empty for a sound one."""
    if not tooth.present:
        return "missing, space kept"
    told = [part_words(part) for part in tooth.parts]
    for side, crest, defect in (
        ("mesial", tooth.crest_mesial_mm, tooth.defect_mesial_mm),
        ("distal", tooth.crest_distal_mm, tooth.defect_distal_mm),
    ):
        if crest >= BONE_LOSS_MM:
            angular = f", {defect:.1f} mm of it angular" if defect else ""
            told.append(f"bone {crest:.1f} mm below the junction {side}{angular}")
    if tooth.wear_mm >= WEAR_TOLD_MM:
        told.append(f"worn {tooth.wear_mm:.1f} mm")
    return "; ".join(told)


def part_words(part: ToothPart) -> str:
    """A part in words, such as "amalgam filling, mesial-occlusal" or "caries, distal"."""
    name = f"{part.material} {part.kind}" if part.material else part.kind.replace("-", " ")
    size = f"size {part.size:g}" if part.size != 1.0 else ""
    return ", ".join(word for word in (name, part.surface, part.depth, size) if word)


__all__ = ["MouthSummary", "describe_mouth", "part_words", "tooth_words"]
