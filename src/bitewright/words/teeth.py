"""What a tooth carries and has lost."""

from bitewright.equipment.entries import readable_name
from bitewright.mouth.mouth import Tooth
from bitewright.mouth.tooth_parts import ToothPart
from bitewright.words.titles import SURFACES

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
            told.append(f"{side} bone {crest:.1f} mm below the junction{angular}")
    if tooth.wear_mm >= WEAR_TOLD_MM:
        told.append(f"worn {tooth.wear_mm:.1f} mm")
    return "; ".join(told)


def part_words(part: ToothPart) -> str:
    """A part in words, such as "amalgam filling, mesio-occlusal" or "caries, distal"."""
    name = f"{part.material} {part.kind}" if part.material else readable_name(part.kind)
    size = f"size {part.size:g}" if part.size != 1.0 else ""
    surface = SURFACES.get(part.surface, part.surface)
    depth = readable_name(part.depth)
    return ", ".join(word for word in (name, surface, depth, size) if word)


__all__ = ["part_words", "tooth_words"]
