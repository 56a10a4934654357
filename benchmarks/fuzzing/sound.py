"""Sound content of every format, made once in a folder: what the mutations begin from."""

import json
from dataclasses import dataclass, field
from io import BytesIO
from pathlib import Path
from typing import Any

import numpy as np
from PIL import Image
from pydicom.dataset import Dataset, FileMetaDataset
from pydicom.encaps import encapsulate
from pydicom.uid import (
    DeflatedExplicitVRLittleEndian,
    ExplicitVRBigEndian,
    ExplicitVRLittleEndian,
    ImplicitVRLittleEndian,
    JPEG2000Lossless,
    RLELossless,
)
from typer.testing import CliRunner

from bitewright.cli.main import app
from bitewright.equipment.catalogue import catalogue_to_mapping, packaged_catalogue
from bitewright.estimation.mouth_belief import population
from bitewright.estimation.mouth_prior import mean_mouth
from bitewright.exposing.scatter import Scatter
from bitewright.files.belief_file import belief_to_document
from bitewright.files.scatter_file import scatter_document
from bitewright.files.toml_files import toml_bytes
from bitewright.mouth.mouth_description import mouth_to_description
from bitewright.mouth.standard_mouth import standard_mouth

COLUMNS, ROWS = 205, 155
MARKS = {
    "format": "bitewright.marks/1",
    "image": {"file": "film.png", "columns": COLUMNS, "rows": ROWS},
    "view": "right-premolar",
    "receptor": "plate-2",
    "pixel_mm": 0.2,
    "mounting": "as-seen-from-the-tube",
    "mark_sd_mm": 0.1,
    "marks": {
        "13.distal": {"x_px": 176.0, "y_px": 45.0},
        "14.mesial": {"x_px": 177.0, "y_px": 56.0},
        "14.distal": {"x_px": 144.0, "y_px": 60.0},
        "15.mesial": {"x_px": 142.0, "y_px": 60.0, "sd_mm": 0.15},
        "15.mesial.crest": {"status": "hidden"},
        "15.distal": {"x_px": 110.0, "y_px": 61.0, "status": "seen"},
        "16.mesial": {"x_px": 109.0, "y_px": 61.0},
        "44.distal": {"x_px": 140.0, "y_px": 100.0},
        "45.mesial": {"x_px": 139.0, "y_px": 100.0},
    },
    "absent_teeth": [18],
    "observations": [{"name": "scratches", "note": "several"}],
    "note": "second reading",
    "marked_by": "R2",
}
PLAN = """format = "bitewright.audit-plan/1"
subject = "Bitewings of students"
reaudit = "2026-06"
[standard]
scheme = "uk-2001"
year = 2001
targets = { 1 = 0.7 }
[first_cycle]
date = "2025-03"
sample = "50 in a row"
grades = { 1 = 10, 2 = 33, 3 = 7 }
causes = ["overlap"]
[[actions]]
what = "checklist at the chair"
owner = "clinic lead"
by = "2025-05"
[second_cycle]
date = "2025-09"
sample = "50 in a row"
grades = { 1 = 27, 2 = 17, 3 = 6 }
"""
SCHEME = """format = "bitewright.own-scheme/1"
name = "ours"
title = "Ours"
year = 2024
source = "staff meeting"
best = "good"
targets = { good = 0.6, fair = 0.3, poor = 0.1 }
"""
MAPPING = """format = "bitewright.csv-mapping/1"
separator = ";"
decimal = ","
date = "day.month.year"
key_prefix = "paper-"
[columns]
key = "No"
day = "Date"
operator = "Who"
view = "View"
faults = "Fault"
fault_size = "mm"
decision = "Kept"
kind = "Sort"
retake_of = "Of"
[values.decision]
ja = "accepted"
nein = "rejected"
[constants]
supervisor = "T1"
"""
TABLE = """No;Date;Who;View;Fault;mm;Kept;Sort;Of
1;31.01.2026;S1;right molar;overlap;0,62;nein;;
2;31.01.2026;S1;right molar;;;ja;retake;1
3;1.2.2026;S2;left premolar;;;;extra view;
"""
SCATTER = Scatter(
    contact_error_deg=3.0,
    vertical_error_deg=1.0,
    forward_mm=0.5,
    height_mm=-0.5,
    covariance=np.diag([16.0, 9.0, 4.0, 2.0]),
)
RATINGS = "image,rater,grade\n1,A,1\n1,B,1\n2,A,2\n2,B,1\n3,A,3\n3,B,3\n"


@dataclass(frozen=True, slots=True, kw_only=True)
class Sound:
    """Sound content by format, all of it small."""

    films: dict[str, bytes]
    documents: dict[str, Any] = field(default_factory=dict)
    texts: dict[str, str] = field(default_factory=dict)
    files: dict[str, bytes] = field(default_factory=dict)


