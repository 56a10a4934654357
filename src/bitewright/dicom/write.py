"""Write a simulated film as a DICOM Digital Intra-Oral X-Ray Image (PS3.3 A.28).

For Presentation holds the displayed grey, For Processing the receptor's signal, linear in exposure.
Every object says SIMULATED in its description and comments, names a patient nobody could have, and
is a quality control image. What is written and why: docs/dicom-conformance.md.
"""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from io import BytesIO
from typing import Any
from uuid import UUID, uuid5

import numpy as np
from numpy.typing import NDArray
from pydicom.dataset import Dataset, FileMetaDataset
from pydicom.uid import UID, ExplicitVRLittleEndian

from bitewright import __version__

FOR_PRESENTATION = "1.2.840.10008.5.1.4.1.1.1.3"
FOR_PROCESSING = "1.2.840.10008.5.1.4.1.1.1.3.1"
NAMESPACE = UUID("6f0a4b0e-6a59-4d0e-9a5b-6d2f6b1c7a11")
IMPLEMENTATION = "2.25.147525372930516046925474316271180153617"
JAW_REGION = ("661005", "Jaw region structure")
LATERALITY = {"right": "R", "left": "L"}
DETECTORS = {"film": "FILM", "plate": "STORAGE", "sensor": "SCINTILLATOR"}


@dataclass(frozen=True, slots=True, kw_only=True)
class IntraoralFacts:
    """What a simulated film's object says beside its pixels.

    Parameters
    ----------
    view : str
        As shown, such as "right premolar".
    side : str
        "right" or "left", the patient's.
    teeth : tuple of int
        ISO 3950 codes the view is for.
    receptor : str
        Its kind: "film", "plate" or "sensor".
    pixel_mm : float
        At the receptor. [mm]
    source_to_receptor_mm : float
        Along the central ray. [mm]
    source_to_skin_mm : float
        Focal spot to the tube's end. [mm]
    magnification : float
        Of the teeth. [ratio]
    kv : float
        [kV]
    exposure_uas : int or None
        Tube current times time, where it was given. [uAs]
    kerma_at_end_mgy : float
        Air kerma at the tube's end. [mGy]
    focal_spot_mm : float
        [mm]
    is_mirrored : bool
        Whether the receptor was exposed through its back.
    comments : str
        How it was made.
    """

    view: str
    side: str
    teeth: tuple[int, ...]
    receptor: str
    pixel_mm: float
    source_to_receptor_mm: float
    source_to_skin_mm: float
    magnification: float
    kv: float
    exposure_uas: int | None
    kerma_at_end_mgy: float
    focal_spot_mm: float
    is_mirrored: bool = False
    comments: str = ""


def dicom_bytes(
    pixels: NDArray[np.uint16], facts: IntraoralFacts, *, for_processing: bool = False
) -> bytes:
    """A whole DICOM file.

    Parameters
    ----------
    pixels : (rows, columns) uint16 array
        Displayed grey, 0 black; for processing the signal, 0 none.
    facts : IntraoralFacts
    for_processing : bool
    """
    made = Dataset()
    for part in (
        _patient_and_study(pixels, facts),
        _series(facts, for_processing=for_processing),
        _anatomy(facts),
        _detector(pixels, facts),
        _positioning(facts),
        _generation(facts),
        _image(pixels, facts, for_processing=for_processing),
    ):
        made.update(_dataset(part))
    made.file_meta = FileMetaDataset()
    made.file_meta.TransferSyntaxUID = ExplicitVRLittleEndian
    made.file_meta.MediaStorageSOPClassUID = made.SOPClassUID
    made.file_meta.MediaStorageSOPInstanceUID = made.SOPInstanceUID
    made.file_meta.ImplementationClassUID = UID(IMPLEMENTATION)
    made.file_meta.ImplementationVersionName = f"BITEWRIGHT_{__version__}"[:16]
    file = BytesIO()
    made.save_as(file, enforce_file_format=True)
    return file.getvalue()


def _dataset(elements: Mapping[str, Any]) -> Dataset:
    made = Dataset()
    for keyword, value in elements.items():
        setattr(made, keyword, value)
    return made


def _uid(*of: object) -> str:
    return f"2.25.{uuid5(NAMESPACE, '|'.join(map(str, of))).int}"


def _patient_and_study(pixels: NDArray[np.uint16], facts: IntraoralFacts) -> dict[str, Any]:
    """Nobody's: type 2 elements are empty, and the name says what it is."""
    study = _uid("study", facts.comments, facts.view)
    return {
        "PatientName": "SIMULATED^NO PERSON",
        "PatientID": "SIMULATED",
        "PatientBirthDate": "",
        "PatientSex": "",
        "StudyInstanceUID": study,
        "StudyDate": "",
        "StudyTime": "",
        "StudyID": "SIMULATED",
        "AccessionNumber": "",
        "ReferringPhysicianName": "",
        "StudyDescription": "SIMULATED bitewing",
        "SOPInstanceUID": _uid(study, facts, pixels.tobytes()),
    }


