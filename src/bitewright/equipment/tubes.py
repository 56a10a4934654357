"""Tubes: the source of the beam, its distance and the shape of its field."""

from dataclasses import dataclass
from enum import Enum

from bitewright.equipment.entries import CatalogueEntry, required, within_range


class FieldShape(Enum):
    """Shape of the opening at the tube's end."""

    ROUND = "round"
    RECTANGULAR = "rectangular"


@dataclass(frozen=True, slots=True, kw_only=True)
class Tube(CatalogueEntry):
    """An x-ray tube with its cone, as far as geometry and spectrum need it.

    The focal spot is taken as a square of its nominal size seen along the central ray; the field
    is sharp-edged, centred on the ray, and grows in proportion to the distance from the source.

    Parameters
    ----------
    focal_spot_mm : float
        Nominal size (IEC 60336), usually 0.4 to 0.8. [mm]
    source_to_end_mm : float
        From the focal spot to the open end of the cone, which bounds source to skin. [mm]
    kv : float
        Tube voltage. [kV]
    target_angle_deg : float
        Between the target's face and the central ray. [deg]
    filtration_mm_al : float
        Total filtration, as aluminium. [mm]
    field : FieldShape
    field_diameter_mm : float or None
        At the tube's end; round fields only. [mm]
    field_long_mm, field_short_mm : float or None
        At the tube's end; rectangular fields only. [mm]

    Raises
    ------
    CatalogueEntryError
        If a field is outside its range, or the sizes given do not belong to the field's shape.

    Notes
    -----
    The ranges are what is physically sensible, wider than any regulation: limits differ between
    countries, so a tube outside them can be modelled, for instance to show what it costs.
    """

    focal_spot_mm: float = within_range(0.1, 3)
    source_to_end_mm: float = within_range(80, 600)
    kv: float = within_range(40, 100)
    target_angle_deg: float = within_range(5, 45)
    filtration_mm_al: float = within_range(0.5, 10)
    field: FieldShape
    field_diameter_mm: float | None = within_range(10, 150, default=None)
    field_long_mm: float | None = within_range(10, 150, default=None)
    field_short_mm: float | None = within_range(10, 150, default=None)

    def __post_init__(self) -> None:
        CatalogueEntry.__post_init__(self)
        is_round = self.field is FieldShape.ROUND
        self._check_size("field_diameter_mm", wanted=is_round)
        self._check_size("field_long_mm", wanted=not is_round)
        self._check_size("field_short_mm", wanted=not is_round)
        long_mm, short_mm = self.field_long_mm or 0.0, self.field_short_mm or 0.0
        required(
            self,
            holds=short_mm <= long_mm,
            field="field_short_mm",
            allowed=f"at most field_long_mm, {long_mm:g}",
            advice="exchange the two or correct one",
        )

    def _check_size(self, field: str, *, wanted: bool) -> None:
        required(
            self,
            holds=(getattr(self, field) is not None) is wanted,
            field=field,
            allowed=f"{'a size' if wanted else 'nothing'} for a {self.field.value} field",
            advice="add or remove that field, or correct the field's shape",
        )


__all__ = ["FieldShape", "Tube"]
