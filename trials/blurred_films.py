"""Films blurred on purpose: do proposed overlaps stay as wide as they are?"""

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter

BLURS_MM = (0.1, 0.2)
"""Standard deviations: a film a little and one very unsharp. Our choice. [mm]"""

AS_FILMED = "as filmed"


def blurred(pixels: NDArray[np.uint16], *, blur_mm: float, pixel_mm: float) -> NDArray[np.uint16]:
    """A film (rows, columns), grey spread to all sides by a Gaussian."""
    spread = gaussian_filter(pixels.astype(np.float64), blur_mm / pixel_mm)
    return np.asarray(spread.round().astype(np.uint16))


def name_of(blur_mm: float) -> str:
    """What a blur is called in a line and in the table."""
    return f"{blur_mm:g} mm"


def blur_table(lines: Sequence[Mapping[str, Any]]) -> str:
    """Overlap proposed less overlap true, by blur, of films marked at each of them."""
    names = (AS_FILMED, *(name_of(blur_mm) for blur_mm in BLURS_MM))
    rows = [
        "| blurred by | films | contacts | overlap off, mean | off, median | 95% below |",
        "| --- | ---: | ---: | ---: | ---: | ---: |",
    ]
    whole = [line for line in lines if line["refused"] is None and all(line["blurred"].values())]
    for name in names:
        contacts = [
            each
            for line in whole
            for each in (line["contacts"] if name == AS_FILMED else line["blurred"][name])
        ]
        if not contacts:
            continue
        off = np.array([found - true for _, true, found, *_ in contacts])
        rows.append(
            f"| {name} | {len(whole)} | {len(off)} | {off.mean():+.2f} mm | "
            f"{np.median(np.abs(off)):.2f} mm | {np.quantile(np.abs(off), 0.95):.2f} mm |"
        )
    return "\n".join(rows)


__all__ = ["AS_FILMED", "BLURS_MM", "blur_table", "blurred", "name_of"]