def sound_content(folder: Path) -> Sound:
    """Every format's content; what only commands make is made by them, in a folder."""
    store = folder / "sound.sqlite"
    _say("log", "add", "--operator", "S1", "--view", "right-molar", "--store", str(store))
    _say("log", "add", "--operator", "S2", "--view", "left-premolar", "--store", str(store))
    _say(
        "log",
        "correct",
        "1",
        "--set",
        "room=R1",
        "--why",
        "typo",
        "--by",
        "S1",
        "--store",
        str(store),
    )
    _say("log", "name", "set", "S1", "Somebody Invented", "--store", str(store))
    files = {}
    for ending in (".jsonl", ".csv", ".parquet"):
        _say("store", "export", str(folder / f"sound{ending}"), "--store", str(store))
        files[ending] = (folder / f"sound{ending}").read_bytes()
    files[".sqlite"] = store.read_bytes()
    _say("store", "backup", str(folder / "sound.zip"), "--store", str(store))
    files[".zip"] = (folder / "sound.zip").read_bytes()
    _say("audit", "school", "--out", str(folder / "school.csv"))
    school = (folder / "school.csv").read_text("utf-8-sig").splitlines(keepends=True)[:30]
    films = dict(_pictures() + _dicoms())
    (folder / "film.png").write_bytes(films["png8"])
    (folder / "marks.json").write_text(json.dumps(MARKS))
    told = _say(
        *("assess", str(folder / "film.png"), "--marks", str(folder / "marks.json"), "--json")
    )
    return Sound(
        films=films,
        documents={
            "marks": MARKS,
            "belief": belief_to_document(population(tuple(mean_mouth().teeth))),
            "scatter": scatter_document(SCATTER, operator="S1", assessed=40),
            "assessment": json.loads(told),
        },
        texts={
            "mouth": toml_bytes(mouth_to_description(standard_mouth()), name="m").decode(),
            "equipment": toml_bytes(catalogue_to_mapping(packaged_catalogue()), name="e").decode(),
            "plan": PLAN,
            "scheme": SCHEME,
            "mapping": MAPPING,
            "table": TABLE,
            "ratings": RATINGS,
            "school": "".join(school),
        },
        files=files,
    )


def _say(*arguments: str) -> str:
    answer = CliRunner().invoke(app, list(arguments))
    if answer.exit_code:
        raise RuntimeError(f"{arguments}: {answer.output} {answer.exception!r}")
    return answer.stdout


def _pictures() -> list[tuple[str, bytes]]:
    grey = np.tile(np.linspace(20, 230, COLUMNS).astype(np.uint8), (ROWS, 1))
    deep = grey.astype(np.uint16) * 257
    three = np.stack([grey] * 3, axis=2)
    made: list[tuple[str, Any, str, dict[str, Any]]] = [
        ("png8", grey, "PNG", {"dpi": (127, 127)}),
        ("png16", deep, "PNG", {}),
        ("png-rgb", three, "PNG", {}),
        ("jpeg", grey, "JPEG", {"dpi": (127, 127)}),
        ("jpeg-progressive", three, "JPEG", {"progressive": True}),
        ("tiff", deep, "TIFF", {"dpi": (127, 127)}),
    ]
    made += [
        (f"tiff-{way}", grey, "TIFF", {"compression": way})
        for way in ("tiff_lzw", "jpeg", "packbits", "tiff_adobe_deflate")
    ]
    found = []
    for name, pixels, kind, settings in made:
        file = BytesIO()
        Image.fromarray(pixels).save(file, kind, **settings)
        found.append((name, file.getvalue()))
    file = BytesIO()
    Image.fromarray(grey).convert("P").save(file, "PNG", transparency=0)
    return [*found, ("png-palette", file.getvalue())]


def _dicoms() -> list[tuple[str, bytes]]:
    ways = {
        "explicit": ExplicitVRLittleEndian,
        "implicit": ImplicitVRLittleEndian,
        "big-endian": ExplicitVRBigEndian,
        "deflated": DeflatedExplicitVRLittleEndian,
        "rle": RLELossless,
        "j2k": JPEG2000Lossless,
    }
    return [(f"dicom-{name}", _dicom(syntax)) for name, syntax in ways.items()]


def _dicom(syntax: Any) -> bytes:  # noqa: ANN401  pydicom's
    made = Dataset()
    made.file_meta = FileMetaDataset()
    levels = np.tile(np.arange(64, dtype=np.uint16) * 60, (48, 1))
    order = ">u2" if syntax == ExplicitVRBigEndian else "<u2"
    for name, value in {
        "SOPClassUID": "1.2.840.10008.5.1.4.1.1.1.3",
        "SOPInstanceUID": "1.2.3.4",
        "Modality": "IO",
        "ImageLaterality": "R",
        "PatientName": "Invented^Nobody",
        "PatientOrientation": ["A", "F"],
        "Rows": 48,
        "Columns": 64,
        "SamplesPerPixel": 1,
        "PhotometricInterpretation": "MONOCHROME2",
        "BitsAllocated": 16,
        "BitsStored": 12,
        "HighBit": 11,
        "PixelRepresentation": 0,
        "ImagerPixelSpacing": [0.2, 0.2],
        "RescaleIntercept": 0,
        "RescaleSlope": 1,
        "PixelData": levels.astype(order).tobytes(),
    }.items():
        setattr(made, name, value)
    made.file_meta.MediaStorageSOPClassUID = made.SOPClassUID
    made.file_meta.MediaStorageSOPInstanceUID = made.SOPInstanceUID
    if syntax == RLELossless:
        made.file_meta.TransferSyntaxUID = ExplicitVRLittleEndian
        made.compress(RLELossless)
    elif syntax == JPEG2000Lossless:
        packed = BytesIO()
        Image.fromarray(levels).save(packed, "JPEG2000", irreversible=False)
        made.PixelData = encapsulate([packed.getvalue()])
        made["PixelData"].is_undefined_length = True
    made.file_meta.TransferSyntaxUID = syntax
    file = BytesIO()
    made.save_as(file, enforce_file_format=True)
    return file.getvalue()


__all__ = ["COLUMNS", "MARKS", "ROWS", "Sound", "sound_content"]
