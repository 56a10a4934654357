"""Receptors: what records the image, with the casing that has to fit into the mouth."""

from dataclasses import dataclass
from enum import Enum

from bitewright.equipment.entries import CatalogueEntry, required, within_range


class ReceptorKind(Enum):
    """What a receptor is made of, which decides its border, its thickness and whether it yields."""

    FILM = "film"
    PLATE = "plate"
    SENSOR = "sensor"


@dataclass(frozen=True, slots=True, kw_only=True)
class Receptor(CatalogueEntry):
    """A film packet, storage-phosphor plate or rigid sensor.

    A flat box with rounded corners; the recording plane is parallel to the surface facing the
    tube. Along the long axis, positive is away from the cable; film and plates have none, and no
    offset either.

    Parameters
    ----------
    kind : ReceptorKind
    size : int
        Size label, 0 to 4, as ISO 3665 gives it for film; plates and sensors borrow the label.
    outer_long_mm, outer_short_mm : float
        Casing, sleeve left out. [mm]
    active_long_mm, active_short_mm : float
        What records. [mm]
    active_offset_long_mm, active_offset_short_mm : float
        From the casing's centre to the active area's centre; along the long axis positive away
        from the cable, across it positive upwards where the long side lies level. [mm]
    thickness_mm : float
        Casing, with packet or sleeve for film and plates. [mm]
    active_depth_mm : float
        Recording plane below the surface facing the tube. [mm]
    corner_radius_mm : float
        Rounding of the active area's corners. [mm]
    pixel_mm : float
        Pixel pitch; for film and plates that of the scanner which digitises them. [mm]
    flex_mm : float
        How far an edge yields against palate or floor; 0 for a rigid sensor. [mm]

    Raises
    ------
    CatalogueEntryError
        If a field is outside its range, or the active area does not lie within the casing.
    """

    kind: ReceptorKind
    size: int = within_range(0, 4)
    outer_long_mm: float = within_range(15, 90)
    outer_short_mm: float = within_range(10, 70)
    active_long_mm: float = within_range(8, 90)
    active_short_mm: float = within_range(8, 70)
    active_offset_long_mm: float = within_range(-10, 10, default=0.0)
    active_offset_short_mm: float = within_range(-10, 10, default=0.0)
    thickness_mm: float = within_range(0.2, 15)
    active_depth_mm: float = within_range(0, 15)
    corner_radius_mm: float = within_range(0, 15, default=0.0)
    pixel_mm: float = within_range(0.005, 0.2)
    flex_mm: float = within_range(0, 10)

    def __post_init__(self) -> None:
        CatalogueEntry.__post_init__(self)
        self._check_sizes()
        for axis in ("long", "short"):
            self._check_fit(axis)
        self._check_depth()

    def _check_sizes(self) -> None:
        required(
            self,
            holds=self.outer_short_mm <= self.outer_long_mm,
            field="outer_short_mm",
            allowed=f"at most outer_long_mm, {self.outer_long_mm:g}",
            advice="exchange the two or correct one",
        )
        shorter = min(self.active_short_mm, self.active_long_mm)
        required(
            self,
            holds=self.corner_radius_mm <= shorter / 2,
            field="corner_radius_mm",
            allowed=f"at most half the active area's shorter side, {shorter / 2:g}",
            advice="correct that field",
        )

    def _check_fit(self, axis: str) -> None:
        outer, active, offset = (
            getattr(self, f"{part}_{axis}_mm") for part in ("outer", "active", "active_offset")
        )
        most = outer - 2 * abs(offset)
        required(
            self,
            holds=active <= most + 1e-9,
            field=f"active_{axis}_mm",
            allowed=f"at most {most:g}, so that with its offset of {offset:g} it lies within the "
            f"casing of {outer:g}",
            advice="make the active area or its offset smaller, or the casing larger",
        )

    def _check_depth(self) -> None:
        required(
            self,
            holds=self.active_depth_mm <= self.thickness_mm,
            field="active_depth_mm",
            allowed=f"at most thickness_mm, {self.thickness_mm:g}",
            advice="correct one of the two",
        )
        required(
            self,
            holds=self.kind is not ReceptorKind.SENSOR or self.flex_mm == 0,
            field="flex_mm",
            allowed="0 for a sensor, which is rigid",
            advice="set it to 0",
        )


__all__ = ["Receptor", "ReceptorKind"]
