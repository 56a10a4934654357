"""Save and load are identities, and damaged files are refused, never misread as a crash."""

import tempfile
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import trimesh
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra import numpy as hnp
from numpy.typing import NDArray
from PIL import Image
from pydicom.dataset import Dataset, FileMetaDataset
from pydicom.uid import UID, ExplicitVRLittleEndian

from bitewright.dicom.read import decode_dicom
from bitewright.equipment import (
    Confidence,
    Receptor,
    ReceptorKind,
    catalogue_from_mapping,
    catalogue_to_mapping,
    packaged_catalogue,
)
from bitewright.equipment.catalogue import Catalogue
from bitewright.errors import BitewrightError
from bitewright.files.images import read_image, write_image
from bitewright.files.marks_file import read_marks, write_marks
from bitewright.files.toml_files import read_toml, write_toml
from bitewright.marking.marks import FilmRemark, Mark, MarkedFilm, MarkStatus, Mounting
from bitewright.mouth.landmark_names import Feature, Surface, SurfaceLandmark
from bitewright.mouth.numbering import ALL_TEETH
from trials.meshes import read_mesh

PIXEL_MM_TOLERANCE = 1e-4
slugs = st.from_regex(r"[a-z0-9]{1,6}(-[a-z0-9]{1,6}){0,2}", fullmatch=True)
kept = st.characters(exclude_categories=["Cs", "Cc"])  # no half characters, none that control
texts = st.none() | st.text(kept, min_size=1, max_size=30)
codes = st.none() | slugs
spreads = st.none() | st.floats(1e-6, 5.0)
landmarks = st.builds(
    lambda t, s, f: str(SurfaceLandmark(tooth=t, surface=s, feature=f)),
    st.sampled_from(ALL_TEETH),
    st.sampled_from(Surface),
    st.sampled_from(Feature),
)


def marks(columns: int, rows: int) -> st.SearchStrategy[Mark]:
    seen = st.builds(Mark, x_px=st.floats(0, columns), y_px=st.floats(0, rows), sd_mm=spreads)
    unseen = st.builds(Mark, status=st.sampled_from([MarkStatus.HIDDEN, MarkStatus.OUTSIDE]))
    return seen | unseen


@st.composite
def films(draw: st.DrawFn) -> MarkedFilm:
    columns, rows = draw(st.integers(1, 100_000)), draw(st.integers(1, 100_000))
    return MarkedFilm(
        image_name=draw(slugs),
        image_sha256=draw(st.none() | st.from_regex(r"[0-9a-f]{64}", fullmatch=True)),
        columns=columns,
        rows=rows,
        view=draw(slugs),
        receptor=draw(codes),
        pixel_mm=draw(st.none() | st.floats(0.005, 0.2)),
        mounting=draw(st.sampled_from(Mounting)),
        mark_sd_mm=draw(spreads),
        marks=draw(st.dictionaries(landmarks, marks(columns, rows), max_size=5)),
        observations=tuple(
            draw(st.lists(st.builds(FilmRemark, name=slugs, note=texts), max_size=2))
        ),
        note=draw(texts),
        marked_by=draw(codes),
    )


@given(films())
@settings(max_examples=60)
def test_marks_come_back_equal(film: MarkedFilm) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "a.json"
        write_marks(path, film)
        assert read_marks(path) == film


@st.composite
def receptors(draw: st.DrawFn) -> Receptor:
    short = draw(st.floats(12, 60))
    long = draw(st.floats(max(short, 15), 90))
    sides = {}
    for axis, outer in (("long", long), ("short", short)):
        offset = draw(st.floats(-1.5, 1.5))
        sides[f"active_offset_{axis}_mm"] = offset
        sides[f"active_{axis}_mm"] = draw(st.floats(8, outer - 2 * abs(offset)))
    thickness = draw(st.floats(0.2, 15))
    kind = draw(st.sampled_from(ReceptorKind))
    return Receptor(
        name=draw(slugs),
        kind=kind,
        size=draw(st.integers(0, 4)),
        outer_long_mm=long,
        outer_short_mm=short,
        thickness_mm=thickness,
        active_depth_mm=draw(st.floats(0, thickness)),
        corner_radius_mm=draw(st.floats(0, 4)),
        pixel_mm=draw(st.floats(0.005, 0.2)),
        flex_mm=0.0 if kind is ReceptorKind.SENSOR else draw(st.floats(0, 10)),
        source=draw(st.text("abc \n\"'\\#é", min_size=1).filter(str.strip)),
        confidence=draw(st.sampled_from(Confidence)),
        **sides,
    )


@given(receptors())
@settings(max_examples=60)
def test_equipment_comes_back_equal_from_its_file(receptor: Receptor) -> None:
    own = Catalogue(receptors={receptor.name: receptor}, tubes=packaged_catalogue().tubes)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "a.toml"
        write_toml(path, catalogue_to_mapping(own))
        assert catalogue_from_mapping(read_toml(path)) == own


