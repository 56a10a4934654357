"""One jaw's teeth in axes of the jaw's own, where nothing in the other jaw moves them."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from bitewright.mouth.outlines import Outlines
from bitewright.mouth.tooth_forms import is_upper
from bitewright.solids.placed_tooth import BONE
from bitewright.space import Pose

Floats = NDArray[np.float64]

DECIMALS = 9
"""To which places are rounded, so that a way there and back leaves no trace."""


@dataclass(frozen=True, slots=True, eq=False)
class JawFrame:
    """Outlines seen from one jaw, and where that jaw stands with the jaws closed.

    Parameters
    ----------
    outlines : Outlines
        Origins, axes and points of this jaw's teeth in its own axes, in place of the mouth's; the
        rest is as it was. The upper jaw's axes are the mouth's.
    mouth_from_jaw : Pose
        [mm]
    """

    outlines: Outlines
    mouth_from_jaw: Pose

    @classmethod
    def of(cls, outlines: Outlines, *, upper: bool) -> "JawFrame":
        """The frame of the upper or the lower jaw."""
        mouth_from_jaw = Pose.identity() if upper else outlines.mouth_from_lower
        jaw_from_mouth = mouth_from_jaw.inverse()
        seen = replace(
            outlines,
            origins_mouth=_rounded(jaw_from_mouth.points(outlines.origins_mouth)),
            axes_mouth=_rounded(jaw_from_mouth.directions(outlines.axes_mouth)),
            points_mouth={
                name: _rounded(jaw_from_mouth.points(point))
                for name, point in outlines.points_mouth.items()
                if is_upper(int(name[:2])) == upper
            },
        )
        return cls(seen, mouth_from_jaw)

    def bone_hangs_on(self, codes: tuple[int, ...]) -> dict[str, object]:
        """How some teeth stand in the jaw and how much bone each has left, by number. [mm]"""
        told: dict[str, object] = {}
        for code in codes:
            tooth, row = self.outlines.mouth.teeth[code], self.outlines.row[code]
            told[str(code)] = {
                "bone": {name: getattr(tooth, name) for name in sorted(BONE)},
                "neck": tooth.bl_cervix_mm,
                "origin": self.outlines.origins_mouth[row].tolist(),
                "axes": self.outlines.axes_mouth[row].tolist(),
                "crest": [
                    self.outlines.points_mouth[f"{code}.{side}.crest"].tolist()
                    for side in ("mesial", "distal")
                ],
            }
        return told


def _rounded(places: Floats) -> Floats:
    """To some decimals; never a negative nought."""
    return np.asarray(np.round(places, DECIMALS) + 0.0)


__all__ = ["JawFrame"]
