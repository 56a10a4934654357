"""Assess a real film from marks: measurements and a rating with reasons."""

from collections.abc import Mapping

import numpy as np

from bitewright.equipment.holders import Holder
from bitewright.equipment.receptors import Receptor
from bitewright.errors import BitewrightError
from bitewright.exposing.region import Format
from bitewright.marking.assess import assess
from bitewright.marking.marks import MarkedFilm
from bitewright.marking.picture_borders import PlaceSeen, picture_borders, with_second_look
from bitewright.marking.rating_chances import drawn_rating
from bitewright.marking.raw_image import RawImage
from bitewright.quality.views import View
from bitewright.tasks.assess.decoded_film import DecodedFilm
from bitewright.tasks.assess.film_assessment import FilmAssessment
from bitewright.tasks.assess.taken_film import TakenFilm
from bitewright.tasks.rated_by import RatedBy
from bitewright.words.assumptions import other_format
from bitewright.words.pixel_sizes import FROM_FILE, FROM_MARKS, from_receptor, other_length

SIZE_TOLERANCE = 0.05
SEED = 0
"""Of what the marks leave open, so that the same marks say the same."""

NOT_LOOKED: Mapping[str, PlaceSeen] = {}


def assess_film(
    film: DecodedFilm,
    marked: TakenFilm,
    *,
    holder: Holder | None,
    by: RatedBy,
    places: Mapping[str, PlaceSeen] = NOT_LOOKED,
) -> FilmAssessment:
    """Check that a film and marks belong together, measure and rate.

    Parameters
    ----------
    film : DecodedFilm
    marked : TakenFilm
    holder : Holder or None
        Its bite block makes closure known; None where nobody says.
    by : RatedBy
    places : mapping of landmark name to PlaceSeen
        Where a second look saw what was marked.

    Raises
    ------
    OtherImageError, OtherSideError
        If the marks are another film's.
    NoPixelSizeError
        If nothing tells how large a pixel is.
    """
    raw = film.image
    check_same_image(film, marked.marks)
    _check_side(film, marked.view)
    pixel_mm, pixel_from = pixel_size(film, marked)
    assessment = assess(
        marked.marks,
        marked.view,
        pixel_mm=pixel_mm,
        receptor=marked.receptor,
        block_mm=np.nan if holder is None else holder.bite_block_thickness_mm,
        question=by.question,
    )
    borders = picture_borders(raw.pixels, marked.marks, marked.view, pixel_mm=pixel_mm)
    borders = with_second_look(borders, places, marked.marks, marked.view, pixel_mm=pixel_mm)
    drawn = drawn_rating(assessment.measurements, by.question, np.random.default_rng(SEED))
    return FilmAssessment(
        name=film.name,
        film=marked,
        holder=holder,
        question=by.question,
        scheme=by.scheme,
        assessment=assessment,
        drawn=drawn,
        grade=assessment.rating.grade(by.scheme)[0],
        pixel_mm=pixel_mm,
        pixel_from=pixel_from,
        image_caveats=(
            *raw.caveats,
            *_size_caveat(raw, pixel_mm, marked.receptor),
            *_format_caveat(raw, marked.view),
        ),
        borders=borders,
    )


def pixel_size(film: DecodedFilm, marked: TakenFilm) -> tuple[float, str]:
    """From the marks, else the file, else the receptor's width over the image's columns. [mm]

    Raises
    ------
    NoPixelSizeError
    """
    if marked.marks.pixel_mm:
        return marked.marks.pixel_mm, FROM_MARKS
    raw, receptor = film.image, marked.receptor
    if raw.pixel_mm:
        return raw.pixel_mm, FROM_FILE
    if receptor is None:
        raise NoPixelSizeError(film.name)
    longer = max(raw.columns, raw.rows)
    return receptor.active_long_mm / longer, from_receptor(receptor.title)


class NoPixelSizeError(BitewrightError):
    """Neither file, marks nor receptor tell how large a pixel is."""

    def __init__(self, name: str) -> None:
        self.name = name
        super().__init__(
            f"The image {name} says no pixel size: name its receptor with --receptor, or give "
            "pixel_mm in the marks."
        )


class OtherImageError(BitewrightError):
    """The marks were set on another image."""

    def __init__(self, name: str, difference: str) -> None:
        self.name = name
        super().__init__(
            f"The marks were not set on {name}: {difference}; give the image they belong to."
        )


class OtherSideError(BitewrightError):
    """The file says another side of the patient than the view."""

    def __init__(self, name: str, said: str, wanted: View) -> None:
        self.name = name
        super().__init__(
            f"The image {name} says it shows the patient's {said} side, the marks say "
            f"{wanted.title}: correct the view, or check that the film is the right one."
        )


def check_same_image(film: DecodedFilm, marks: MarkedFilm) -> None:
    """Refuse marks that were set on another image than this one.

    Raises
    ------
    OtherImageError
    """
    raw = film.image
    if (raw.columns, raw.rows) != (marks.columns, marks.rows):
        raise OtherImageError(
            film.name,
            f"it has {raw.columns} x {raw.rows} pixels, the marks' image "
            f"{marks.columns} x {marks.rows}",
        )
    if marks.image_sha256 and marks.image_sha256 != film.sha256:
        raise OtherImageError(film.name, "its content differs (sha256)")


def _check_side(film: DecodedFilm, of_view: View) -> None:
    said = film.image.attributes.get("image_laterality", "")
    side = {"R": "right", "L": "left"}.get(said[:1].upper())
    if side and side != of_view.region.side.value:
        raise OtherSideError(film.name, side, of_view)


SURELY_LONGER = 1.1
"""An image longer than that many times its other side lies along it. Our choice."""


def _format_caveat(raw: RawImage, taken_as: View) -> tuple[str, ...]:
    """That the image lies the other way than the receptor of the view it is said to be."""
    is_upright = taken_as.region.format is Format.VERTICAL
    long, across = (raw.rows, raw.columns) if is_upright else (raw.columns, raw.rows)
    if across <= SURELY_LONGER * long:
        return ()
    return (other_format(taken_as.title, is_upright=is_upright),)


def _size_caveat(raw: RawImage, pixel_mm: float, receptor: Receptor | None) -> tuple[str, ...]:
    if receptor is None:
        return ()
    long_mm = max(raw.columns, raw.rows) * pixel_mm
    if abs(long_mm / receptor.active_long_mm - 1.0) <= SIZE_TOLERANCE:
        return ()
    caveat = other_length(
        long_mm=long_mm,
        pixel_mm=pixel_mm,
        receptor=receptor.title,
        recorded_mm=receptor.active_long_mm,
    )
    return (caveat,)


__all__ = ["assess_film", "check_same_image", "pixel_size"]
