"""The faults of a hand: what of an exposure it sets, how carefully, and how far off when wrong."""

from dataclasses import dataclass

from bitewright.estimation.exposure_unknowns import NAMES
from bitewright.explanation.correction import CauseName, Part


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """One unknown of an exposure as hands set it: mostly well, sometimes off to either side.

    ``careful`` is the deviation when set well, the best place of another mouth included; off, it
    lies ``usual_off`` away, give or take ``off_sd``. [deg, mm]
    """

    part: Part
    unknown: str
    careful: float
    usual_off: float
    off_sd: float
    above: CauseName
    below: CauseName

    @property
    def column(self) -> int:
        """Its place among the unknowns."""
        return NAMES.index(self.unknown)


FAULTS = (
    Fault(
        part=Part.SWING,
        unknown="azimuth_deg",
        careful=2.5,
        usual_off=10.0,
        off_sd=5.0,
        above=CauseName.TUBE_TOO_FAR_FORWARD,
        below=CauseName.TUBE_TOO_FAR_BACK,
    ),
    Fault(
        part=Part.VERTICAL,
        unknown="vertical_deg",
        careful=2.5,
        usual_off=10.0,
        off_sd=4.0,
        above=CauseName.TUBE_TOO_HIGH,
        below=CauseName.TUBE_TOO_LOW,
    ),
    Fault(
        part=Part.FORWARD,
        unknown="forward_mm",
        careful=1.4,
        usual_off=5.0,
        off_sd=2.0,
        above=CauseName.RECEPTOR_TOO_FAR_FORWARD,
        below=CauseName.RECEPTOR_TOO_FAR_BACK,
    ),
    Fault(
        part=Part.HEIGHT,
        unknown="height_mm",
        careful=0.5,
        usual_off=2.5,
        off_sd=1.0,
        above=CauseName.RECEPTOR_TOO_HIGH,
        below=CauseName.RECEPTOR_TOO_LOW,
    ),
    Fault(
        part=Part.ROLL,
        unknown="roll_deg",
        careful=1.2,
        usual_off=7.0,
        off_sd=3.0,
        above=CauseName.RECEPTOR_ROLLED_FRONT_DOWN,
        below=CauseName.RECEPTOR_ROLLED_FRONT_UP,
    ),
)
"""Our choice, the same for every view. [deg, mm]"""

FAULT_OF = {fault.part: place for place, fault in enumerate(FAULTS)}

__all__ = ["FAULTS", "FAULT_OF", "Fault"]
