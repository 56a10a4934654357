"""Marks: the landmarks a person pointed at on one film."""

import re
from calendar import monthrange
from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import Enum

import numpy as np
from numpy.typing import NDArray

from bitewright.errors import BitewrightError, quoted
from bitewright.marking.raw_image import is_plausible_pixel_mm
from bitewright.mouth.landmark_names import parse_landmark
from bitewright.mouth.numbering import parse_tooth

SLUG = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
SHA256 = re.compile(r"[0-9a-f]{64}")
DAY = re.compile(r"([0-9]{4})-([0-9]{2})-([0-9]{2})")
MOST_SD_MM = 5.0
MOST_SIDE_PX = 100_000
MOST_EDGE_PLACES = 20
CREST_ENDING = ".crest"
CONE_CUT = "cone-cut"
"""Name of the observation that a part of the film stayed blank because the beam missed it."""


class MarkOutsideImageError(BitewrightError):
    """A mark's coordinates do not lie within the image."""

    def __init__(self, landmark: str, mark: "Mark", columns: int, rows: int) -> None:
        self.landmark = landmark
        self.mark = mark
        self.columns = columns
        self.rows = rows
        super().__init__(
            f"The mark {landmark} lies at x {mark.x_px:g}, y {mark.y_px:g}, outside the image of "
            f"{columns} by {rows} pixels: move it inside, or give it the status 'outside' without "
            "coordinates."
        )


class MarkedFilmError(BitewrightError):
    """A field of a marked film, or of one of its marks, is not allowed."""

    def __init__(self, field: str, given: object, allowed: str) -> None:
        self.field = field
        self.given = given
        self.allowed = allowed
        super().__init__(f"{field} is {quoted(given)}; it must be {allowed}.")


class MarkStatus(Enum):
    """Whether a landmark could be marked, and if not, why."""

    SEEN = "seen"
    HIDDEN = "hidden"
    OUTSIDE = "outside"
    SHOWN = "shown"
    """A bone crest that is seen with bone beyond it; its place is not marked."""


class MarkOrigin(Enum):
    """What became of a mark that the program proposed; a mark set by a person has none."""

    PROPOSED = "proposed"
    """Nobody has looked at it yet."""
    CONFIRMED = "confirmed"
    """A person looked at it and left it where it was."""
    CORRECTED = "corrected"
    """A person moved it."""


class Mounting(Enum):
    """Which way round the image was marked.

    As seen from the tube, a right-side film has the front of the mouth on the viewer's right.
    """

    AS_SEEN_FROM_THE_TUBE = "as-seen-from-the-tube"
    MIRRORED = "mirrored"


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """One landmark as marked.

    (0, 0) is the upper-left corner of the upper-left pixel, so that pixel's centre is (0.5, 0.5).

    Parameters
    ----------
    x_px, y_px : float or None
        To the right and down; given if, and only if, the landmark is seen. [px]
    sd_mm : float or None
        The marker's own standard deviation at the receptor, along x and along y alike; None
        takes the film's. [mm]
    status : MarkStatus
        Seen; hidden behind something in the image; outside it; or, of a bone crest, shown: seen
        with bone beyond it, its place not marked.
    origin : MarkOrigin or None
        What became of a mark that was proposed; None of one set by a person.
    doubt : str or None
        Of a proposed mark, why it must be looked at: small letters, digits and hyphens.
    """

    x_px: float | None = None
    y_px: float | None = None
    sd_mm: float | None = None
    status: MarkStatus = MarkStatus.SEEN
    origin: MarkOrigin | None = None
    doubt: str | None = None

    def __post_init__(self) -> None:
        for name in ("x_px", "y_px"):
            value = getattr(self, name)
            if self.status is not MarkStatus.SEEN and value is not None:
                allowed = f"left out for a landmark that is {self.status.value}"
                raise MarkedFilmError(name, value, allowed)
            if self.status is MarkStatus.SEEN and not _is_coordinate(value):
                raise MarkedFilmError(name, value, "a finite number for a landmark that is seen")
        _check_sd("sd_mm", self.sd_mm)
        if self.doubt is not None:
            _check_slug("doubt", self.doubt)
            if self.origin is None:
                raise MarkedFilmError("doubt", self.doubt, "left out of a mark set by a person")


