"""Where in the mouth a bitewing is taken: side, premolars or molars, and the receptor's format."""

from dataclasses import dataclass
from enum import StrEnum

from bitewright.mouth.numbering import Side


class Zone(StrEnum):
    """Which back teeth the bitewing is for."""

    PREMOLAR = "premolar"
    MOLAR = "molar"


class Format(StrEnum):
    """How the receptor stands: its long side along the row of teeth, or upright."""

    HORIZONTAL = "horizontal"
    VERTICAL = "vertical"


@dataclass(frozen=True, slots=True, kw_only=True)
class Region:
    """Side of the patient, zone of the row, format of the receptor."""

    side: Side
    zone: Zone
    format: Format = Format.HORIZONTAL

    @property
    def quadrants(self) -> tuple[int, int]:
        """ISO 3950 quadrants of the side: upper, lower."""
        return (1, 4) if self.side is Side.RIGHT else (2, 3)

    @property
    def front_sign(self) -> float:
        """+1 where the front of the mouth lies to the viewer's right (right side), else -1."""
        return 1.0 if self.side is Side.RIGHT else -1.0

    @property
    def mirrored(self) -> "Region":
        """The same region on the other side."""
        return Region(side=self.side.other, zone=self.zone, format=self.format)


__all__ = ["Format", "Region", "Zone"]
