"""Decode one grey picture from a DICOM file, and nothing that names a person.

Only the elements listed here are ever parsed, so an identity is not in memory to leak; error
sentences never quote the file's content.
"""

import logging
import re
import warnings
from hashlib import sha256
from io import BytesIO

import numpy as np
import pydicom
from numpy.typing import NDArray
from pydicom.dataset import Dataset
from pydicom.errors import InvalidDicomError
from pydicom.pixels.processing import apply_modality_lut

from bitewright.dicom.spacing import SPACING_TAGS, receptor_pixel_size
from bitewright.dicom.unpacked_size import MOST_BYTES, frame_is_another_size, inflates_too_far
from bitewright.errors import BitewrightError
from bitewright.marking.raw_image import MOST_PIXELS, RawImage, RawImageError
from bitewright.words.assumptions import LEVELS_KEPT

SOP_CLASSES = {
    "1.2.840.10008.5.1.4.1.1.1.3": "Digital Intra-Oral X-Ray",
    "1.2.840.10008.5.1.4.1.1.1.3.1": "Digital Intra-Oral X-Ray, for processing",
    "1.2.840.10008.5.1.4.1.1.1.1": "Digital X-Ray",
    "1.2.840.10008.5.1.4.1.1.1.1.1": "Digital X-Ray, for processing",
    "1.2.840.10008.5.1.4.1.1.1": "Computed Radiography",
    "1.2.840.10008.5.1.4.1.1.7": "Secondary Capture",
}
ATTRIBUTES = {
    "Modality": ("modality", re.compile(r"IO|DX|CR|OT|SC|RG")),
    "ImageLaterality": ("image_laterality", re.compile(r"[RLBU]")),
    "Laterality": ("laterality", re.compile(r"[RL]")),
    "PatientOrientation": ("patient_orientation", re.compile(r"[APRLHF]{1,3}\\[APRLHF]{1,3}")),
    "QualityControlImage": ("quality_control_image", re.compile(r"YES|NO|BOTH")),
}
PIXEL_TAGS = (
    "SOPClassUID",
    "SamplesPerPixel",
    "PhotometricInterpretation",
    "NumberOfFrames",
    "Rows",
    "Columns",
    "BitsAllocated",
    "BitsStored",
    "HighBit",
    "PixelRepresentation",
    "PlanarConfiguration",
    "RescaleIntercept",
    "RescaleSlope",
    "ModalityLUTSequence",
    "BurnedInAnnotation",
    "PixelData",
)
UID = re.compile(r"[0-9.]{3,64}")
PATIENT_TAGS = {
    0x00100010: "name",
    0x00100020: "ID",
    0x00100030: "birth date",
    0x00101000: "other IDs",
    0x00101001: "other names",
    0x00101040: "address",
    0x00102154: "telephone number",
}
"""Elements that name a patient (PS3.6), as people call them."""

UNKNOWN_PLACE = "give an intra-oral, digital x-ray, computed radiography or secondary capture image"

logging.getLogger("pydicom").addHandler(logging.NullHandler())  # it might quote an identity


class DicomFileError(BitewrightError):
    """A file is no DICOM image read here, or is damaged; its content is never quoted."""

    def __init__(self, name: str, problem: str, advice: str) -> None:
        self.name = name
        self.problem = problem
        self.advice = advice
        super().__init__(f"The DICOM file {name} {problem}: {advice}.")


def decode_dicom(data: bytes, *, name: str) -> RawImage:
    """One grey frame of an intra-oral, digital x-ray, CR or secondary capture object.

    ``name`` is what a refusal calls the file.

    MONOCHROME1 is turned round so that 0 is black. The modality transform (rescale or table) is
    applied where it yields whole numbers from 0 to 65535; otherwise the stored values stay and a
    caveat says so. Display windows are left alone. The pixel size is that at the receptor:
    Imager Pixel Spacing first; see `receptor_pixel_size`. `attributes` holds, where the file
    states an allowed value, "image_laterality", "laterality", "patient_orientation",
    "modality", "quality_control_image", and "calibrated_pixel_mm" with its "calibration_type".

    Raises
    ------
    DicomFileError
        If it is not DICOM, damaged, compressed in a way that cannot be decoded here, another kind
        of object, in colour, of several frames, of bits that no radiograph has, or says that text
        burned into the picture identifies somebody.
    SpacingError
        If its pixels are not square.
    """
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # they may quote the file
            return _image(name, data)
    except RawImageError as error:
        problem = f"has a {error.what} of {error.given}"
        raise DicomFileError(name, problem, f"give one {error.allowed}") from None
    except BitewrightError:
        raise
    except InvalidDicomError:
        raise DicomFileError(name, "is not one", "give a file in DICOM's own format") from None
    except Exception:  # noqa: BLE001  a parser fails in many ways, often when a value is first used
        raise DicomFileError(name, "is damaged or incomplete", "copy or export it anew") from None


def study_pseudonym(data: bytes) -> str | None:
    """What stands for the study of a DICOM file, the same for all its films; None without one.

    None too for a quality control image, such as our simulated films: no patient's study. Of the
    file only Study Instance UID and Quality Control Image are decoded; a digest stands in the
    UID's place, as the basic profile of PS3.15 has UIDs replaced alike.
    """
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # they may quote the file
            dataset = pydicom.dcmread(
                BytesIO(data),
                specific_tags=["StudyInstanceUID", "QualityControlImage"],
                stop_before_pixels=True,
            )
            is_control = str(dataset.get("QualityControlImage", "")) == "YES"
            uid = "" if is_control else str(dataset.get("StudyInstanceUID", ""))
    except Exception:  # noqa: BLE001  a parser fails in many ways; the film itself is read elsewhere
        return None
    return f"study-{sha256(uid.encode()).hexdigest()[:12]}" if UID.fullmatch(uid) else None


