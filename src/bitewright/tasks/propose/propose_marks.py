"""Propose marks on a film: the network reads it, rules and geometry doubt it, a person decides."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from bitewright import __version__
from bitewright.equipment.catalogue import Catalogue
from bitewright.files.marks_file import marks_to_document
from bitewright.marking.marks import FirstProposal, Mark, MarkedFilm, MarkOrigin, Mounting
from bitewright.marking.raw_image import RawImage
from bitewright.mouth.numbering import Side
from bitewright.network.heat_maps import heat_maps
from bitewright.proposing.channels import TOOTH_COUNT, tooth_row
from bitewright.proposing.heat_maps import HeatReading, read_heat
from bitewright.proposing.proposals import MarkDoubt, ProposedMark, doubted, proposals
from bitewright.proposing.refusals import FEWEST_CONTACTS, FilmDoubt, Refusal, why_refused
from bitewright.proposing.scale import is_scale_doubtful
from bitewright.proposing.spreads import WIDENED
from bitewright.proposing.square import FilmOnSquare, bits_in_use, on_square
from bitewright.proposing.taken_for import is_one_arch, likely_view, shown_contacts
from bitewright.proposing.tones import is_negative
from bitewright.quality.views import View
from bitewright.tasks.assess.decoded_film import DecodedFilm
from bitewright.tasks.propose.borders import at_borders
from bitewright.tasks.propose.unexplained import unexplained
from bitewright.words.proposals import (
    FILM_DOUBT_WORDS,
    REFUSAL_WORDS,
    proposed_words,
)

PROPOSAL_FORMAT = "bitewright.proposal/1"
USUAL_LONG_MM = 41.0
"""A film whose pixel size nobody says is taken to be of size 2, and doubted."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """What is known of a film before it is looked at.

    Parameters
    ----------
    receptor : str or None
        Its name; gives the pixel size where the film does not.
    side : Side or None
        The patient's side, if somebody says it; else it follows from the mounting.
    mirrored : bool
        Whether the picture is shown the other way round than seen from the tube.
    absent_teeth : tuple of int
        ISO 3950 codes of teeth known to be missing.
    """

    receptor: str | None = None
    side: Side | None = None
    mirrored: bool = False
    absent_teeth: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ProposedMarks:
    """What is proposed on one film; no marks, and why, where nothing is.

    Parameters
    ----------
    name : str
        The film's.
    marks : MarkedFilm or None
        Each mark with its own spread, and its doubt where it has one: its own, else the first of
        the whole film. No pixel size where it was only assumed.
    refused : Refusal or None
    doubts : tuple of FilmDoubt
        Of the whole film.
    """

    name: str
    marks: MarkedFilm | None
    refused: Refusal | None = None
    doubts: tuple[FilmDoubt, ...] = ()

    def __post_init__(self) -> None:
        if self.marks is not None and self.doubts:
            object.__setattr__(self, "marks", _doubted_whole(self.marks, self.doubts))

    @property
    def doubtful(self) -> tuple[str, ...]:
        """Names of marks that must each be looked at; all of them where the film is doubtful."""
        if self.marks is None:
            return ()
        return tuple(name for name, mark in self.marks.marks.items() if mark.doubt)

    @property
    def sentences(self) -> tuple[str, ...]:
        """What is to be said of it."""
        if self.refused is not None:
            return (REFUSAL_WORDS[self.refused],)
        count = 0 if self.marks is None else len(self.marks.marks)
        return (
            proposed_words(count, len(self.doubtful)),
            *(FILM_DOUBT_WORDS[each] for each in self.doubts),
        )

    def document(self) -> dict[str, Any]:
        """As data for machines: the marks in the marks format, and what is doubtful."""
        return {
            "format": PROPOSAL_FORMAT,
            "version": __version__,
            "film": self.name,
            "refused": None if self.refused is None else self.refused.value,
            "doubts": [each.value for each in self.doubts],
            "doubtful_marks": list(self.doubtful),
            "sentences": list(self.sentences),
            "marks": None if self.marks is None else marks_to_document(self.marks),
        }


def _doubted_whole(marks: MarkedFilm, doubts: Sequence[FilmDoubt]) -> MarkedFilm:
    """The same marks, what is doubtful about the whole film said of each, and no assumed size."""
    every = {
        name: replace(mark, doubt=mark.doubt or doubts[0].value)
        for name, mark in marks.marks.items()
    }
    is_assumed = FilmDoubt.PIXEL_SIZE in doubts
    return replace(marks, marks=every, pixel_mm=None if is_assumed else marks.pixel_mm)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FilmRead:
    """What the network makes of a film, before any rule doubts it.

    Parameters
    ----------
    square : FilmOnSquare
    read : HeatReading
    image : RawImage
        The film with teeth bright.
    pixel_mm : float
        Of the film.
    is_assumed : bool
        Whether nothing said its pixel size.
    is_negative : bool
        Whether the film is shown with teeth dark.
    """

    square: FilmOnSquare
    read: HeatReading
    image: RawImage
    pixel_mm: float
    is_assumed: bool
    is_negative: bool = False


def propose_marks(film: DecodedFilm, known: Catalogue, told: Known | None = None) -> ProposedMarks:
    """Propose the marks of one film.

    Raises
    ------
    ExtraMissingError
        If what runs the network is not installed.
    UnknownEquipmentError, UnknownToothError
    """
    told = told or Known()
    return marks_of_reading(film, film_read(film, known, told), known, told)


def film_read(film: DecodedFilm, known: Catalogue, told: Known) -> FilmRead:
    """Let the network look at a film.

    Raises
    ------
    ExtraMissingError
        If what runs the network is not installed.
    UnknownEquipmentError
    """
    pixel_mm, is_assumed = _pixel_mm(film, known, told)
    teeth = _told_teeth(told.absent_teeth)
    of = _read_as(film.image, pixel_mm, teeth, is_assumed=is_assumed)
    if not is_negative(of.square, of.read):
        return of
    return replace(
        _read_as(_negative(film.image), pixel_mm, teeth, is_assumed=is_assumed), is_negative=True
    )


def _read_as(
    image: RawImage, pixel_mm: float, teeth: NDArray[np.float32], *, is_assumed: bool
) -> FilmRead:
    square = on_square(image.pixels, bits=image.bits, pixel_mm=pixel_mm)
    read = read_heat(*heat_maps(square.grey, teeth))
    return FilmRead(square=square, read=read, image=image, pixel_mm=pixel_mm, is_assumed=is_assumed)


def _negative(image: RawImage) -> RawImage:
    greatest = np.uint16((1 << bits_in_use(image.pixels, image.bits)) - 1)
    return replace(image, pixels=greatest - image.pixels)


def marks_of_reading(
    film: DecodedFilm, of: FilmRead, known: Catalogue, told: Known
) -> ProposedMarks:
    """Propose marks by what the network says of a film, doubted by rules and geometry."""
    raw, square, read, pixel_mm = of.image, of.square, of.read, of.pixel_mm
    why_not = why_refused(square, read)
    if why_not is not None:
        return ProposedMarks(name=film.name, marks=None, refused=why_not)
    side = _side(read, mirrored=told.mirrored)
    if _stated_side(film, told) not in {None, side}:
        return ProposedMarks(name=film.name, marks=None, refused=Refusal.OTHER_SIDE)
    found = [
        each
        for each in proposals(read, is_right=side is Side.RIGHT)
        if each.code not in told.absent_teeth
    ]
    if shown_contacts(found) < FEWEST_CONTACTS:
        return ProposedMarks(name=film.name, marks=None, refused=Refusal.FEW_CONTACTS)
    of_view = likely_view(found, side, upright=raw.rows > raw.columns)
    usual = {each.name: each.sd_mm / WIDENED for each in found}
    found = at_borders(found, raw, square, of_view, mirrored=told.mirrored, pixel_mm=pixel_mm)
    narrow = [replace(each, sd_mm=usual[each.name]) for each in found]
    marks = _marked(film, square, narrow, of_view, told, pixel_mm=pixel_mm)
    beside = unexplained(marks, known)
    found = doubted(found, beside.numbered_off, MarkDoubt.NUMBERING)
    found = [
        replace(each, doubt=each.doubt or MarkDoubt.UNEXPLAINED)
        if each.name in beside.names
        else each
        for each in found
    ]
    doubts = (
        *([FilmDoubt.PIXEL_SIZE] if of.is_assumed else []),
        *([FilmDoubt.SCALE] if is_scale_doubtful(square, found) else []),
        *([FilmDoubt.NEGATIVE] if of.is_negative else []),
        *(
            [FilmDoubt.NUMBERING]
            if beside.fits_other_numbers or any(each.doubt is MarkDoubt.NUMBERING for each in found)
            else []
        ),
        *([FilmDoubt.ONE_ARCH] if is_one_arch(found) else []),
        *([FilmDoubt.UNEXPLAINED] if beside.is_unexplained else []),
    )
    marks = _marked(film, square, found, of_view, told, pixel_mm=pixel_mm)
    made = ProposedMarks(name=film.name, marks=marks, doubts=doubts)
    first = FirstProposal(names=tuple(marks.marks), doubted=made.doubtful)
    return replace(made, marks=replace(made.marks or marks, proposed=first))


def _pixel_mm(film: DecodedFilm, known: Catalogue, told: Known) -> tuple[float, bool]:
    """A film's pixel size, and whether it is only assumed. [mm]"""
    if film.image.pixel_mm:
        return film.image.pixel_mm, False
    longer = max(film.image.rows, film.image.columns)
    if told.receptor is not None:
        return known.receptor(told.receptor).active_long_mm / longer, False
    return USUAL_LONG_MM / longer, True


