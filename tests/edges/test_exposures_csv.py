"""Exposures, ratings and scatters as files: there and back, and refused with row and column."""

from pathlib import Path

import numpy as np
import pytest

from bitewright.audit.logged_exposures import ROW_COLUMNS, Dimension, LoggedExposures
from bitewright.audit.simulated_school import SchoolPlan, simulated_school
from bitewright.errors import BitewrightError
from bitewright.exposing.scatter import Scatter
from bitewright.files.csv_rows import CsvUnreadableError, plain_cell, safe_cell
from bitewright.files.csv_tables import CsvTableError, write_csv
from bitewright.files.exposures_csv import read_exposures, write_exposures
from bitewright.files.ratings_csv import read_ratings
from bitewright.files.scatter_file import read_scatter, write_scatter

SCHOOL = simulated_school(SchoolPlan(first_day=20089, exposures=400), np.random.default_rng(0)).log


@pytest.mark.parametrize("comma", [False, True])
def test_exposures_come_back(tmp_path: Path, comma: bool) -> None:  # noqa: FBT001 - a case
    write_exposures(tmp_path / "year.csv", SCHOOL, comma=comma)
    back = read_exposures(tmp_path / "year.csv")
    for name in ROW_COLUMNS:
        if name != "rating":
            ours, theirs = getattr(SCHOOL, name), getattr(back, name)
            assert np.allclose(ours, theirs, rtol=1e-5, equal_nan=True), name
    for dimension in Dimension:
        assert named(SCHOOL, dimension) == named(back, dimension)
    assert back.fault_row.tolist() == SCHOOL.fault_row.tolist()
    assert np.allclose(back.fault_size, SCHOOL.fault_size, rtol=1e-5, equal_nan=True)
    labels = [SCHOOL.fault_labels[k] for k in SCHOOL.fault]
    assert [back.fault_labels[k] for k in back.fault] == labels


def named(log: LoggedExposures, dimension: Dimension) -> list[str | None]:
    labels = log.names(dimension)
    return [labels[code] if code >= 0 else None for code in log.code(dimension)]


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("day,decision\n2025-13-01,accepted\n", "row 2, column day"),
        ("day,decision\n2025-01-01,accepted\n2025-01-01,maybe\n", "row 3, column decision"),
        ("day\n2025-01-01\n", "row 1: the column decision is missing"),
        ("day,decision,colour\n", "'colour' is unknown"),
        ("day,decision,day\n", "the column day is there twice"),
        ("day,decision\n2025-01-01\n", "row 2: there are 1 cells under 2 headings"),
        ("day,decision,height_mm\n2025-01-01,accepted,high\n", "row 2, column height_mm"),
        ("day,decision,faults\n2025-01-01,rejected,overlap:much\n", "row 2, column faults"),
        ("", "the column day is missing"),
    ],
)
def test_a_bad_row_is_refused_with_its_place(tmp_path: Path, text: str, place: str) -> None:
    (tmp_path / "bad.csv").write_text(text, encoding="utf-8")
    with pytest.raises(CsvTableError, match=place) as caught:
        read_exposures(tmp_path / "bad.csv")
    assert "\n" not in str(caught.value)


def test_text_in_another_encoding_is_refused(tmp_path: Path) -> None:
    (tmp_path / "bad.csv").write_bytes(
        "day,decision,room\n2025-01-01,accepted,Süd\n".encode("cp1252")
    )
    with pytest.raises(CsvUnreadableError, match="UTF-8"):
        read_exposures(tmp_path / "bad.csv")


def test_what_an_audit_does_not_need_is_left_alone(tmp_path: Path) -> None:
    text = "key;day;decision;note;forward_mm\na1;2025-01-01;rejected;late;1,5\n\n"
    (tmp_path / "log.csv").write_text(text, encoding="utf-8-sig")
    log = read_exposures(tmp_path / "log.csv")
    assert (len(log), float(log.forward_mm[0])) == (1, 1.5)


@pytest.mark.parametrize("text", ["=1+1", "+49", "-2", "@x", "\tx", "plain", "'quoted'", ""])
def test_no_cell_is_a_formula_and_all_come_back(text: str) -> None:
    safe = safe_cell(text)
    assert not safe.startswith(("=", "+", "-", "@", "\t", "\r"))
    assert plain_cell(safe) == text


def test_numbers_stay_numbers_and_commas_are_decimal_on_request(tmp_path: Path) -> None:
    write_csv(tmp_path / "a.csv", ("name", "x"), [("=cmd", -1.5), ("b", float("nan"))], comma=True)
    text = (tmp_path / "a.csv").read_bytes().decode("utf-8-sig")
    assert text == "name;x\r\n'=cmd;-1,5\r\nb;\r\n"


def test_a_rater_who_grades_an_image_twice_is_refused(tmp_path: Path) -> None:
    text = "image,rater,grade\na,x,1\na,x,2\n"
    (tmp_path / "grades.csv").write_text(text, encoding="utf-8")
    with pytest.raises(CsvTableError, match="row 3: x has graded image a before"):
        read_ratings(tmp_path / "grades.csv")


def test_a_scatter_comes_back_and_a_wrong_one_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "scatter.json"
    matrix = np.diag([9.0, 4.0, 2.0, 1.0])
    matrix[0, 2] = matrix[2, 0] = 1.5
    scatter = Scatter(
        contact_error_deg=5.5,
        vertical_error_deg=-1.0,
        forward_mm=0.5,
        height_mm=0.0,
        covariance=matrix,
    )
    write_scatter(path, scatter, operator="student-07", assessed=41)
    back = read_scatter(path)
    assert np.allclose(back.mean(), scatter.mean())
    assert np.allclose(back.covariance, matrix)
    path.write_text(path.read_text("utf-8").replace("5.5", "500"), "utf-8")
    with pytest.raises(BitewrightError, match="from -70 to 70"):
        read_scatter(path)
