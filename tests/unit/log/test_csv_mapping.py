"""A clinic's own table into fields: headings, words, dates, decimal commas, faults with sizes."""

import pytest

from bitewright.log.csv_mapping import CsvMapping, MissingColumnError, RowReader, mapping_from
from bitewright.log.exposure_state import UnknownFieldError

HEADING = ["No", " Date ", "Who", "Fault", "Size", "Kept"]
COLUMNS = {"key": "No", "day": "Date", "operator": "Who", "faults": "Fault", "fault_size": "Size"}


def fields(cells: list[str], **settings: object) -> dict[str, str]:
    mapping = CsvMapping(columns=COLUMNS, **settings)  # type: ignore[arg-type]
    return dict(RowReader(mapping, HEADING).mapped(cells).fields)


@pytest.mark.parametrize(
    ("form", "text", "day"),
    [
        ("year-month-day", "2026-3-4", "2026-03-04"),
        ("day.month.year", "4. 3.2026", "2026-03-04"),
        ("day/month/year", "04/03/2026", "2026-03-04"),
        ("month/day/year", "03/04/2026", "2026-03-04"),
        ("month/day/year", "2026-03-04", "2026-03-04"),
        ("day.month.year", "4.3.26", "4.3.26"),
    ],
)
def test_dates_are_read_as_the_mapping_says_and_never_guessed(
    form: str, text: str, day: str
) -> None:
    assert fields(["1", text, "S1"], date=form)["day"] == day


def test_a_size_belongs_to_the_fault_beside_it() -> None:
    got = fields(["1", "", "S1", "Overlap", "1.234,5"], decimal=",")
    assert got["faults"] == "Overlap:1234.5"


def test_words_are_put_into_the_logs_own_one_by_one() -> None:
    values = {"faults": {"überlappung": "overlap", "kegel": "cone-cut"}}
    got = fields(["1", "", "S1", "Überlappung / Kegel"], values=values, between_faults="/")
    assert got["faults"] == "overlap|cone-cut"


def test_a_cell_goes_before_a_constant_and_an_empty_one_does_not() -> None:
    constants = {"operator": "S0", "room": "R1"}
    assert fields(["1", "", "S1"], constants=constants)["operator"] == "S1"
    assert fields(["1", "", " "], constants=constants) == constants


def test_keys_and_what_is_retaken_get_the_same_prefix() -> None:
    mapping = CsvMapping(columns={"key": "No", "retake_of": "Kept"}, key_prefix="paper-")
    row = RowReader(mapping, HEADING).mapped(["7", "", "", "", "", "6"])
    assert (row.key, row.fields["retake_of"]) == ("paper-7", "paper-6")


def test_a_column_that_is_not_there_is_named() -> None:
    with pytest.raises(MissingColumnError, match="Room"):
        RowReader(CsvMapping(columns={"room": "Room"}), HEADING)


@pytest.mark.parametrize("part", ["columns", "constants"])
def test_a_field_that_there_is_not_is_named(part: str) -> None:
    with pytest.raises(UnknownFieldError, match="colour"):
        mapping_from({"columns": {"day": "Date"}, part: {"colour": "x"}})