def _told_teeth(absent: Sequence[int]) -> np.ndarray[Any, np.dtype[np.float32]]:
    told = np.zeros(TOOTH_COUNT, np.float32)
    for code in absent:
        row = tooth_row(code)
        if row is not None:
            told[row] = -1.0
    return told


def _side(read: HeatReading, *, mirrored: bool) -> Side:
    """The patient's side: as seen from the tube, the front of a right side lies to the right."""
    return Side.RIGHT if (read.front_left <= 0.5) is not mirrored else Side.LEFT


def _stated_side(film: DecodedFilm, told: Known) -> Side | None:
    if told.side is not None:
        return told.side
    said = film.image.attributes.get("image_laterality", "")[:1].upper()
    return {"R": Side.RIGHT, "L": Side.LEFT}.get(said)


def _marked(
    film: DecodedFilm,
    square: FilmOnSquare,
    found: Sequence[ProposedMark],
    of_view: View,
    told: Known,
    *,
    pixel_mm: float,
) -> MarkedFilm:
    raw = film.image
    marks = {}
    for each in found:
        x_px, y_px = (float(value) for value in square.on_film_px(np.array(each.place_px)))
        if not (0.0 <= x_px <= raw.columns and 0.0 <= y_px <= raw.rows):
            continue
        marks[each.name] = Mark(
            x_px=round(x_px, 2),
            y_px=round(y_px, 2),
            sd_mm=each.sd_mm,
            origin=MarkOrigin.PROPOSED,
            doubt=None if each.doubt is None else each.doubt.value,
        )
    return MarkedFilm(
        image_name=film.name,
        image_sha256=film.sha256,
        columns=raw.columns,
        rows=raw.rows,
        view=of_view.name,
        receptor=told.receptor,
        pixel_mm=round(pixel_mm, 6),
        mounting=Mounting.MIRRORED if told.mirrored else Mounting.AS_SEEN_FROM_THE_TUBE,
        marks=marks,
        absent_teeth=told.absent_teeth,
    )


__all__ = [
    "PROPOSAL_FORMAT",
    "FilmRead",
    "Known",
    "ProposedMarks",
    "film_read",
    "marks_of_reading",
    "propose_marks",
]
