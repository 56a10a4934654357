"""From a person's marks to landmarks and scale: the same things a projection gives.

Side and mounting are checked against the marks, so that a mirrored film, or one of the other side,
is noticed before anything is measured on it.
"""

from collections.abc import Collection

import numpy as np
from numpy.typing import NDArray

from bitewright.equipment.receptors import Receptor
from bitewright.errors import BitewrightError
from bitewright.exposing.landmarks import Landmarks, Origin, Status
from bitewright.exposing.scale import Scale
from bitewright.marking.marks import MarkedFilm, MarkStatus
from bitewright.marking.visible_places import seen_off_mm
from bitewright.mouth.landmark_names import CuspLandmark, Surface, parse_landmark
from bitewright.mouth.tooth_forms import is_upper
from bitewright.quality.views import View
from bitewright.quality.wanted import Wanted

Floats = NDArray[np.float64]

MARK_SD_MM = 0.15
"""Standard deviation of a mark that states none. Our choice."""

PIXEL_SD_SHARE = 0.01
"""Relative standard deviation of the pixel size. Our choice."""

MAGNIFICATION, MAGNIFICATION_SD = 1.04, 0.015
"""Crowns lie 8 to 18 mm from the recording plane and the source 250 to 400 mm away. Our choice."""

OBLIQUITY_SD_DEG = 6.0
"""How far off square the ray may meet the receptor along the row of teeth. Our choice."""

ENAMEL_SD_SHARE = 0.13
"""Relative spread of enamel thickness at contacts: Munhoz et al. 2012, SD 0.17 of 1.3 mm."""


class ToothNotInViewError(BitewrightError):
    """A marked tooth cannot be on a film of the view."""

    def __init__(self, landmark: str, view: View) -> None:
        self.landmark = landmark
        upper, lower = view.region.quadrants
        super().__init__(
            f"The mark {landmark} names a tooth that the view {view.title} does not show: it shows "
            f"{upper}3 to {upper}8 and {lower}3 to {lower}8; correct the tooth or the view."
        )


class NothingMarkedError(BitewrightError):
    """A film has no mark at all."""

    def __init__(self, film: MarkedFilm) -> None:
        self.image_name = film.image_name
        super().__init__(
            f"The marks of {film.image_name} hold no landmark: mark at least the proximal edges at "
            "the view's contacts."
        )


class WrongWayRoundError(BitewrightError):
    """The marks lie the other way round than view and mounting say."""

    def __init__(self, view: View, mounting: str) -> None:
        self.view = view
        side = view.region.side
        super().__init__(
            f"The marks have the front of the mouth on the wrong side for a {side.value} view "
            f"mounted {mounting}: either the film is of the {side.other.value} side, or its "
            "mounting is the other one; correct view or mounting."
        )


class UpsideDownError(BitewrightError):
    """The upper teeth are marked below the lower ones.

    ``turned``: the front of the mouth lies on the wrong side too.
    """

    def __init__(self, *, turned: bool = False) -> None:
        self.turned = turned
        said = "The marks have the upper teeth below the lower ones"
        super().__init__(
            f"{said} and the front of the mouth on the wrong side: the image is upside down; turn "
            "it by 180 degrees and mark it again."
            if turned
            else f"{said}: upper teeth are displayed at the top; turn the image or correct the "
            "tooth names."
        )


def landmarks_from_marks(
    film: MarkedFilm, view: View, *, pixel_mm: float, receptor: Receptor | None = None
) -> Landmarks:
    """Landmarks of one marked film, where the model has them: see `visible_places`.

    Parameters
    ----------
    film : MarkedFilm
    view : View
    pixel_mm : float
        Pixel size at the receptor. [mm]
    receptor : Receptor, optional
        Its corner radius rounds the edge of the image.

    Raises
    ------
    NothingMarkedError, ToothNotInViewError, WrongWayRoundError, UpsideDownError
    """
    if not film.marks:
        raise NothingMarkedError(film)
    _check_teeth(film, view)
    placed = film.seen_points_receptor_mm(pixel_mm=pixel_mm)
    wrong_way, upside_down = _is_wrong_way_round(placed, film, view), _is_upside_down(placed)
    if upside_down:
        raise UpsideDownError(turned=wrong_way)
    if wrong_way:
        raise WrongWayRoundError(view, film.mounting.value)
    names = tuple(film.marks)
    marked = np.array([placed.get(name, (np.nan, np.nan)) for name in names]).reshape(-1, 2)
    points = marked - seen_off_mm(names, view.region.front_sign)
    half = 0.5 * pixel_mm * np.array([film.columns, film.rows], dtype=np.float64)
    corner_radius_mm = receptor.corner_radius_mm if receptor else 0.0
    status = np.array([_STATUS[film.marks[name].status] for name in names], dtype=np.int8)
    return Landmarks(
        names=names,
        points_receptor=points[None],
        status=status[None],
        origin=Origin.MARKED,
        frame_margin_mm=_inside(marked, half, corner_radius_mm)[None],
        beam_margin_mm=np.where(np.isfinite(points[:, 0]), np.inf, np.nan)[None],
        front_sign=view.region.front_sign,
        half_size_mm=half,
        corner_radius_mm=corner_radius_mm,
        covariance_mm2=_covariance(film, names, points),
    )


