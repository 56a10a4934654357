"""Exposures, ratings and scatters as files: there and back, and refused with row and column."""

from pathlib import Path

import numpy as np
import pytest

from bitewright.audit.counted_by import Dimension
from bitewright.audit.logged_exposures import ROW_COLUMNS, LoggedExposures
from bitewright.audit.simulated_school import SchoolPlan, simulated_school
from bitewright.errors import BitewrightError
from bitewright.exposing.scatter import Scatter
from bitewright.files.csv_rows import CsvUnreadableError, plain_cell, safe_cell
from bitewright.files.csv_tables import write_csv
from bitewright.files.exposures_csv import COLUMNS, write_exposures
from bitewright.files.ratings_csv import RatingRowError, read_ratings
from bitewright.files.scatter_file import read_scatter, write_scatter
from bitewright.log.csv_mapping import CsvMapping
from bitewright.log.exposure_state import audited_from_text
from bitewright.log.fields import FIELDS, Column, fields_with
from bitewright.tasks.log.table_rows import BadRows, BadRowsError, read_exposures, table_rows

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
    for name, ours in SCHOOL.numbers.items():
        assert np.allclose(ours, back.numbers[name], rtol=1e-5, equal_nan=True), name
    assert back.fault_row.tolist() == SCHOOL.fault_row.tolist()
    assert np.allclose(back.fault_size, SCHOOL.fault_size, rtol=1e-5, equal_nan=True)
    labels = [SCHOOL.fault_labels[k] for k in SCHOOL.fault]
    assert [back.fault_labels[k] for k in back.fault] == labels


def named(log: LoggedExposures, dimension: Dimension) -> list[str | None]:
    labels = log.names(dimension)
    return [labels[code] if code >= 0 else None for code in log.code(dimension)]


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("day,decision\n2025-13-01,accepted\n", "line 2, column 'day': '2025-13-01' is not"),
        ("day,decision\n2025-01-01,accepted\n2025-01-01,maybe\n", "line 3, column 'decision'"),
        ("day\n2025-01-01\n", "no column 'decision'"),
        ("day,decision,colour\n", "'colour' is unknown"),
        ("day,decision,day\n", "'day' is there twice"),
        ("day,decision\n2025-01-01\n", "line 2, column 'decision': it is empty"),
        ("day,decision\n2025-01-01,accepted,late\n", "line 2: There are 3 cells under 2 heading"),
        ("day,decision,height_mm\n2025-01-01,accepted,high\n", "line 2, column 'height_mm'"),
        ("day,decision,height_mm\n2025-01-01,accepted,'1.234,5'\n", "'1.234,5'"),
        ("day,decision,faults\n2025-01-01,rejected,overlap:much\n", "line 2, column 'faults'"),
        ("", "no column 'day'"),
    ],
)
def test_a_bad_row_is_refused_with_its_place(tmp_path: Path, text: str, problem: str) -> None:
    (tmp_path / "bad.csv").write_text(text.replace("'1.234,5'", '"1.234,5"'), encoding="utf-8")
    with pytest.raises(BitewrightError, match=problem) as caught:
        read_exposures(tmp_path / "bad.csv")
    assert "\n" not in str(caught.value)


def test_an_audit_and_an_import_refuse_a_row_in_the_same_words(tmp_path: Path) -> None:
    path = tmp_path / "bad.csv"
    rows = ["2025-13-01,accepted,,", "2025-01-01,,,", "2025-01-01,rejected,overlap:x,-400"]
    path.write_text("\n".join(["day,decision,faults,height_mm", *rows]), encoding="utf-8")
    with pytest.raises(BadRowsError, match="3 rows") as caught:
        read_exposures(path)
    names = ("day", "decision", "faults", "height_mm")
    mapped, bad = CsvMapping(columns={name: name for name in names}), BadRows()
    assert not list(table_rows(path, mapped, audited_from_text, bad))
    assert bad.listed == caught.value.bad.listed
    assert [(row.line, row.column) for row in bad.listed] == [
        (2, "day"),
        (3, "decision"),
        (4, "faults"),
    ]
    for row in bad.listed:
        assert row.reason.count(str(row.column)) == 0, "the column is named once, before it"


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
    assert (len(log), float(log.numbers["forward_mm"][0])) == (1, 1.5)


def test_a_table_may_be_written_as_a_log_is_typed(tmp_path: Path) -> None:
    """Capitals, spaces for hyphens, other words for yes, as in a table with a mapping."""
    text = (
        "Day,DECISION,kind,succeeded,view,faults,room,height_mm\n"
        "2025-1-5,Rejected,,,Right Molar,Cone cut : 3|overlap,'=R1,\n"
        '2025-01-05,accepted,Retake,1,right-molar,,,"-1,5"\n'
        "2025-01-06,rejected,retake,,,,,2.5\n"
    )
    (tmp_path / "log.csv").write_text(text, encoding="utf-8")
    log = read_exposures(tmp_path / "log.csv")
    assert named(log, Dimension.VIEW) == ["right-molar", "right-molar", None]
    assert named(log, Dimension.ROOM) == ["=R1", None, None]
    assert log.retake.tolist() == [False, True, True]
    assert log.retake_succeeded.tolist() == [-1, 1, 0], "a retake that was rejected failed"
    assert [log.fault_labels[k] for k in log.fault] == ["cone-cut", "overlap"]
    assert log.numbers["height_mm"].tolist()[1:] == [-1.5, 2.5]


def test_the_columns_are_those_that_the_fields_have() -> None:
    assert set(COLUMNS) <= set(FIELDS)
    assert {dimension.value for dimension in Dimension} == set(fields_with(Column.LABEL))
    assert set(SCHOOL.numbers) <= set(fields_with(Column.NUMBER))


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
    with pytest.raises(RatingRowError, match="line 3: x has graded image a before"):
        read_ratings(tmp_path / "grades.csv")


def test_an_image_is_of_one_patient(tmp_path: Path) -> None:
    heading, file = "image,rater,grade,patient\n", tmp_path / "grades.csv"
    file.write_text(f"{heading}a,x,1,p1\na,y,2,p1\nb,x,1,p1\n", encoding="utf-8")
    assert read_ratings(file).patients == {"a": "p1", "b": "p1"}
    file.write_text(f"{heading}a,x,1,p1\na,y,2,p2\n", encoding="utf-8")
    with pytest.raises(RatingRowError, match="line 3: image a was another patient's before"):
        read_ratings(file)


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
