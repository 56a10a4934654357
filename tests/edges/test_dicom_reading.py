"""DICOM in: grey levels, the receptor's pixel size, sides; never an identity."""

import tracemalloc
from io import BytesIO
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image
from pydicom.dataset import Dataset, FileMetaDataset
from pydicom.encaps import encapsulate
from pydicom.uid import (
    JPEG2000,
    UID,
    DeflatedExplicitVRLittleEndian,
    ExplicitVRLittleEndian,
    JPEGBaseline8Bit,
    JPEGLossless,
    RLELossless,
)

from bitewright.dicom.read import SOP_CLASSES, DicomFileError, decode_dicom
from bitewright.dicom.spacing import SpacingError
from bitewright.dicom.unpacked_size import MOST_BYTES
from bitewright.marking.raw_image import RawImage

INTRA_ORAL = "1.2.840.10008.5.1.4.1.1.1.3"
LEVELS = np.random.default_rng(3).integers(0, 4096, (20, 30)).astype(np.uint16)
IDENTITY = {
    "PatientName": "Doe^Jane",
    "PatientID": "SECRET-17",
    "PatientBirthDate": "19700131",
    "InstitutionName": "Nowhere Clinic",
    "ReferringPhysicianName": "Roe^Richard",
}


def dataset(**changed: Any) -> Dataset:
    """An invented intra-oral image; a change to None removes that element."""
    made = Dataset()
    made.file_meta = FileMetaDataset()
    made.file_meta.TransferSyntaxUID = ExplicitVRLittleEndian
    usual: dict[str, Any] = {
        "SOPClassUID": INTRA_ORAL,
        "SOPInstanceUID": "1.2.3.4",
        "Modality": "IO",
        "ImageLaterality": "R",
        "PatientOrientation": ["A", "F"],
        "Rows": LEVELS.shape[0],
        "Columns": LEVELS.shape[1],
        "SamplesPerPixel": 1,
        "PhotometricInterpretation": "MONOCHROME2",
        "BitsAllocated": 16,
        "BitsStored": 12,
        "HighBit": 11,
        "PixelRepresentation": 0,
        "ImagerPixelSpacing": [0.02, 0.02],
        "RescaleIntercept": 0,
        "RescaleSlope": 1,
        "PixelData": LEVELS.astype("<u2").tobytes(),
    }
    for keyword, value in (usual | IDENTITY | changed).items():
        if value is not None:
            setattr(made, keyword, value)
    return made


def saved(folder: Path, made: Dataset | None = None, **changed: Any) -> Path:
    made = dataset(**changed) if made is None else made
    made.file_meta.MediaStorageSOPClassUID = UID(str(made.get("SOPClassUID", INTRA_ORAL)))
    made.file_meta.MediaStorageSOPInstanceUID = UID("1.2.3.4")
    path = folder / "a.dcm"
    made.save_as(path, enforce_file_format=True)
    return path


def decoded(path: Path) -> RawImage:
    return decode_dicom(path.read_bytes(), name=path.name)


@pytest.mark.parametrize("sop_class", SOP_CLASSES)
def test_grey_levels_pixel_size_and_sides(tmp_path: Path, sop_class: str) -> None:
    image = decoded(saved(tmp_path, SOPClassUID=sop_class))
    np.testing.assert_array_equal(image.pixels, LEVELS)
    assert (image.bits, image.pixel_mm, image.caveats) == (12, 0.02, ())
    assert image.attributes == {
        "modality": "IO",
        "image_laterality": "R",
        "patient_orientation": "A\\F",
    }


def test_monochrome1_is_turned_round(tmp_path: Path) -> None:
    image = decoded(saved(tmp_path, PhotometricInterpretation="MONOCHROME1"))
    np.testing.assert_array_equal(image.pixels, 4095 - LEVELS)


def test_run_length_encoding_is_read(tmp_path: Path) -> None:
    made = dataset()
    made.file_meta.TransferSyntaxUID = ExplicitVRLittleEndian
    made.compress(RLELossless)
    np.testing.assert_array_equal(decoded(saved(tmp_path, made)).pixels, LEVELS)


def test_eight_bits(tmp_path: Path) -> None:
    low = (LEVELS >> 4).astype(np.uint8)
    path = saved(tmp_path, BitsAllocated=8, BitsStored=8, HighBit=7, PixelData=low.tobytes())
    image = decoded(path)
    np.testing.assert_array_equal(image.pixels, low)
    assert image.bits == 8


def test_a_rescale_to_whole_numbers_is_applied(tmp_path: Path) -> None:
    image = decoded(saved(tmp_path, RescaleSlope=2, RescaleIntercept=100))
    np.testing.assert_array_equal(image.pixels, 2 * LEVELS + 100)
    assert image.bits == 14


@pytest.mark.parametrize(("slope", "intercept"), [(0.5, 0), (1, -1000), (100, 0)])
def test_any_other_rescale_is_left_out_and_it_is_said(
    tmp_path: Path, slope: float, intercept: float
) -> None:
    image = decoded(saved(tmp_path, RescaleSlope=slope, RescaleIntercept=intercept))
    np.testing.assert_array_equal(image.pixels, LEVELS)
    assert "rescaling" in image.caveats[0]