@dataclass(frozen=True, slots=True, kw_only=True)
class FilmRemark:
    """Something seen on the film that is no landmark, such as a bent plate or movement.

    Parameters
    ----------
    name : str
        Small letters, digits and hyphens, such as "bent-plate".
    note : str or None
        In the marker's words; no names of people.
    edge_px : tuple of (x, y)
        Of a cone cut: places on the edge of the blank part, two where it is straight, three to
        twenty where it is round. [px]
    """

    name: str
    note: str | None = None
    edge_px: tuple[tuple[float, float], ...] = ()

    def __post_init__(self) -> None:
        _check_slug("observation", self.name)
        if self.edge_px and self.name != CONE_CUT:
            allowed = f"left out of observations other than {CONE_CUT}"
            raise MarkedFilmError("the edge", self.name, allowed)
        if self.edge_px and not 2 <= len(self.edge_px) <= MOST_EDGE_PLACES:
            raise MarkedFilmError(
                "the number of places on a cone cut's edge",
                len(self.edge_px),
                f"2 for a straight edge, or 3 to {MOST_EDGE_PLACES} for a round one",
            )


class NumbersSaid(Enum):
    """Whether a person has said that proposed teeth are numbered right."""

    ASKED = "asked"
    RIGHT = "right"


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstProposal:
    """What was proposed on a film before anybody looked, so that what is gone is known too.

    Parameters
    ----------
    names : tuple of str
        Landmarks.
    doubted : tuple of str
        Those of them that had to be looked at one by one.
    film_doubts : tuple of str
        What is doubtful about the whole film.
    likely_view : str or None
        The view that the teeth look like, where a person chose another.
    """

    names: tuple[str, ...]
    doubted: tuple[str, ...] = ()
    film_doubts: tuple[str, ...] = ()
    likely_view: str | None = None

    def __post_init__(self) -> None:
        for name in self.names:
            parse_landmark(name)
        for name in self.doubted:
            if name not in self.names:
                raise MarkedFilmError("a doubted mark", name, "one of those proposed at first")


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkedFilm:
    """One image with the landmarks a person marked on it, upper teeth at the top.

    Parameters
    ----------
    image_name : str
        File name of the image, without folders.
    image_sha256 : str or None
        Of the image file's bytes, in hexadecimal, so that the right image is recognised.
    columns, rows : int
        Size of the image the marks were set on. [px]
    view : str
        Name of the view, such as "right-premolar".
    receptor : str or None
        Its name in the catalogue.
    pixel_mm : float or None
        At the receptor; None where neither file nor person knows. [mm]
    mounting : Mounting
    mark_sd_mm : float or None
        Standard deviation of every mark that states none. [mm]
    marks : mapping of str to Mark
        By landmark name, such as "15.mesial.cej".
    absent_teeth : tuple of int
        ISO 3950 codes of teeth known to be missing, so that nothing is asked of them.
    observations : tuple of FilmRemark
    note : str or None
    marked_by : str or None
        A free code for the person, not a name.
    patient : str or None
        A pseudonym, not a name: films of one visit share it.
    taken_on : str or None
        The day it was taken, as 2026-11-29.
    proposed : FirstProposal or None
        What was proposed at first; None where nothing was, or nobody kept it.
    numbers : NumbersSaid or None
        What a person said of the numbers of proposed teeth; None where nobody kept it.

    Raises
    ------
    UnknownToothError, UnknownLandmarkError
        If a mark's name is not a landmark's.
    MarkOutsideImageError
        If a mark lies outside the image.
    MarkedFilmError
        If any other field is not allowed.
    """

    image_name: str
    image_sha256: str | None = None
    columns: int
    rows: int
    view: str
    receptor: str | None = None
    pixel_mm: float | None = None
    mounting: Mounting = Mounting.AS_SEEN_FROM_THE_TUBE
    mark_sd_mm: float | None = None
    marks: Mapping[str, Mark] = field(default_factory=dict)
    absent_teeth: tuple[int, ...] = ()
    observations: tuple[FilmRemark, ...] = ()
    note: str | None = None
    marked_by: str | None = None
    patient: str | None = None
    taken_on: str | None = None
    proposed: FirstProposal | None = None
    numbers: NumbersSaid | None = None

    def __post_init__(self) -> None:
        _check_image(self)
        _check_slug("view", self.view)
        if self.receptor is not None:
            _check_slug("receptor", self.receptor)
        if self.pixel_mm is not None and not is_plausible_pixel_mm(self.pixel_mm):
            raise MarkedFilmError("pixel_mm", self.pixel_mm, "from 0.005 to 0.2 mm, or left out")
        _check_sd("mark_sd_mm", self.mark_sd_mm)
        for landmark, mark in self.marks.items():
            self._check_mark(landmark, mark)
        if self.taken_on is not None and not _is_day(self.taken_on):
            raise MarkedFilmError("taken_on", self.taken_on, "a day such as 2026-11-29")
        for code in self.absent_teeth:
            parse_tooth(code)
        for remark in self.observations:
            for x, y in remark.edge_px:
                place = Mark(x_px=x, y_px=y)
                if not (0 <= x <= self.columns and 0 <= y <= self.rows):
                    raise MarkOutsideImageError(
                        "on a cone cut's edge", place, self.columns, self.rows
                    )
        object.__setattr__(self, "marks", dict(self.marks))

    def _check_mark(self, landmark: str, mark: Mark) -> None:
        parse_landmark(landmark)
        if mark.status is MarkStatus.SHOWN and not landmark.endswith(CREST_ENDING):
            allowed = "hidden, outside, or seen with its place: only a bone crest may be just shown"
            raise MarkedFilmError(f"the status of {landmark}", mark.status.value, allowed)
        if mark.x_px is None or mark.y_px is None:
            return
        if not (0 <= mark.x_px <= self.columns and 0 <= mark.y_px <= self.rows):
            raise MarkOutsideImageError(landmark, mark, self.columns, self.rows)

    @property
    def unconfirmed(self) -> tuple[str, ...]:
        """Names of marks that were proposed and that nobody has looked at."""
        return tuple(
            name for name, mark in self.marks.items() if mark.origin is MarkOrigin.PROPOSED
        )

    def seen_points_receptor_mm(self, *, pixel_mm: float) -> dict[str, NDArray[np.float64]]:
        """Seen marks in the receptor frame's plane, by landmark name.

        The image is taken to show the whole active area: its centre is the frame's origin, u runs
        to the right and v down as seen from the tube, so a mirrored image's x is turned round.

        Parameters
        ----------
        pixel_mm : float
            At the receptor; usually `self.pixel_mm`, or the receptor's width over the columns.
            [mm]

        Returns
        -------
        dict of str to (2,) float array
            u and v. [mm]
        """
        return {
            landmark: self.place_receptor_mm(mark.x_px, mark.y_px, pixel_mm=pixel_mm)
            for landmark, mark in self.marks.items()
            if mark.x_px is not None and mark.y_px is not None
        }

    def place_receptor_mm(
        self, x_px: float, y_px: float, *, pixel_mm: float
    ) -> NDArray[np.float64]:
        """One place of the image as by `seen_points_receptor_mm`, (2,): u and v. [mm]"""
        sign = -1.0 if self.mounting is Mounting.MIRRORED else 1.0
        return pixel_mm * np.array([sign * (x_px - self.columns / 2), y_px - self.rows / 2])

    def sd_of_mm(self, landmark: str) -> float | None:
        """Standard deviation of one mark: its own, or else the film's. [mm]."""
        own = self.marks[landmark].sd_mm
        return self.mark_sd_mm if own is None else own


