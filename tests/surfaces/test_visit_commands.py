"""The visit by command: table, document, picture, refusals."""

import json
from dataclasses import replace
from pathlib import Path

import pytest

from bitewright.files.json_documents import check_document
from bitewright.files.marks_file import read_marks, write_marks
from tests.edges.test_dicom_reading import IDENTITY, dataset
from tests.surfaces.test_command_line import refusal, said
from tests.unit.visit.marked import film


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    films = {
        "a": film("right-premolar", {"15-16": 1.2, "44-45": 1.2}),
        "b": film("right-molar", {"46-47": 0.3}),
    }
    for name, each in films.items():
        marks = replace(each.marks, patient="P-1", taken_on="2026-11-29")
        write_marks(tmp_path / f"{name}.marks.json", marks)
    return tmp_path


def test_marks_keep_patient_and_day(folder: Path) -> None:
    kept = read_marks(folder / "a.marks.json")
    assert (kept.patient, kept.taken_on) == ("P-1", "2026-11-29")


def test_the_visit_is_told_with_what_nothing_shows(folder: Path) -> None:
    text = " ".join(said("visit", str(folder), "--side", "right").split())
    assert "Patient P-1, 2026-11-29" in text
    assert "No film shows what caries in enamel needs at 44 distal, 45 mesial." in text
    assert "hidden readable right molar" in text, "15-16 is closed on one film, open on the other"


def test_the_document_fits_its_schema_and_pictures_are_written(folder: Path) -> None:
    picture = folder / "visit.svg"
    text = said("visit", str(folder), "--side", "right", "--picture", str(picture), "--json")
    document = json.loads(text)
    check_document(document, "it", schemas={"bitewright.visit/1": "visit-1.json"})
    assert document["visits"][0]["nothing_shows"] == ["44.distal", "45.mesial"]
    assert "44" in picture.read_text("utf-8")


def test_another_patient_s_film_is_never_merged(folder: Path) -> None:
    other = replace(read_marks(folder / "b.marks.json"), patient="P-2")
    write_marks(folder / "b.marks.json", other)
    (folder / "broken.json").write_text("{", "utf-8")
    text = said("visit", str(folder), "--json")
    document = json.loads(text)
    assert [each["patient"] for each in document["visits"]] == ["P-1", "P-2"]
    assert [each["film"] for each in document["set_aside"]] == ["broken.json"]


def test_films_of_two_dicom_studies_stay_two_visits(folder: Path) -> None:
    for name, study in (("a", "1.2.3"), ("b", "1.2.4")):
        marks = read_marks(folder / f"{name}.marks.json")
        image = dataset(StudyInstanceUID=study, **IDENTITY)
        image.save_as(folder / f"{name}.dcm", enforce_file_format=True)
        unsaid = replace(marks, patient=None, taken_on=None, image_name=f"{name}.dcm")
        write_marks(folder / f"{name}.marks.json", unsaid)
    text = said("visit", str(folder), "--json")
    patients = [each["patient"] for each in json.loads(text)["visits"]]
    assert len(set(patients)) == 2
    assert all(each.startswith("study-") for each in patients)
    assert "SECRET" not in text
    same = dataset(StudyInstanceUID="1.2.3")
    same.save_as(folder / "b.dcm", enforce_file_format=True)
    assert len(json.loads(said("visit", str(folder), "--json"))["visits"]) == 1


def test_nothing_to_read_is_refused(tmp_path: Path) -> None:
    assert "There is no film to read: give marks files" in refusal("visit", str(tmp_path))
