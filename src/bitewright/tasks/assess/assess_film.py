"""Assess a real film from marks: measurements, rating with reasons, an overlay picture."""

import hashlib
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np

from bitewright import __version__
from bitewright.dicom.read import read_dicom
from bitewright.equipment.catalogue import Catalogue, packaged_catalogue
from bitewright.equipment.receptors import Receptor
from bitewright.errors import BitewrightError
from bitewright.explanation.correction import Correction
from bitewright.files.disk import read_file
from bitewright.files.images import read_image, write_picture
from bitewright.files.marks_file import read_marks
from bitewright.marking.assess import Assessment, assess
from bitewright.marking.marks import MarkedFilm
from bitewright.marking.raw_image import RawImage
from bitewright.quality.criteria import Question
from bitewright.quality.findings import grade_doubt
from bitewright.quality.rating import RatingScheme, rating_scheme
from bitewright.quality.views import View, view
from bitewright.report.film_overlay import film_overlay
from bitewright.steps import Begin, unwatched
from bitewright.tasks.assess.explain_film import (
    USUAL_HOLDER,
    ExplainRequest,
    FilmExplanation,
    explain_film,
)
from bitewright.tasks.catalogue.resources import equipment
from bitewright.tasks.documents import (
    contact_document,
    correction_document,
    finding_document,
    rating_document,
)
from bitewright.words.reasons import rating_doubt

ASSESSMENT_FORMAT = "bitewright.assessment/1"
SIZE_TOLERANCE = 0.05
DICOM_MAGIC = b"DICM"


class NoPixelSizeError(BitewrightError):
    """Neither file, marks nor receptor tell how large a pixel is."""

    def __init__(self, path: Path) -> None:
        self.path = path
        super().__init__(
            f"The image {path.name} says no pixel size: name its receptor with --receptor, or give "
            "pixel_mm in the marks."
        )


class OtherImageError(BitewrightError):
    """The marks were set on another image."""

    def __init__(self, path: Path, difference: str) -> None:
        self.path = path
        super().__init__(
            f"The marks were not set on {path.name}: {difference}; give the image they belong to."
        )