@given(
    hnp.arrays(np.uint16, hnp.array_shapes(min_dims=2, max_dims=2, max_side=40)),
    st.none() | st.floats(0.005, 0.2),
    st.sampled_from([".png", ".tif"]),
)
@settings(max_examples=80)
def test_images_come_back_alike(
    pixels: NDArray[np.uint16], pixel_mm: float | None, ending: str
) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / f"a{ending}"
        write_image(path, pixels, pixel_mm=pixel_mm, description="SIMULATED")
        image = read_image(path)
    np.testing.assert_array_equal(image.pixels, pixels)
    assert (image.pixel_mm is None) is (pixel_mm is None)
    assert (image.pixel_mm or 0) == pytest.approx(pixel_mm or 0, abs=PIXEL_MM_TOLERANCE)


damage = st.lists(st.tuples(st.floats(0, 1), st.integers(0, 255)), min_size=1, max_size=12)


@pytest.mark.parametrize("kind", ["png", "tif", "jpg", "dcm", "stl", "obj", "json", "toml"])
@given(data=st.data())
@settings(max_examples=60)
def test_a_damaged_file_is_refused_or_read(
    kind: str, data: st.DataObject, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Flipped bytes either do no harm or give one of our sentences; nothing else gets out."""
    folder = tmp_path_factory.getbasetemp()
    sound = sound_file(kind, folder)
    content = bytearray(sound)
    for place, value in data.draw(damage):
        content[int(place * (len(content) - 1))] = value
    cut = data.draw(st.integers(0, len(content)))
    path = folder / f"damaged.{kind}"
    path.write_bytes(bytes(content[:cut] if cut > len(content) // 2 else content))
    message = "read."
    try:
        READERS[kind](path)
    except BitewrightError as error:
        message = str(error)
    assert message.endswith(".")
    assert message.isprintable()


READERS: dict[str, Callable[[Path], Any]] = {
    "png": read_image,
    "tif": read_image,
    "jpg": read_image,
    "dcm": lambda path: decode_dicom(path.read_bytes(), name=path.name),
    "stl": read_mesh,
    "obj": read_mesh,
    "json": read_marks,
    "toml": lambda path: packaged_catalogue().with_entries(read_toml(path)),
}


def sound_file(kind: str, folder: Path) -> bytes:
    """The bytes of a small sound file of each kind, made once."""
    path = folder / f"sound.{kind}"
    if not path.exists():
        MAKERS[kind](path)
    return path.read_bytes()


def _dicom(path: Path) -> None:
    made = Dataset()
    made.file_meta = FileMetaDataset()
    made.file_meta.TransferSyntaxUID = ExplicitVRLittleEndian
    made.file_meta.MediaStorageSOPClassUID = UID("1.2.840.10008.5.1.4.1.1.1.3")
    made.file_meta.MediaStorageSOPInstanceUID = UID("1.2.3.4")
    fields: dict[str, Any] = {
        "SOPClassUID": "1.2.840.10008.5.1.4.1.1.1.3",
        "ImageLaterality": "L",
        "PatientOrientation": ["A", "F"],
        "Rows": GREY.shape[0],
        "Columns": GREY.shape[1],
        "SamplesPerPixel": 1,
        "PhotometricInterpretation": "MONOCHROME1",
        "BitsAllocated": 8,
        "BitsStored": 8,
        "HighBit": 7,
        "PixelRepresentation": 0,
        "ImagerPixelSpacing": [0.02, 0.02],
        "PixelData": GREY.tobytes(),
    }
    for keyword, value in fields.items():
        setattr(made, keyword, value)
    made.save_as(path, enforce_file_format=True)


def _mesh(path: Path) -> None:
    trimesh.creation.box([4.0, 5.0, 6.0]).export(path)


GREY = np.random.default_rng(2).integers(0, 256, (12, 14)).astype(np.uint8)
MAKERS: dict[str, Callable[[Path], Any]] = {
    "png": lambda path: write_image(
        path, GREY.astype(np.uint16), pixel_mm=0.02, description="SIMULATED"
    ),
    "tif": lambda path: write_image(
        path, GREY.astype(np.uint16), pixel_mm=0.02, description="SIMULATED"
    ),
    "jpg": lambda path: Image.fromarray(GREY).save(path, "JPEG", dpi=(600, 600)),
    "dcm": _dicom,
    "stl": _mesh,
    "obj": _mesh,
    "json": lambda path: write_marks(
        path,
        MarkedFilm(
            image_name="a.png",
            columns=9,
            rows=9,
            view="left-molar",
            marks={"26.mesial": Mark(x_px=1.5, y_px=2.5)},
        ),
    ),
    "toml": lambda path: write_toml(
        path,
        catalogue_to_mapping(
            Catalogue(receptors={"o": replace(packaged_catalogue().receptor("sensor-2"), name="o")})
        ),
    ),
}
