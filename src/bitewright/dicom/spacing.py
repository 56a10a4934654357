"""The pixel size at the receptor, from the several spacings a DICOM file may state."""

import math
from dataclasses import dataclass, field

from pydicom.dataset import Dataset
from pydicom.multival import MultiValue

from bitewright.errors import BitewrightError
from bitewright.marking.raw_image import is_plausible_pixel_mm
from bitewright.words import pixel_sizes as words

AT_RECEPTOR = {
    "ImagerPixelSpacing": "Imager Pixel Spacing",
    "NominalScannedPixelSpacing": "Nominal Scanned Pixel Spacing",
}
CALIBRATION_TYPES = ("GEOMETRY", "FIDUCIAL")
SPACING_TAGS = (*AT_RECEPTOR, "PixelSpacing", "PixelSpacingCalibrationType", "PixelAspectRatio")
SQUARE_WITHIN = 1e-3


class SpacingError(BitewrightError):
    """A DICOM file states pixels that are not square, or a spacing that is no number."""

    def __init__(self, name: str, attribute: str) -> None:
        self.name = name
        self.attribute = attribute
        super().__init__(
            f"In the DICOM file {name} the {attribute} is not one positive size both ways: only "
            "square pixels are read, so export it anew."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class ReceptorPixelSize:
    """A pixel size at the receptor or None, where it came from, and what was doubtful."""

    pixel_mm: float | None
    origin: str
    attributes: dict[str, str] = field(default_factory=dict)
    caveats: tuple[str, ...] = ()


def receptor_pixel_size(name: str, dataset: Dataset) -> ReceptorPixelSize:
    """The size of a pixel in the receptor plane.

    Imager Pixel Spacing (0018,1164) is measured there, Nominal Scanned Pixel Spacing (0018,2010)
    on the film. Pixel Spacing (0028,0030) with a calibration type is corrected to the object, so
    it is no receptor size: it is passed on as "calibrated_pixel_mm" only. Without a type nobody
    can tell; it is taken as the receptor's, with a caveat (our choice).

    Raises
    ------
    SpacingError
        If a spacing or the aspect ratio is not square.

    References
    ----------
    .. [1] DICOM PS3.3, 10.7, Basic Pixel Spacing Calibration macro (from memory).
    """
    _square(name, dataset, "PixelAspectRatio", "Pixel Aspect Ratio")
    at_object = _square(name, dataset, "PixelSpacing", "Pixel Spacing")
    calibration = str(dataset.get("PixelSpacingCalibrationType") or "")
    is_calibrated = calibration in CALIBRATION_TYPES
    passed_on = (
        {"calibrated_pixel_mm": f"{at_object:.6g}", "calibration_type": calibration}
        if is_calibrated and at_object is not None
        else {}
    )
    for keyword, attribute in AT_RECEPTOR.items():
        spacing = _square(name, dataset, keyword, attribute)
        if spacing is not None:
            return _plausible(spacing, attribute, passed_on)
    if at_object is None:
        return ReceptorPixelSize(pixel_mm=None, origin=words.NOT_STATED)
    if is_calibrated:
        return ReceptorPixelSize(
            pixel_mm=None,
            origin=words.AT_OBJECT_ONLY,
            attributes=passed_on,
            caveats=(words.AT_OBJECT_CAVEAT,),
        )
    return _plausible(at_object, "Pixel Spacing", {}, words.PLACE_UNKNOWN_CAVEAT)


def _square(name: str, dataset: Dataset, keyword: str, attribute: str) -> float | None:
    value = dataset.get(keyword)
    if value is None or not str(value):
        return None
    sizes = [float(size) for size in value] if isinstance(value, MultiValue) else []
    if len(sizes) != 2 or not all(math.isfinite(size) and size > 0 for size in sizes):
        raise SpacingError(name, attribute)
    if abs(sizes[0] - sizes[1]) > SQUARE_WITHIN * max(sizes):
        raise SpacingError(name, attribute)
    return sum(sizes) / 2


def _plausible(
    pixel_mm: float, name: str, attributes: dict[str, str], *caveats: str
) -> ReceptorPixelSize:
    if is_plausible_pixel_mm(pixel_mm):
        return ReceptorPixelSize(
            pixel_mm=pixel_mm,
            origin=words.stated_in(name),
            attributes=attributes,
            caveats=caveats,
        )
    return ReceptorPixelSize(
        pixel_mm=None,
        origin=words.SIZE_IGNORED,
        attributes=attributes,
        caveats=(words.impossible_size(pixel_mm),),
    )


__all__ = ["SPACING_TAGS", "ReceptorPixelSize", "SpacingError", "receptor_pixel_size"]