def _series(facts: IntraoralFacts, *, for_processing: bool) -> dict[str, Any]:
    intent = "FOR PROCESSING" if for_processing else "FOR PRESENTATION"
    return {
        "SOPClassUID": FOR_PROCESSING if for_processing else FOR_PRESENTATION,
        "Modality": "IO",
        "SeriesInstanceUID": _uid("series", facts, intent),
        "SeriesNumber": 1,
        "SeriesDescription": f"SIMULATED {facts.view} bitewing",
        "PresentationIntentType": intent,
        "Manufacturer": "Bitewright (simulation)",
        "ManufacturerModelName": "Bitewright",
        "DeviceSerialNumber": "SIMULATED",
        "SoftwareVersions": __version__,
        "InstanceNumber": 1,
    }


def _code(value: str, scheme: str, meaning: str) -> Dataset:
    return _dataset({"CodeValue": value, "CodingSchemeDesignator": scheme, "CodeMeaning": meaning})


def _anatomy(facts: IntraoralFacts) -> dict[str, Any]:
    known = tooth_codes()
    return {
        "ImageLaterality": LATERALITY[facts.side],
        "AnatomicRegionSequence": [_code(JAW_REGION[0], "SCT", JAW_REGION[1])],
        "PrimaryAnatomicStructureSequence": [
            _code(known[tooth][0], "SCT", known[tooth][1]) for tooth in facts.teeth
        ],
    }


def _detector(pixels: NDArray[np.uint16], facts: IntraoralFacts) -> dict[str, Any]:
    rows, columns = pixels.shape
    return {
        "DetectorType": DETECTORS[facts.receptor],
        "DetectorConfiguration": "AREA",
        "DetectorDescription": f"SIMULATED generic {facts.receptor}",
        "DetectorActiveShape": "RECTANGLE",
        "DetectorActiveDimensions": [
            f"{rows * facts.pixel_mm:.3f}",
            f"{columns * facts.pixel_mm:.3f}",
        ],
        "ImagerPixelSpacing": [f"{facts.pixel_mm:.6g}", f"{facts.pixel_mm:.6g}"],
    }


def _positioning(facts: IntraoralFacts) -> dict[str, Any]:
    """Distances; technique angles have no settled meaning there and stand in the comments."""
    return {
        "PositionerType": "NONE",
        "DistanceSourceToDetector": f"{facts.source_to_receptor_mm:.1f}",
        "DistanceSourceToPatient": f"{facts.source_to_skin_mm:.1f}",
        "EstimatedRadiographicMagnificationFactor": f"{facts.magnification:.4f}",
    }


def _generation(facts: IntraoralFacts) -> dict[str, Any]:
    said: dict[str, Any] = {
        "KVP": f"{facts.kv:g}",
        "FocalSpots": f"{facts.focal_spot_mm:g}",
        "EntranceDoseInmGy": f"{facts.kerma_at_end_mgy:.4g}",
    }
    if facts.exposure_uas is not None:
        said["ExposureInuAs"] = facts.exposure_uas
    return said


def _image(
    pixels: NDArray[np.uint16], facts: IntraoralFacts, *, for_processing: bool
) -> dict[str, Any]:
    rows, columns = pixels.shape
    # As seen from the tube a right-side image has the front of the mouth on its right.
    to_right = "A" if (facts.side == "right") != facts.is_mirrored else "P"
    said: dict[str, Any] = {
        "ImageType": ["DERIVED", "PRIMARY"],
        "DerivationDescription": "SIMULATED: computed from a modelled mouth; nobody was exposed",
        "AcquisitionContextSequence": [],
        "PatientOrientation": [to_right, "F"],
        "ImageComments": f"SIMULATED by Bitewright. {facts.comments}"[:10240],
        "QualityControlImage": "YES",
        "BurnedInAnnotation": "NO",
        "LossyImageCompression": "00",
        "SamplesPerPixel": 1,
        "PhotometricInterpretation": "MONOCHROME2",
        "Rows": rows,
        "Columns": columns,
        "BitsAllocated": 16,
        "BitsStored": 16,
        "HighBit": 15,
        "PixelRepresentation": 0,
        "PixelIntensityRelationship": "LIN" if for_processing else "LOG",
        "PixelIntensityRelationshipSign": 1 if for_processing else -1,
        "RescaleIntercept": "0",
        "RescaleSlope": "1",
        "RescaleType": "US",
        "PresentationLUTShape": "IDENTITY",
        "PixelData": np.ascontiguousarray(pixels, dtype="<u2").tobytes(),
    }
    if not for_processing:
        said |= {"WindowCenter": "32768", "WindowWidth": "65536"}
    return said


@lru_cache(maxsize=1)
def tooth_codes() -> dict[int, tuple[str, str]]:
    """Code and meaning of every permanent tooth, by ISO 3950 code."""
    text = (files("bitewright.dicom") / "tables" / "tooth_codes.toml").read_text("utf-8")
    teeth = tomllib.loads(text)["teeth"]
    return {int(code): (value, meaning) for code, (value, meaning) in teeth.items()}


__all__ = ["FOR_PRESENTATION", "FOR_PROCESSING", "IntraoralFacts", "dicom_bytes", "tooth_codes"]
