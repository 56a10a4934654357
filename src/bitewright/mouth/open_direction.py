"""In which direction two neighbouring crowns are open: from their silhouettes alone.

The overlap of a contact is looked for as in `exposing.project`: in rows along the image's height,
from the outermost place of each crown, at the row where it is widest.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bitewright.mouth.crown_lines import ROW_MM, CrownLines, crossings

Floats = NDArray[np.float64]

OPEN_ABOVE_LEAST_MM = 0.10
SEARCH_DEG = 35.0
STEP_DEG = 0.1


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenDirection:
    """Where the tube must stand for a contact to overlap least.

    ``open_azimuth_deg``: 0 straight from the side, positive with the tube towards the front.
    ``overlap_mm``: overlap there, the least there is; negative is a space.
    ``range_deg``: the unbroken range around it with at most 0.10 mm more overlap. Open is meant
    relative to the least, since neighbours in an atlas reach into one another (by 0 to 0.8 mm)
    and scanned neighbours that touch stand apart (by 0.05 to 0.25 mm).
    """

    open_azimuth_deg: float
    overlap_mm: float
    range_deg: tuple[float, float]


def open_direction(front: CrownLines, back: CrownLines, *, right: bool) -> OpenDirection:
    """Search level parallel beams up to 35 degrees to both sides of square to the crowns' chord.

    The chord joins the crowns' middles, so that a tooth standing beside its neighbour is followed
    too. Range and step (0.1 degree) are our choice.

    Parameters
    ----------
    front, back : CrownLines
        The crown nearer the midline and the one behind it.
    right : bool
        Whether they stand on the patient's right.
    """
    ahead, behind = front.level_points_mouth(), back.level_points_mouth()
    square = azimuth_along_deg(box_middle(ahead) - box_middle(behind), right=right)
    steps = round(SEARCH_DEG / STEP_DEG)
    azimuths = square + STEP_DEG * np.arange(-steps, steps + 1, dtype=np.float64)
    overlap = overlaps_mm(ahead, behind, right=right, azimuths_deg=azimuths)
    least = int(overlap.argmin())
    shut = np.flatnonzero(overlap > overlap[least] + OPEN_ABOVE_LEAST_MM)
    first = shut[shut < least].max(initial=-1) + 1
    last = shut[shut > least].min(initial=len(azimuths)) - 1
    return OpenDirection(
        open_azimuth_deg=float(azimuths[least]),
        overlap_mm=float(overlap[least]),
        range_deg=(float(azimuths[first]), float(azimuths[last])),
    )


def azimuth_along_deg(normal_mouth: Floats, *, right: bool) -> float:
    """Azimuth of the tube that looks along a surface with its normal (3,) to the front. [deg]"""
    outward = normal_mouth[0] if right else -normal_mouth[0]
    return float(np.rad2deg(np.arctan2(outward, -normal_mouth[1])))


def overlaps_mm(front: Floats, back: Floats, *, right: bool, azimuths_deg: Floats) -> Floats:
    """Widest overlap of two neighbouring crowns for level parallel beams, all at once.

    Parameters
    ----------
    front, back : (n, 3) float arrays
        `CrownLines.level_points_mouth` of the crown nearer the midline and the one behind. [mm]
    right : bool
        Whether they stand on the patient's right.
    azimuths_deg : (A,) float array
        Direction of the tube: 0 straight from the side, positive towards the front. [deg]

    Returns
    -------
    (A,) float array
        At the height where it is widest; negative is a space; NaN if no height has both. [mm]
    """
    along = across_beams(azimuths_deg, right=right)[:, :2].T
    return _widest_mm((front[:, :2] @ along, front[:, 2]), (back[:, :2] @ along, back[:, 2]))


def silhouette_overlap_mm(
    front: CrownLines,
    back: CrownLines,
    azimuths_deg: Floats,
    *,
    right: bool,
    through_mouth: Floats,
    vertical_deg: float = 0.0,
    source_mm: float = np.inf,
) -> Floats:
    """Widest overlap as `overlaps_mm`, for slanted beams and near sources too.

    Parameters
    ----------
    through_mouth : (3,) float array
        The contact: the central ray passes it, and overlap is measured in its plane. [mm]
    vertical_deg : float
        Positive with the tube above the occlusal plane, pointing down. [deg]
    source_mm : float
        From the point source to the contact; infinite for a parallel beam. [mm]

    Returns
    -------
    (A,) float array
        Object millimetres at the contact; negative is a space; NaN if no row has both. [mm]
    """
    found = []
    for along in across_beams(azimuths_deg, right=right):
        axes = _image_axes(along, vertical_deg, right=right)
        images = [
            crossings(
                _imaged(crown.starts_mouth - through_mouth, axes, source_mm),
                _imaged(crown.ends_mouth - through_mouth, axes, source_mm),
            )
            for crown in (front, back)
        ]
        found.append(_widest_mm(*((image[:, :1], image[:, 1]) for image in images))[0])
    return np.array(found)


def across_beams(azimuths_deg: Floats, *, right: bool) -> Floats:
    """Horizontal unit directions (A, 3) across beams, towards the front of the mouth."""
    angle = np.deg2rad(azimuths_deg)
    return np.stack([np.sin(angle) * (1 if right else -1), -np.cos(angle), 0 * angle], axis=-1)


def box_middle(points: Floats) -> Floats:
    """Middle (3,) of the box around points (n, 3). [mm]"""
    return np.asarray(0.5 * (points.min(axis=0) + points.max(axis=0)))


def _image_axes(along: Floats, vertical_deg: float, *, right: bool) -> Floats:
    """Rows: along the image to the front, up in the image, to the tube."""
    level = np.array([along[1], -along[0], 0.0]) * (1 if right else -1)
    up = np.array([0.0, 0.0, 1.0])
    sin, cos = np.sin(np.deg2rad(vertical_deg)), np.cos(np.deg2rad(vertical_deg))
    return np.stack([along, cos * up - sin * level, cos * level + sin * up])


def _imaged(from_contact: Floats, axes: Floats, source_mm: float) -> Floats:
    """Places (n, 2) along and up in the plane of the contact, seen from the source. [mm]"""
    seen = from_contact @ axes.T
    return np.asarray(seen[:, :2] / (1.0 - seen[:, 2:] / source_mm))


def _widest_mm(front: tuple[Floats, Floats], back: tuple[Floats, Floats]) -> Floats:
    """Widest overlap (A,) from places along (n, A) and heights (n,) of both crowns."""
    rows, nearest = _outermost(*front, np.minimum)
    back_rows, furthest = _outermost(*back, np.maximum)
    shared, ahead, behind = np.intersect1d(rows, back_rows, return_indices=True)
    if not len(shared):
        return np.full(nearest.shape[1], np.nan)
    return np.asarray((furthest[behind] - nearest[ahead]).max(axis=0))


def _outermost(along: Floats, height: Floats, extreme: np.ufunc) -> tuple[Floats, Floats]:
    """Row numbers (r,) and the outermost place along in each, (r, A)."""
    row = np.round(height / ROW_MM)
    order = np.argsort(row, kind="stable")
    rows, starts = np.unique(row[order], return_index=True)
    return rows, extreme.reduceat(along[order], starts, axis=0)


__all__ = [
    "OPEN_ABOVE_LEAST_MM",
    "OpenDirection",
    "across_beams",
    "azimuth_along_deg",
    "box_middle",
    "open_direction",
    "overlaps_mm",
    "silhouette_overlap_mm",
]