class OtherSideError(BitewrightError):
    """The file says another side of the patient than the view."""

    def __init__(self, path: Path, said: str, wanted: View) -> None:
        self.path = path
        super().__init__(
            f"The image {path.name} says it shows the patient's {said} side, the marks say "
            f"{wanted.title}: correct the view, or check that the film is the right one."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class AssessRequest:
    """A film to assess from its marks."""

    image: Path
    marks: Path
    receptor: str | None = None
    holder: str | None = None
    equipment_files: tuple[Path, ...] = ()
    question: Question = Question.ENAMEL
    scheme: str = "uk-2020"
    overlay: Path | None = None
    explain: ExplainRequest | None = field(default_factory=ExplainRequest)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FilmAssessment:
    """What a real film shows, and how sure that is."""

    image: Path
    film: MarkedFilm
    assessment: Assessment
    pixel_mm: float
    pixel_from: str
    scheme: RatingScheme
    grade: str
    caveats: tuple[str, ...]
    overlay: Path | None
    explained: FilmExplanation | None = None

    @property
    def doubt(self) -> str | None:
        """How the marks' uncertainty may turn the rating, a sentence; None if it hardly may."""
        doubt = grade_doubt(self.assessment.rating, self.assessment.findings, self.scheme)
        return None if doubt is None else rating_doubt(doubt)

    @property
    def correction(self) -> Correction | None:
        """The movement that mends the exposure; None where nothing can be said of it."""
        explanation = None if self.explained is None else self.explained.explanation
        return None if explanation is None else explanation.correction

    def document(self) -> dict[str, Any]:
        """As data for machines."""
        document: dict[str, Any] = {
            "format": ASSESSMENT_FORMAT,
            "version": __version__,
            "view": self.assessment.view.name,
            "view_title": self.assessment.view.title,
            "image": self.image.name,
            "pixel_mm": self.pixel_mm,
            "pixel_from": self.pixel_from,
            "rating": rating_document(self.scheme, self.grade) | {"doubt": self.doubt},
            "criteria": [finding_document(finding) for finding in self.assessment.findings],
            "contacts": [
                contact_document(contact, chance)
                for contact, chance in zip(
                    self.assessment.contacts, self.assessment.chances, strict=True
                )
            ],
            "observations": [remark.name for remark in self.film.observations],
            "caveats": list(self.caveats),
            "overlay": None if self.overlay is None else str(self.overlay),
        }
        said = self.explained
        if said is not None and said.explanation is not None and said.words is not None:
            document["explanation"] = correction_document(said.explanation.correction, said.words)
        return document


def assess_film(request: AssessRequest) -> FilmAssessment:
    """Read image and marks, check that they belong together, measure and rate.

    Nothing is written unless everything could be read and measured.
    """
    data = read_file(request.image)
    raw = read_film(request.image, data)
    film = read_marks(request.marks)
    return assess_image(request, raw, film, sha256=hashlib.sha256(data).hexdigest())


def assess_image(
    request: AssessRequest,
    raw: RawImage,
    film: MarkedFilm,
    *,
    sha256: str,
    begin: Begin = unwatched,
) -> FilmAssessment:
    """As `assess_film`, of an image and marks that were read before.

    ``sha256`` is that of the file the image came in; the request's paths only name things.
    """
    of_view, scheme = view(film.view), rating_scheme(request.scheme)
    catalogue = equipment(request.equipment_files)
    receptor = _receptor(request, film, catalogue)
    _check_same_image(request.image, sha256, raw, film)
    _check_side(request.image, raw, of_view)
    pixel_mm, pixel_from = pixel_size(request.image, raw, film, receptor)
    block_mm = (
        catalogue.holder(request.holder).bite_block_thickness_mm if request.holder else np.nan
    )
    assessment = assess(
        film,
        of_view,
        pixel_mm=pixel_mm,
        receptor=receptor,
        block_mm=block_mm,
        question=request.question,
    )
    grade = assessment.rating.grade(scheme)[0]
    explained = _explained(request, film, assessment, catalogue, receptor, begin=begin)
    if request.overlay is not None:
        picture = film_overlay(raw, film, assessment, grade=grade, scheme=scheme)
        write_picture(request.overlay, picture, description="Bitewright overlay of a marked film")
    return FilmAssessment(
        image=request.image,
        film=film,
        assessment=assessment,
        pixel_mm=pixel_mm,
        pixel_from=pixel_from,
        scheme=scheme,
        grade=grade,
        caveats=raw.caveats
        + _size_caveat(raw, pixel_mm, receptor)
        + _closure_caveat(request)
        + (() if explained is None else explained.caveats),
        overlay=request.overlay,
        explained=explained,
    )


def _explained(
    request: AssessRequest,
    film: MarkedFilm,
    assessment: Assessment,
    catalogue: Catalogue,
    receptor: Receptor | None,
    *,
    begin: Begin,
) -> FilmExplanation | None:
    if request.explain is None:
        return None
    return explain_film(
        film,
        assessment.landmarks,
        catalogue,
        request.explain,
        receptor=receptor,
        holder=request.holder,
        question=request.question,
        begin=begin,
    )


def read_film(path: Path, data: bytes) -> RawImage:
    """A film by its content: a DICOM file bears its mark after 128 bytes."""
    is_dicom = data[128:132] == DICOM_MAGIC or path.suffix.lower() in (".dcm", ".dicom")
    return read_dicom(path) if is_dicom else read_image(path)


def _receptor(request: AssessRequest, film: MarkedFilm, catalogue: Catalogue) -> Receptor | None:
    name = request.receptor or film.receptor
    return catalogue.receptor(name) if name else None


def _check_same_image(path: Path, sha256: str, raw: RawImage, film: MarkedFilm) -> None:
    if (raw.columns, raw.rows) != (film.columns, film.rows):
        raise OtherImageError(
            path,
            f"it has {raw.columns} x {raw.rows} pixels, the marks' image "
            f"{film.columns} x {film.rows}",
        )
    if film.image_sha256 and film.image_sha256 != sha256:
        raise OtherImageError(path, "its content differs (sha256)")


def _check_side(path: Path, raw: RawImage, of_view: View) -> None:
    said = raw.attributes.get("image_laterality", "")
    side = {"R": "right", "L": "left"}.get(said[:1].upper())
    if side and side != of_view.region.side.value:
        raise OtherSideError(path, side, of_view)


def pixel_size(
    path: Path, raw: RawImage, film: MarkedFilm, receptor: Receptor | None
) -> tuple[float, str]:
    """From the marks, else the file, else the receptor's width over the image's columns. [mm]"""
    if film.pixel_mm:
        return film.pixel_mm, "the marks"
    if raw.pixel_mm:
        return raw.pixel_mm, "the image file"
    if receptor is None:
        raise NoPixelSizeError(path)
    longer = max(raw.columns, raw.rows)
    return receptor.active_long_mm / longer, f"the size of the {receptor.title}"


def _size_caveat(raw: RawImage, pixel_mm: float, receptor: Receptor | None) -> tuple[str, ...]:
    if receptor is None:
        return ()
    long_mm = max(raw.columns, raw.rows) * pixel_mm
    if abs(long_mm / receptor.active_long_mm - 1.0) <= SIZE_TOLERANCE:
        return ()
    caveat = (
        f"The image is {long_mm:.1f} mm long at {pixel_mm:g} mm a pixel, the {receptor.title} "
        f"records {receptor.active_long_mm:g} mm: it may be cropped, or the pixel size wrong."
    )
    return (caveat,)


def _closure_caveat(request: AssessRequest) -> tuple[str, ...]:
    if request.holder:
        return ()
    usual = packaged_catalogue().holder(USUAL_HOLDER)
    taken = f"; the estimate takes the {usual.title}" if request.explain else ""
    return (f"No holder is named: the bite block's thickness and closure are not known{taken}.",)


__all__ = [
    "AssessRequest",
    "FilmAssessment",
    "assess_film",
    "assess_image",
    "pixel_size",
    "read_film",
]