def _image(name: str, data: bytes) -> RawImage:
    if inflates_too_far(data):
        problem = f"would take more than {MOST_BYTES >> 20} MiB once unpacked"
        raise DicomFileError(name, problem, "export the film alone, uncompressed")
    tags = [*PIXEL_TAGS, *SPACING_TAGS, *ATTRIBUTES]
    dataset = pydicom.dcmread(BytesIO(data), specific_tags=list(tags))
    kind = _checked_kind(name, dataset)
    _refuse_what_is_no_film(name, dataset)
    bits, values, caveats = _grey_levels(name, dataset)
    size = receptor_pixel_size(name, dataset)
    return RawImage(
        pixels=values,
        bits=bits,
        pixel_mm=size.pixel_mm,
        source=f"DICOM {kind}, {bits} bit, {size.origin}",
        attributes=_attributes(dataset) | size.attributes,
        caveats=caveats + size.caveats,
        names_patient=_filled_in(data),
    )


def _filled_in(data: bytes) -> tuple[str, ...]:
    """Which facts of a patient the file fills in; their values are never decoded."""
    heads = pydicom.dcmread(BytesIO(data), specific_tags=list(PATIENT_TAGS))
    filled = {int(head.tag) for head in heads.elements() if getattr(head, "length", 0) > 0}
    return tuple(said for tag, said in PATIENT_TAGS.items() if tag in filled)


def _checked_kind(name: str, dataset: Dataset) -> str:
    kind = SOP_CLASSES.get(str(dataset.get("SOPClassUID", "")))
    if kind is None:
        raise DicomFileError(name, "holds another kind of object", UNKNOWN_PLACE)
    return kind


def _refuse_what_is_no_film(name: str, dataset: Dataset) -> None:
    frames = int(dataset.get("NumberOfFrames") or 1)
    samples = int(dataset.get("SamplesPerPixel", 1))
    pixels = int(dataset.Rows) * int(dataset.Columns)
    grey = str(dataset.PhotometricInterpretation) in ("MONOCHROME1", "MONOCHROME2")
    identifies = str(dataset.get("BurnedInAnnotation", "")).strip() == "YES"
    for holds, problem, advice in (
        (frames > 1, f"holds {frames} frames", "give one frame"),
        (samples != 1 or not grey, "is not grey", "give a MONOCHROME1 or MONOCHROME2 image"),
        ("PixelData" not in dataset, "holds no picture", "give one with pixel data"),
        (not 0 < pixels <= MOST_PIXELS, f"has {pixels} pixels", f"give 1 to {MOST_PIXELS}"),
        (identifies, "says that text in the picture identifies somebody", "give a copy without it"),
    ):
        if holds:
            raise DicomFileError(name, problem, advice)


def _grey_levels(name: str, dataset: Dataset) -> tuple[int, NDArray[np.uint16], tuple[str, ...]]:
    """Bits, values with 0 black, and caveats."""
    if frame_is_another_size(dataset):
        problem = "holds a packed picture of another size than it states"
        raise DicomFileError(name, problem, "export it anew, uncompressed")
    try:
        stored = dataset.pixel_array
    except (NotImplementedError, RuntimeError):
        problem = "is compressed in a way that cannot be decoded here"
        raise DicomFileError(name, problem, "export it uncompressed") from None
    rescaled = np.asarray(apply_modality_lut(stored, dataset))
    signed = bool(dataset.PixelRepresentation)
    if rescaled.min() == rescaled.max() and stored.min() != stored.max():
        problem = "makes one level of all (its Rescale Slope is 0, or its table flat)"
        raise DicomFileError(name, problem, "export it anew")
    bits, values, caveats = _whole_levels(stored, rescaled, int(dataset.BitsStored), signed=signed)
    inverted = str(dataset.PhotometricInterpretation) == "MONOCHROME1"
    return bits, (np.uint16((1 << bits) - 1) - values if inverted else values), caveats


def _whole_levels(
    stored: NDArray[np.generic], rescaled: NDArray[np.generic], bits: int, *, signed: bool
) -> tuple[int, NDArray[np.uint16], tuple[str, ...]]:
    low, high = float(rescaled.min()), float(rescaled.max())
    if low >= 0 and high <= 0xFFFF and _are_whole(rescaled):
        return max(bits, int(high).bit_length()), rescaled.astype(np.uint16), ()
    shift = 1 << (bits - 1) if signed else 0
    kept = stored.astype(np.int32) + shift
    lightest, darkest = (float(rescaled.flat[at]) for at in (stored.argmax(), stored.argmin()))
    if lightest < darkest:  # a negative slope
        kept = (1 << bits) - 1 - kept
    return bits, kept.astype(np.uint16), (LEVELS_KEPT,)


def _are_whole(levels: NDArray[np.generic]) -> bool:
    """Whether all levels are whole numbers, looked at row by row to spare memory."""
    if np.issubdtype(levels.dtype, np.integer):
        return True
    return all(bool((row == np.rint(row)).all()) for row in levels)


def _attributes(dataset: Dataset) -> dict[str, str]:
    """Values that are among those the standard allows; anything else may be an identity."""
    found: dict[str, str] = {}
    for keyword, (name, pattern) in ATTRIBUTES.items():
        value = dataset.get(keyword)
        text = value if isinstance(value, str) else "\\".join(str(part) for part in value or ())
        if pattern.fullmatch(text):
            found[name] = text
    return found


__all__ = ["DicomFileError", "decode_dicom", "study_pseudonym"]
