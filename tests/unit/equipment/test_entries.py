"""Strict checking of single entries: a refusal names entry, field, value and what is allowed."""

import dataclasses
import math

import pytest

from bitewright.equipment import (
    CatalogueEntryError,
    Confidence,
    Holder,
    Receptor,
    Tube,
    entry_from_mapping,
    entry_to_mapping,
    packaged_catalogue,
)

SENSOR = entry_to_mapping(packaged_catalogue().receptor("sensor-2"))
RING = entry_to_mapping(packaged_catalogue().holder("ring-holder"))
ROUND = entry_to_mapping(packaged_catalogue().tube("round-200"))
RECTANGULAR = entry_to_mapping(packaged_catalogue().tube("rectangular-300"))


@pytest.mark.parametrize(
    ("field", "value", "allowed"),
    [
        ("outer_long_mm", math.nan, "from 15 to 90"),
        ("outer_long_mm", math.inf, "from 15 to 90"),
        ("outer_long_mm", "43", "a number"),
        ("outer_long_mm", True, "a number"),
        ("outer_long_mm", 14.9, "from 15 to 90"),
        ("outer_long_mm", 10**400, "from 15 to 90"),
        ("size", 2.5, "a whole number from 0 to 4"),
        ("size", 5, "a whole number from 0 to 4"),
        ("kind", "glass", "'film', 'plate', 'sensor'"),
        ("kind", 1, "'film', 'plate', 'sensor'"),
        ("name", "Our Sensor", "small letters"),
        ("name", "x" * 41, "at most 40"),
        ("source", "  ", "not empty"),
        ("source", None, "not empty"),
        ("confidence", "sure", "'seen'"),
        ("active_depth_mm", 5.1, "at most thickness_mm, 5"),
        ("outer_short_mm", 44.0, "at most outer_long_mm, 43"),
        ("corner_radius_mm", 13.1, "at most half"),
        ("flex_mm", 1.0, "0 for a sensor"),
    ],
)
def test_a_receptors_field_is_refused(field: str, value: object, allowed: str) -> None:
    with pytest.raises(CatalogueEntryError) as caught:
        entry_from_mapping(Receptor, SENSOR | {field: value})
    assert caught.value.field == field
    assert caught.value.value is value or caught.value.value == value
    assert allowed in str(caught.value)
    assert str(caught.value).startswith("Receptor ")


def test_the_casing_holds_the_active_area_with_its_offset() -> None:
    entry_from_mapping(Receptor, SENSOR | {"active_long_mm": 42.0})
    for changed in ({"active_long_mm": 42.1}, {"active_offset_long_mm": -3.6}):
        with pytest.raises(CatalogueEntryError, match="lies within the casing of 43"):
            entry_from_mapping(Receptor, SENSOR | changed)
    with pytest.raises(CatalogueEntryError, match="active_short_mm"):
        entry_from_mapping(Receptor, SENSOR | {"active_offset_short_mm": 2.6})


def test_an_unknown_field_is_refused_with_those_known() -> None:
    with pytest.raises(CatalogueEntryError, match="outer_long_mm") as caught:
        entry_from_mapping(Receptor, SENSOR | {"length_mm": 43})
    assert caught.value.field == "length_mm"


@pytest.mark.parametrize("field", sorted(SENSOR))
def test_a_missing_field_is_named_or_has_its_default(field: str) -> None:
    rest = {key: value for key, value in SENSOR.items() if key != field}
    if field in {"active_offset_long_mm", "active_offset_short_mm", "corner_radius_mm"}:
        assert getattr(entry_from_mapping(Receptor, rest), field) == 0.0
        return
    if field == "title":
        assert entry_from_mapping(Receptor, rest).title == "sensor 2"
        return
    with pytest.raises(CatalogueEntryError, match="is missing") as caught:
        entry_from_mapping(Receptor, rest)
    assert caught.value.field == field


def test_whole_numbers_become_lengths() -> None:
    thickness_mm = entry_from_mapping(Receptor, SENSOR | {"thickness_mm": 5}).thickness_mm
    assert isinstance(thickness_mm, float)
    assert thickness_mm == 5.0


def test_code_is_checked_like_files() -> None:
    sensor = packaged_catalogue().receptor("sensor-2")
    with pytest.raises(CatalogueEntryError, match="pixel_mm"):
        dataclasses.replace(sensor, pixel_mm=0.0)


@pytest.mark.parametrize(
    "changed",
    [
        {"ring": False},
        {"ring": 1},
        {"kind": "tab"},
        {"kind": "none", "ring": False},
        {"bite_block_thickness_mm": 0.0},
        {"ring_to_receptor_mm": 5.0},
    ],
)
def test_a_holder_that_contradicts_itself_is_refused(changed: dict[str, object]) -> None:
    with pytest.raises(CatalogueEntryError, match="Holder 'ring-holder'"):
        entry_from_mapping(Holder, RING | changed)


@pytest.mark.parametrize(
    ("tube", "changed", "field"),
    [
        (ROUND, {"field_long_mm": 40.0}, "field_long_mm"),
        (ROUND, {"field_diameter_mm": None}, "field_diameter_mm"),
        (ROUND, {"field": "rectangular"}, "field_diameter_mm"),
        (RECTANGULAR, {"field_short_mm": 39.0}, "field_short_mm"),
        (RECTANGULAR, {"field_diameter_mm": 60.0}, "field_diameter_mm"),
    ],
)
def test_a_tubes_field_has_its_own_sizes_only(
    tube: dict[str, object], changed: dict[str, object], field: str
) -> None:
    with pytest.raises(CatalogueEntryError) as caught:
        entry_from_mapping(Tube, tube | changed)
    assert caught.value.field == field


def test_a_sensors_wider_border_is_at_its_cable() -> None:
    for size in range(3):
        sensor = packaged_catalogue().receptor(f"sensor-{size}")
        assert 2.0 * sensor.active_offset_long_mm == pytest.approx(1.0)
        border_mm = 0.5 * (sensor.outer_long_mm - sensor.active_long_mm)
        assert border_mm > sensor.active_offset_long_mm


def test_every_packaged_entry_says_where_it_is_from() -> None:
    catalogue = packaged_catalogue()
    for things in (catalogue.receptors, catalogue.holders, catalogue.tubes):
        for entry in things.values():
            said = entry.source.lower()
            assert any(word in said for word in ("our choice", "no source", "http")), entry.name
            if "no source" in said and "http" not in said:
                assert entry.confidence is Confidence.PRACTICE, entry.name