def test_a_falling_rescale_turns_dark_to_light(tmp_path: Path) -> None:
    image = decoded(saved(tmp_path, RescaleSlope=-1, RescaleIntercept=0))
    np.testing.assert_array_equal(image.pixels, 4095 - LEVELS)


def test_signed_levels_keep_their_order(tmp_path: Path) -> None:
    signed = LEVELS.astype(np.int16) - 2048
    path = saved(tmp_path, PixelRepresentation=1, PixelData=signed.astype("<i2").tobytes())
    np.testing.assert_array_equal(decoded(path).pixels, LEVELS)


BARE = {"ImagerPixelSpacing": None}
SCANNED = {"NominalScannedPixelSpacing": [0.04, 0.04]}
OBJECT = {"PixelSpacing": [0.03, 0.03]}


@pytest.mark.parametrize(
    ("changed", "pixel_mm", "caveat"),
    [
        (OBJECT, 0.02, None),
        (BARE, None, None),
        (BARE | SCANNED | OBJECT, 0.04, None),
        (BARE | OBJECT, 0.03, "does not say where"),
        (BARE | OBJECT | {"PixelSpacingCalibrationType": "GEOMETRY"}, None, "to the object"),
        (BARE | OBJECT | {"PixelSpacingCalibrationType": "FIDUCIAL"}, None, "to the object"),
        ({"ImagerPixelSpacing": [0.35, 0.35]}, None, "no intraoral receptor"),
    ],
)
def test_the_pixel_size_is_the_receptors(
    tmp_path: Path, changed: dict[str, Any], pixel_mm: float | None, caveat: str | None
) -> None:
    image = decoded(saved(tmp_path, **changed))
    assert image.pixel_mm == pixel_mm
    assert [caveat in text for text in image.caveats if caveat] == ([True] if caveat else [])
    assert bool(image.caveats) is (caveat is not None)


def test_a_calibrated_size_is_passed_on_as_such(tmp_path: Path) -> None:
    path = saved(tmp_path, PixelSpacing=[0.03, 0.03], PixelSpacingCalibrationType="GEOMETRY")
    attributes = decoded(path).attributes
    assert attributes["calibrated_pixel_mm"] == "0.03"
    assert attributes["calibration_type"] == "GEOMETRY"


@pytest.mark.parametrize(
    "changed",
    [
        {"ImagerPixelSpacing": [0.02, 0.03]},
        {"ImagerPixelSpacing": [0.0, 0.0]},
        {"PixelSpacing": [0.02, 0.03]},
        {"PixelAspectRatio": [1, 2]},
    ],
)
def test_pixels_that_are_not_square_are_refused(tmp_path: Path, changed: dict[str, Any]) -> None:
    with pytest.raises(SpacingError, match="square pixels"):
        decoded(saved(tmp_path, **changed))


def test_no_identity_leaves_the_reader(tmp_path: Path) -> None:
    path = saved(tmp_path, ImageLaterality="DOE JANE", PatientOrientation=["DOE", "JANE"])
    image = decoded(path)
    said = " ".join([image.source, *image.caveats, *image.attributes.values()]).lower()
    for secret in ("doe", "jane", "secret", "1970", "clinic", "roe"):
        assert secret not in said
    assert image.attributes == {"modality": "IO"}


def test_which_facts_of_a_patient_are_filled_in_is_told_and_not_what_they_are(
    tmp_path: Path,
) -> None:
    assert decoded(saved(tmp_path)).names_patient == ("name", "ID", "birth date")
    nobody = dict.fromkeys(("PatientName", "PatientID", "PatientBirthDate"), "")
    assert decoded(saved(tmp_path, **nobody)).names_patient == ()
    assert decoded(saved(tmp_path, **nobody, PatientAddress="x")).names_patient == ("address",)
    assert decoded(saved(tmp_path, deflated(dataset()))).names_patient[0] == "name"


@pytest.mark.parametrize(
    ("changed", "problem"),
    [
        ({"NumberOfFrames": 2, "PixelData": bytes(2 * LEVELS.nbytes)}, "2 frames"),
        (
            {
                "SamplesPerPixel": 3,
                "PlanarConfiguration": 0,
                "PhotometricInterpretation": "RGB",
            },
            "not grey",
        ),
        ({"PhotometricInterpretation": "PALETTE COLOR"}, "not grey"),
        ({"SOPClassUID": "1.2.840.10008.5.1.4.1.1.2"}, "another kind"),
        ({"SOPClassUID": None}, "another kind"),
        ({"PixelData": None}, "no picture"),
        ({"Rows": None}, "damaged"),
        ({"Rows": 21}, "damaged"),
        ({"BitsStored": None}, "damaged"),
        ({"BurnedInAnnotation": "YES"}, "identifies somebody"),
    ],
)
def test_what_is_no_film_is_refused(tmp_path: Path, changed: dict[str, Any], problem: str) -> None:
    with pytest.raises(DicomFileError, match=problem) as caught:
        decoded(saved(tmp_path, **changed))
    assert str(caught.value).endswith(".")
    assert "Doe" not in str(caught.value)


