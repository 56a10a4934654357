"""Fields of a logged exposure: what may be given, and that text and value are each other's form."""

import pytest

from bitewright.log.days import day_number, day_text
from bitewright.log.fields import FIELDS, FieldValueError, as_text, from_text

GOOD = {
    "day": ["2026-01-31", "1895-11-08"],
    "case": ["C1", "2026/0007", "a+b.c_d-e"],
    "view": ["right-premolar", "left-molar-vertical", "periapical"],
    "teeth": ["14 15 16", "51"],
    "kind": ["exposure", "retake", "extra-view", "planned-stage"],
    "succeeded": ["yes", "no"],
    "tube_voltage_kv": ["65.0"],
    "rating": ["uk-2020:A", "uk-2020:?", "own-school:fair"],
    "faults": ["overlap:0.4|cone-cut", "movement"],
    "height_mm": ["-2.5"],
}
BAD = {
    "day": ["31.01.2026", "2026-02-30", "1895-11-07", "2026-1-1", ""],
    "case": ["Jane Doe", "", "x" * 41, "-a"],
    "operator": ["Dr. Who?"],
    "room": ["", "x" * 81, "two\nlines"],
    "view": ["left", "upper left"],
    "teeth": ["19", "", "molar", "16a"],
    "kind": ["repeat"],
    "succeeded": ["perhaps"],
    "tube_voltage_kv": ["0", "nan", "inf", "65kV", "500"],
    "rating": ["A", "uk-2020:B", "uk-2020:"],
    "faults": ["bad luck", "overlap:wide", "overlap:nan", ""],
    "film": ["abc", "G" * 64],
}


@pytest.mark.parametrize(("name", "text"), [(n, t) for n, every in GOOD.items() for t in every])
def test_a_good_text_comes_back_as_it_was(name: str, text: str) -> None:
    assert as_text(name, from_text(name, text)) == text


@pytest.mark.parametrize(("name", "text"), [(n, t) for n, every in BAD.items() for t in every])
def test_a_bad_text_is_refused_with_what_is_allowed(name: str, text: str) -> None:
    with pytest.raises(FieldValueError, match=name) as refused:
        from_text(name, text)
    assert refused.value.field == name
    assert refused.value.allowed in str(refused.value)


def test_words_may_be_written_with_spaces_and_capitals() -> None:
    assert from_text("view", "Right Molar") == "right-molar"
    assert from_text("faults", "Cone cut:3") == [{"fault": "cone-cut", "size": 3.0}]


def test_teeth_are_sorted_and_told_once() -> None:
    assert from_text("teeth", "16, 15; 16") == [15, 16]


def test_days_are_counted_from_1970() -> None:
    assert (day_number("1970-01-01"), day_number("2000-03-01")) == (0, 11017)  # 30 y, 7 leap days
    assert day_text(11017) == "2000-03-01"


def test_every_field_says_what_it_means_and_allows() -> None:
    assert all(field.title and field.says and field.form.allowed for field in FIELDS.values())
