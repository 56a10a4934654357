"""Crowns and roots as built, in contact in the mouth, against the classic table."""

import numpy as np

from bitewright.mouth.mouth import textbook_mouth
from bitewright.mouth.outlines import Outlines, build_outlines
from tests.published.against import check, read_source

SOURCE = read_source("ash_nelson_tooth_table")
TEETH = (
    "central_incisor",
    "lateral_incisor",
    "canine",
    "first_premolar",
    "second_premolar",
    "first_molar",
    "second_molar",
    "third_molar",
)


def computed() -> dict[str, float]:
    outlines = build_outlines(textbook_mouth(third_molars=True))
    found = {}
    for arch, quadrant in (("maxilla", 10), ("mandible", 40)):
        for place, tooth in enumerate(TEETH, start=1):
            sizes = built_sizes_mm(outlines, quadrant + place)
            found |= {f"{arch} {tooth} {name}": size for name, size in sizes.items()}
    return found


def built_sizes_mm(outlines: Outlines, code: int) -> dict[str, float]:
    """Sizes of one tooth measured on its placed outline."""
    row = outlines.row[code]
    # The calliper's jaws lie against the contacts, which a rhomboid upper molar has askew.
    across = (
        outlines.axes_mouth[row, 0] - outlines.sections.shear[row] * outlines.axes_mouth[row, 1]
    )
    across /= np.linalg.norm(across)
    along = (outlines.flanks_mouth[row] - outlines.origins_mouth[row]) @ across
    table = outlines.sections.table[row]
    up = outlines.axes_mouth[row, 2]
    cusps, apices = (
        [
            (point - outlines.origins_mouth[row]) @ up
            for name, point in outlines.points_mouth.items()
            if name.startswith(f"{code}.") and name.endswith(end)
        ]
        for end in (".cusp", ".apex")
    )
    # The lower molars' lingual cusps stand higher than the buccal ones the table measures.
    buccal = [
        (point - outlines.origins_mouth[row]) @ up
        for name, point in outlines.points_mouth.items()
        if name.startswith(f"{code}.") and name.endswith(".cusp") and "lingual" not in name
    ]
    assert max(cusps) - max(buccal) < 0.25
    return {
        "crown length": max(buccal),
        "mesiodistal width": float(along.max() - along.min()),
        "buccolingual width": float(
            (table[:, 2] + table[:, 3]).max() - (table[:, 2] - table[:, 3]).min()
        ),
        "root length": -min(apices),
    }


def test_agrees_with_the_source() -> None:
    check(SOURCE, computed())
