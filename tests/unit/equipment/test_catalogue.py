"""The catalogue's lists, names and formats."""

import pytest

from bitewright.equipment import (
    EQUIPMENT_FORMAT,
    Catalogue,
    CatalogueEntryError,
    CatalogueSectionError,
    DuplicateEquipmentError,
    EquipmentFormatError,
    UnknownEquipmentError,
    catalogue_from_mapping,
    catalogue_to_mapping,
    entry_to_mapping,
    packaged_catalogue,
)

OWN = entry_to_mapping(packaged_catalogue().receptor("sensor-2")) | {"name": "our-sensor"}


def content(**lists: object) -> dict[str, object]:
    return {"format": EQUIPMENT_FORMAT, **lists}


def test_packaged_names() -> None:
    catalogue = packaged_catalogue()
    assert list(catalogue.receptors) == [
        *(f"film-{size}" for size in range(4)),
        *(f"plate-{size}" for size in range(4)),
        *(f"sensor-{size}" for size in range(3)),
    ]
    assert list(catalogue.holders) == ["ring-holder", "tab", "none"]
    assert list(catalogue.tubes) == ["round-200", "round-300", "rectangular-300"]


def test_a_files_entries_are_added() -> None:
    catalogue = packaged_catalogue().with_entries(content(receptors=[OWN]))
    assert catalogue.receptor("our-sensor").active_long_mm == 36.0
    assert catalogue.receptor("film-2") == packaged_catalogue().receptor("film-2")
    assert "our-sensor" not in packaged_catalogue().receptors


def test_mapping_and_back_is_the_same_catalogue() -> None:
    catalogue = packaged_catalogue()
    assert catalogue_from_mapping(catalogue_to_mapping(catalogue)) == catalogue


@pytest.mark.parametrize("given", [None, "bitewright.equipment/2", 1])
def test_another_format_is_refused(given: object) -> None:
    with pytest.raises(EquipmentFormatError, match=EQUIPMENT_FORMAT):
        catalogue_from_mapping({} if given is None else {"format": given})


def test_a_heading_that_is_none_is_named() -> None:
    with pytest.raises(CatalogueSectionError, match="'receptor'"):
        catalogue_from_mapping(content(receptor=[OWN]))


def test_single_brackets_are_refused() -> None:
    with pytest.raises(CatalogueSectionError, match="both pairs of brackets"):
        catalogue_from_mapping(content(receptors=OWN))


def test_an_entry_that_is_no_table_is_refused() -> None:
    with pytest.raises(CatalogueEntryError, match="a table of fields"):
        catalogue_from_mapping(content(tubes=["round"]))


def test_a_name_twice_in_one_file_is_refused() -> None:
    with pytest.raises(DuplicateEquipmentError, match="our-sensor"):
        catalogue_from_mapping(content(receptors=[OWN, OWN]))


def test_a_packaged_name_is_not_replaced() -> None:
    with pytest.raises(DuplicateEquipmentError, match="sensor-2"):
        packaged_catalogue().with_entries(content(receptors=[OWN | {"name": "sensor-2"}]))


def test_a_receptor_and_a_holder_may_share_a_name() -> None:
    holder = entry_to_mapping(packaged_catalogue().holder("tab")) | {"name": "our-sensor"}
    catalogue = Catalogue().with_entries(content(receptors=[OWN], holders=[holder]))
    assert catalogue.holder("our-sensor").name == catalogue.receptor("our-sensor").name


@pytest.mark.parametrize("kind", ["receptor", "holder", "tube"])
def test_an_unknown_name_lists_those_known(kind: str) -> None:
    catalogue = packaged_catalogue()
    with pytest.raises(UnknownEquipmentError) as caught:
        getattr(catalogue, kind)("size-7")
    assert caught.value.known == tuple(getattr(catalogue, f"{kind}s"))
    assert all(name in str(caught.value) for name in caught.value.known)
