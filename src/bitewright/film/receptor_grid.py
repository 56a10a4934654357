"""Where the pixels lie on the receptor."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bitewright.errors import BitewrightError


class ImpossibleGridError(BitewrightError):
    """A grid without pixels, or with pixels of no size."""

    def __init__(self, columns: int, rows: int, pixel_mm: float) -> None:
        self.columns = columns
        self.rows = rows
        self.pixel_mm = pixel_mm
        super().__init__(
            f"A grid of {columns} columns and {rows} rows with pixels of {pixel_mm:g} mm was "
            "asked for; there must be at least one of each and the pixel must be above 0 mm. "
            "Give the active area in mm and a pixel size such as 0.03 mm."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class ReceptorGrid:
    """Square pixels on the receptor plane, row 0 at the top as displayed.

    Parameters
    ----------
    columns, rows : int
    pixel_mm : float
        Side of a pixel. [mm]
    first_u_mm, first_v_mm : float
        Centre of pixel (row 0, column 0), the upper left one, in the receptor frame. [mm]

    Raises
    ------
    ImpossibleGridError
        If there is no pixel or its size is not above 0.
    """

    columns: int
    rows: int
    pixel_mm: float
    first_u_mm: float
    first_v_mm: float

    def __post_init__(self) -> None:
        if not (self.columns >= 1 and self.rows >= 1 and self.pixel_mm > 0):
            raise ImpossibleGridError(self.columns, self.rows, self.pixel_mm)

    @classmethod
    def centred(cls, *, columns: int, rows: int, pixel_mm: float) -> "ReceptorGrid":
        """A grid whose middle is the origin of the receptor frame."""
        return cls(
            columns=columns,
            rows=rows,
            pixel_mm=pixel_mm,
            first_u_mm=-0.5 * (columns - 1) * pixel_mm,
            first_v_mm=-0.5 * (rows - 1) * pixel_mm,
        )

    @classmethod
    def covering(cls, *, width_mm: float, height_mm: float, pixel_mm: float) -> "ReceptorGrid":
        """The centred grid nearest to an active area of this size [mm]."""
        if not pixel_mm > 0:
            raise ImpossibleGridError(0, 0, pixel_mm)
        columns, rows = round(width_mm / pixel_mm), round(height_mm / pixel_mm)
        return cls.centred(columns=columns, rows=rows, pixel_mm=pixel_mm)

    @property
    def shape(self) -> tuple[int, int]:
        """(rows, columns), the shape of an image on this grid."""
        return self.rows, self.columns

    @property
    def u_mm(self) -> NDArray[np.float64]:
        """Column centres along u, shape (columns,) [mm]."""
        return self.first_u_mm + self.pixel_mm * np.arange(self.columns, dtype=np.float64)

    @property
    def v_mm(self) -> NDArray[np.float64]:
        """Row centres along v, shape (rows,) [mm]."""
        return self.first_v_mm + self.pixel_mm * np.arange(self.rows, dtype=np.float64)


__all__ = ["ImpossibleGridError", "ReceptorGrid"]