def usual_scale(wanted: Wanted, enamel_mm: Floats) -> Scale:
    """Scale of a film whose exposure is not known: the usual one, with its spread.

    Parameters
    ----------
    wanted : Wanted
    enamel_mm : (C,) float array
        Thinner adjoining enamel of each contact. [mm]
    """
    shape = (1, len(wanted.contacts))
    return Scale(
        magnification=np.full(shape, MAGNIFICATION),
        cos_obliquity=np.ones(shape),
        enamel_mm=enamel_mm,
        magnification_sd=MAGNIFICATION_SD,
        obliquity_sd_deg=OBLIQUITY_SD_DEG,
        enamel_sd_mm=float(ENAMEL_SD_SHARE * enamel_mm.mean()) if len(enamel_mm) else 0.0,
    )


def teeth_on_film(film: MarkedFilm, view: View) -> set[int]:
    """Teeth a view can be asked for: its side but third molars, plus marked, less absent ones."""
    usual = {10 * quadrant + place for quadrant in view.region.quadrants for place in range(1, 8)}
    marked = {int(name[:2]) for name in film.marks}
    return (usual | marked) - set(film.absent_teeth)


def teeth_without_marks(film: MarkedFilm, view: View) -> tuple[int, ...]:
    """Teeth of a view that are taken to stand, bear no mark, and have a marked one behind them.

    Whoever marks from front to back has left them out: they may be missing.
    """
    marked = {int(name[:2]) for name in film.marks}
    of_view = {code for pair in view.pairs(view.contacts) for code in pair}
    return tuple(
        sorted(
            code
            for code in of_view - marked - set(film.absent_teeth)
            if any(code < other <= 10 * (code // 10) + 8 for other in marked)
        )
    )


_STATUS = {
    MarkStatus.SEEN: Status.SEEN,
    MarkStatus.HIDDEN: Status.HIDDEN,
    MarkStatus.OUTSIDE: Status.OUTSIDE,
    MarkStatus.SHOWN: Status.SHOWN,
}


def _check_teeth(film: MarkedFilm, view: View) -> None:
    for name in film.marks:
        code = int(name.split(".")[0])
        if code // 10 not in view.region.quadrants or code % 10 < 3:
            raise ToothNotInViewError(name, view)


def _is_wrong_way_round(placed: dict[str, Floats], film: MarkedFilm, view: View) -> bool:
    """Front teeth must lie towards the front; decided by every pair of marks that can tell.

    Of an arch, those a tooth's width or more apart in the row: the two edges at one contact cannot
    tell, for they change places where crowns overlap. Missing teeth count for no width, for their
    spaces may have closed.
    """
    names = list(placed)
    jaw = np.array([int(name[0]) for name in names])
    place = np.array([_place_in_row(name, film.absent_teeth) for name in names])
    towards_back = np.array([placed[name][0] for name in names]) * -view.region.front_sign
    behind = (jaw[:, None] == jaw) & (place[:, None] - place >= 1.0)
    return bool(np.sum(np.sign(towards_back[:, None] - towards_back)[behind]) < 0)


def _place_in_row(name: str, absent: Collection[int]) -> float:
    """Of a landmark, in teeth from the middle of the arch; its sides are half a tooth away."""
    landmark = parse_landmark(name)
    tooth = landmark.tooth
    missing = sum(code // 10 == tooth.code // 10 and code < tooth.code for code in absent)
    place = tooth.position - missing
    if isinstance(landmark, CuspLandmark):
        return place
    return place + (0.5 if landmark.surface is Surface.DISTAL else -0.5)


def _is_upside_down(placed: dict[str, Floats]) -> bool:
    heights: dict[bool, list[float]] = {True: [], False: []}
    for name, point in placed.items():
        heights[is_upper(int(name[:2]))].append(float(point[1]))
    if not (heights[True] and heights[False]):
        return False
    return bool(np.mean(heights[True]) > np.mean(heights[False]))


def _inside(points: Floats, half: Floats, radius: float) -> Floats:
    """Distance inside a rectangle with rounded corners; negative outside, NaN where unmarked."""
    away = np.abs(points) - (half - radius)
    corner = np.hypot(*np.maximum(away, 0.0).T)
    return np.asarray(radius - corner - np.minimum(away.max(axis=1), 0.0))


def _covariance(film: MarkedFilm, names: tuple[str, ...], points: Floats) -> Floats:
    """Each mark's own spread, and the pixel size's, which moves all marks together. [mm2]"""
    own = [film.sd_of_mm(name) for name in names]
    spread = np.array([MARK_SD_MM if sd is None else sd for sd in own])
    placed = np.nan_to_num(points).ravel()
    together = PIXEL_SD_SHARE**2 * np.outer(placed, placed)
    return np.diag(np.repeat(spread**2, 2)) + together


__all__ = [
    "NothingMarkedError",
    "ToothNotInViewError",
    "UpsideDownError",
    "WrongWayRoundError",
    "landmarks_from_marks",
    "teeth_on_film",
    "teeth_without_marks",
    "usual_scale",
]
