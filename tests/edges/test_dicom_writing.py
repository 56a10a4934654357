"""Simulated films as DICOM: valid by an outside checker, read back alike, nobody's."""

import os
import shutil
import subprocess
from pathlib import Path

import numpy as np
import pydicom
import pytest

from bitewright.dicom.read import decode_dicom
from bitewright.dicom.write import IntraoralFacts, dicom_bytes, tooth_codes

PIXELS = np.arange(60 * 80, dtype=np.uint16).reshape(60, 80) * 13
IS_CI = os.environ.get("CI", "").lower() == "true"


def facts(**changed: object) -> IntraoralFacts:
    usual: dict[str, object] = {
        "view": "right premolar",
        "side": "right",
        "teeth": (13, 14, 15, 16, 43, 44, 45, 46),
        "receptor": "plate",
        "pixel_mm": 0.03,
        "source_to_receptor_mm": 360.0,
        "source_to_skin_mm": 300.0,
        "magnification": 1.035,
        "kv": 65.0,
        "exposure_uas": 1400,
        "kerma_at_end_mgy": 1.2,
        "focal_spot_mm": 0.4,
        "comments": "ring_offset_deg 3, vertical_deg 5",
    }
    return IntraoralFacts(**(usual | changed))  # type: ignore[arg-type]


def written(folder: Path, *, for_processing: bool = False, **changed: object) -> Path:
    path = folder / "film.dcm"
    path.write_bytes(dicom_bytes(PIXELS, facts(**changed), for_processing=for_processing))
    return path


@pytest.mark.parametrize("for_processing", [False, True])
@pytest.mark.parametrize("receptor", ["film", "plate", "sensor"])
@pytest.mark.parametrize("side", ["right", "left"])
def test_an_outside_checker_finds_no_error(
    tmp_path: Path, receptor: str, side: str, *, for_processing: bool
) -> None:
    """`dciodvfy` of Debian's dicom3tools checks an object against the standard's modules."""
    checker = shutil.which("dciodvfy")
    if checker is None:
        reason = "platform: no dciodvfy here; Debian has it in dicom3tools"
        if IS_CI:
            pytest.fail(reason)
        pytest.skip(reason)
    quadrants = (1, 4) if side == "right" else (2, 3)
    teeth = tuple(10 * q + place for q in quadrants for place in (4, 5, 6))
    path = written(
        tmp_path, for_processing=for_processing, receptor=receptor, side=side, teeth=teeth
    )
    told = subprocess.run([checker, str(path)], capture_output=True, text=True, check=False)  # noqa: S603
    said = told.stdout + told.stderr
    assert "Error" not in said, said
    assert "IntraoralImageFor" in said


def test_it_reads_back_with_pixels_size_and_side(tmp_path: Path) -> None:
    back = decode_dicom(written(tmp_path).read_bytes(), name="film.dcm")
    assert np.array_equal(back.pixels, PIXELS)
    assert back.pixel_mm == pytest.approx(0.03)
    assert back.attributes["image_laterality"] == "R"
    assert back.attributes["quality_control_image"] == "YES"


def test_it_says_simulated_and_looks_like_no_patient(tmp_path: Path) -> None:
    dataset = pydicom.dcmread(written(tmp_path))
    for keyword in ("PatientName", "PatientID", "StudyDescription", "ImageComments"):
        assert "SIMULATED" in str(dataset[keyword].value)
    for keyword in ("PatientBirthDate", "PatientSex", "StudyDate", "ReferringPhysicianName"):
        assert not dataset[keyword].value
    assert dataset.QualityControlImage == "YES"


def test_geometry_and_teeth_are_told(tmp_path: Path) -> None:
    dataset = pydicom.dcmread(written(tmp_path))
    assert float(dataset.DistanceSourceToDetector) == 360.0
    assert [float(v) for v in dataset.DetectorActiveDimensions] == [1.8, 2.4]
    assert len(dataset.PrimaryAnatomicStructureSequence) == 8
    assert list(dataset.PatientOrientation) == ["A", "F"]
    turned = pydicom.dcmread(written(tmp_path, is_mirrored=True))
    assert list(turned.PatientOrientation) == ["P", "F"]
    assert int(dataset.ExposureInuAs) == 1400


def test_tooth_codes_are_one_for_each_permanent_tooth() -> None:
    codes = tooth_codes()
    assert sorted(codes) == [10 * q + place for q in (1, 2, 3, 4) for place in range(1, 9)]
    assert len({value for value, _ in codes.values()}) == 32
    assert codes[16][1] == "Maxillary right first molar tooth"


def test_the_same_film_has_the_same_identifiers(tmp_path: Path) -> None:
    one, two = (pydicom.dcmread(written(tmp_path)).SOPInstanceUID for _ in range(2))
    other = pydicom.dcmread(written(tmp_path, view="left-molar")).SOPInstanceUID
    assert one == two != other