def test_a_compression_that_cannot_be_decoded_is_said(tmp_path: Path) -> None:
    made = dataset(PixelData=encapsulate([b"\xff\xd8\xff\xc3" + bytes(40)]))
    made["PixelData"].is_undefined_length = True
    made.file_meta.TransferSyntaxUID = JPEGLossless
    with pytest.raises(DicomFileError, match=r"compressed|damaged"):
        decoded(saved(tmp_path, made))


def test_one_level_for_all_is_refused(tmp_path: Path) -> None:
    with pytest.raises(DicomFileError, match="makes one level of all"):
        decoded(saved(tmp_path, RescaleSlope=0))


def deflated(made: Dataset) -> Dataset:
    made.file_meta.TransferSyntaxUID = DeflatedExplicitVRLittleEndian
    return made


def test_a_deflated_file_is_read_and_one_without_end_is_not_inflated(tmp_path: Path) -> None:
    sound = decoded(saved(tmp_path, deflated(dataset())))
    np.testing.assert_array_equal(sound.pixels, LEVELS)
    made = deflated(dataset())
    made.add_new((0x0011, 0x0010), "LO", "OURS")
    made.add_new((0x0011, 0x1001), "OB", bytes(MOST_BYTES))
    path = saved(tmp_path, made)
    assert path.stat().st_size < 200_000
    tracemalloc.start()
    try:
        with pytest.raises(DicomFileError, match="once unpacked"):
            decoded(path)
        assert tracemalloc.get_traced_memory()[1] < 3 * MOST_BYTES
    finally:
        tracemalloc.stop()


def packed(syntax: UID, frame: bytes, **changed: Any) -> Dataset:
    made = dataset(PixelData=encapsulate([frame]), **changed)
    made["PixelData"].is_undefined_length = True
    made.file_meta.TransferSyntaxUID = syntax
    return made


EIGHT = {"BitsAllocated": 8, "BitsStored": 8, "HighBit": 7}


@pytest.mark.parametrize(("syntax", "kind"), [(JPEGBaseline8Bit, "JPEG"), (JPEG2000, "JPEG2000")])
def test_a_packed_picture_of_another_size_is_not_unpacked(
    tmp_path: Path, syntax: UID, kind: str
) -> None:
    for rows in (LEVELS.shape[0], 2000):
        file = BytesIO()
        Image.new("L", (LEVELS.shape[1], rows), 99).save(file, kind)
        path = saved(tmp_path, packed(syntax, file.getvalue(), **EIGHT))
        if rows == LEVELS.shape[0]:
            assert abs(int(decoded(path).pixels.max()) - 99) <= 2
            continue
        with pytest.raises(DicomFileError, match="another size"):
            decoded(path)


def test_a_damaged_file_of_jpeg_2000_in_a_dicom_file_does_not_go_round_for_ever(
    tmp_path: Path,
) -> None:
    file = BytesIO()
    Image.new("L", LEVELS.shape[::-1], 99).save(file, "JPEG2000", no_jp2=False)
    frame = bytearray(file.getvalue())
    assert frame.startswith(b"\0\0\0\x0cjP  ")
    frame[12:16] = bytes(4)
    with pytest.raises(DicomFileError, match="damaged"):
        decoded(saved(tmp_path, packed(JPEG2000, bytes(frame), **EIGHT)))


@pytest.mark.parametrize("runs", [4, 100_000])
def test_runs_of_more_bytes_than_pixels_are_not_unpacked(tmp_path: Path, runs: int) -> None:
    head = (1).to_bytes(4, "little") + (64).to_bytes(4, "little") + bytes(56)
    frame = head + b"\x81\x07" * runs + (b"\xa9\x07" if runs == 4 else b"")
    path = saved(tmp_path, packed(RLELossless, frame, **EIGHT))
    if runs == 4:
        assert (decoded(path).pixels == 7).all()
        return
    with pytest.raises(DicomFileError, match="another size"):
        decoded(path)


@pytest.mark.parametrize("content", [b"", b"not DICOM" * 40, bytes(128) + b"DICM"])
def test_other_files_are_refused(tmp_path: Path, content: bytes) -> None:
    (tmp_path / "a.dcm").write_bytes(content)
    with pytest.raises(DicomFileError, match=r"is not one|damaged|another kind"):
        decoded(tmp_path / "a.dcm")


@pytest.mark.parametrize("share", [0.2, 0.5, 0.9])
def test_a_file_cut_short_is_refused(tmp_path: Path, share: float) -> None:
    whole = saved(tmp_path).read_bytes()
    (tmp_path / "cut.dcm").write_bytes(whole[: int(share * len(whole))])
    with pytest.raises(DicomFileError):
        decoded(tmp_path / "cut.dcm")
