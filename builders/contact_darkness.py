"""Write how far the grey falls between crowns at a contact, for docs/proposed-marks.md.

    python -m builders.contact_darkness --mouths 6 --processes 2

Films are of mouths never learnt from, half of them of real crowns, which needs the shared data:
some fifteen seconds a mouth on one core. The one real film stands beside them, by its readers'
marks.
"""

import argparse
from collections.abc import Iterator, Mapping
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d

from bitewright.files.marks_file import read_marks
from bitewright.tasks.assess.decoded_film import read_film
from builders.judged_films import REAL, judged_films
from builders.proposed_marks_page import PAGE, REAL_MARKS
from builders.real_crowns import shared_folder
from builders.tables_in_pages import write_tables

Floats = NDArray[np.float64]

HALF_STRIP_MM, SMOOTHED_MM, STEP_MM = 0.12, 0.04, 0.02
"""A strip reaches so far above and below the contact; its smoothing, and its steps. Our choice."""

NEAR_MM, BESIDE_MM = 0.4, (0.12, 0.6)
"""The darkest place is looked for so near the contact, the crowns' grey so far from that. Our
choice. [mm]"""

BACKGROUND_PERCENT = 2.0
"""This share of a film is as dark as its background. Our choice."""

BANDS = {
    "0.1 to 0.3 mm apart": (-0.3, -0.1),
    "less than 0.1 mm from touching": (-0.1, 0.1),
    "overlapped 0.1 to 0.3 mm": (0.1, 0.3),
    "overlapped more": (0.3, 9.0),
}
"""Overlaps where the film shows the edges. [mm]"""


class Fall(NamedTuple):
    """How grey falls between two crowns.

    Parameters
    ----------
    share : float
        Of the way from the darker crown to the film's background: 1 is as dark as background.
    width_mm : float
        Of the dark line, at half its depth. [mm]
    """

    share: float
    width_mm: float


def fall_at(
    pixels: NDArray[np.uint16], x_px: float, y_px: float, *, pixel_mm: float
) -> Fall | None:
    """How grey falls at a contact's middle; None too near the film's edge, or with no crowns."""
    away = np.arange(-1.2, 1.2 + 0.5 * STEP_MM, STEP_MM)
    columns = x_px + away / pixel_mm
    rows = slice(
        max(int(y_px - HALF_STRIP_MM / pixel_mm), 0), int(y_px + HALF_STRIP_MM / pixel_mm) + 2
    )
    strip = pixels[rows].astype(np.float64)
    if not len(strip) or columns[0] < 0.0 or columns[-1] > pixels.shape[1] - 1.0:
        return None
    smooth = gaussian_filter1d(strip.mean(axis=0), SMOOTHED_MM / pixel_mm)
    grey = np.interp(columns, np.arange(len(smooth)), smooth)
    near = np.flatnonzero(np.abs(away) <= NEAR_MM)
    darkest = near[grey[near].argmin()]
    low, high = BESIDE_MM
    from_it = away - away[darkest]
    crown = min(
        grey[(side * from_it > low) & (side * from_it < high)].max() for side in (-1.0, 1.0)
    )
    background = float(np.percentile(pixels, BACKGROUND_PERCENT))
    if crown < background + 1.0:
        return None
    half = 0.5 * (grey[darkest] + crown)
    before = np.flatnonzero(grey[:darkest] >= half)
    after = np.flatnonzero(grey[darkest:] >= half)
    if not (len(before) and len(after)):
        return None
    return Fall(
        share=float((crown - grey[darkest]) / (crown - background)),
        width_mm=STEP_MM * float(darkest + after[0] - before[-1]),
    )


def falls(
    pixels: NDArray[np.uint16],
    places_mm: Mapping[str, Floats],
    *,
    pixel_mm: float,
    front: float,
) -> Iterator[tuple[str, float, Fall]]:
    """Contacts of a film: their names, overlaps, and how grey falls there. [mm]

    ``places_mm``: of edges, from the upper-left corner; ``front``: 1 where the front lies right.
    """
    for distal, place in places_mm.items():
        code, surface = int(distal[:2]), distal[3:]
        facing = places_mm.get(f"{code + 1}.mesial")
        if surface != "distal" or facing is None:
            continue
        x_px, y_px = 0.5 * (place + facing) / pixel_mm
        fall = fall_at(pixels, float(x_px), float(y_px), pixel_mm=pixel_mm)
        if fall is not None:
            yield f"{code}-{code + 1}", front * float(facing[0] - place[0]), fall


def of_mouth(number: int) -> list[tuple[float, Fall]]:
    """Overlap and fall at every contact of a mouth's films."""
    return [
        (overlap_mm, fall)
        for film in judged_films(number)
        for _, overlap_mm, fall in falls(
            film.pixels,
            film.places_mm,
            pixel_mm=film.pixel_mm,
            front=1.0 if film.view.startswith("right") else -1.0,
        )
    ]


def band_table(of: Mapping[str, list[tuple[float, Fall]]]) -> str:
    """By kind of film and band of overlap."""
    rows = [
        (
            "| films of | contacts | how many | grey falls, median | a tenth less, a tenth more | "
            "wide, median |"
        ),
        "| --- | --- | ---: | ---: | ---: | ---: |",
    ]
    for kind, found in of.items():
        for name, (low, high) in BANDS.items():
            own = [fall for overlap_mm, fall in found if low <= overlap_mm < high]
            if not own:
                continue
            least, middle, most = np.quantile([each.share for each in own], [0.1, 0.5, 0.9])
            width = np.median([each.width_mm for each in own])
            rows.append(
                f"| {kind} | {name} | {len(own)} | {middle:.0%} | {least:.0%}, {most:.0%} | "
                f"{width:.2f} mm |"
            )
    return "\n".join(rows)


def real_table(folder: Path) -> str:
    """Contact by contact on the real film, by the readers' marks."""
    marks = read_marks(REAL_MARKS)
    image, pixel_mm = read_film(folder / "bitewing.png").image, marks.pixel_mm or 0.03
    places = {
        name: pixel_mm * np.array([mark.x_px, mark.y_px])
        for name, mark in marks.marks.items()
        if mark.x_px is not None and name.count(".") == 1
    }
    rows = [
        "| contact | overlap by the readers' marks | grey falls | wide |",
        "| --- | ---: | ---: | ---: |",
    ]
    rows += [
        f"| {name} | {overlap_mm:+.2f} mm | {fall.share:.0%} | {fall.width_mm:.2f} mm |"
        for name, overlap_mm, fall in falls(image.pixels, places, pixel_mm=pixel_mm, front=1.0)
    ]
    return "\n".join(rows)


def main() -> None:
    """Film, measure and write both tables."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--mouths", type=int, default=6, help="of each kind")
    parser.add_argument("--processes", type=int, default=1)
    given = parser.parse_args()
    numbers = {"our own teeth": range(given.mouths), "real crowns": REAL[0].numbers[: given.mouths]}
    with ProcessPoolExecutor(given.processes) as pool:
        of = {
            kind: [each for mouth in pool.map(of_mouth, own) for each in mouth]
            for kind, own in numbers.items()
        }
    tables = {
        "darkness": band_table(of),
        "its darkness": real_table(shared_folder() / "real/bitewing_single_mit"),
    }
    for table in tables.values():
        print(table, "\n")
    write_tables(PAGE, tables, said="written by builders/contact_darkness.py")


if __name__ == "__main__":
    main()