def _check_image(film: MarkedFilm) -> None:
    name, sha256 = film.image_name, film.image_sha256
    if not name.strip() or "/" in name or "\\" in name:
        raise MarkedFilmError("the image's file name", name, "a file name without folders")
    if sha256 is not None and not SHA256.fullmatch(sha256):
        raise MarkedFilmError("the image's sha256", sha256, "64 hexadecimal digits, small letters")
    for side in ("columns", "rows"):
        if not 1 <= getattr(film, side) <= MOST_SIDE_PX:
            raise MarkedFilmError(side, getattr(film, side), f"a number from 1 to {MOST_SIDE_PX}")


def _is_day(value: str) -> bool:
    found = DAY.fullmatch(value)
    if found is None:
        return False
    year, month, day = (int(part) for part in found.groups())
    return year >= 1 and 1 <= month <= 12 and 1 <= day <= monthrange(year, month)[1]


def _check_slug(name: str, value: str) -> None:
    if not SLUG.fullmatch(value):
        raise MarkedFilmError(name, value, "small letters, digits and hyphens")


def _check_sd(name: str, value: float | None) -> None:
    if value is not None and not 0 < value <= MOST_SD_MM:
        raise MarkedFilmError(name, value, f"more than 0 and at most {MOST_SD_MM:g} mm")


def _is_coordinate(value: float | None) -> bool:
    return value is not None and abs(value) <= 1e9  # false for NaN, true of no infinity


__all__ = [
    "CONE_CUT",
    "FilmRemark",
    "FirstProposal",
    "Mark",
    "MarkOrigin",
    "MarkOutsideImageError",
    "MarkStatus",
    "MarkedFilm",
    "MarkedFilmError",
    "Mounting",
]
