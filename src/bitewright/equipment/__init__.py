"""Equipment: receptors, holders and tubes, generic ones packaged and a user's own added."""

from bitewright.equipment.catalogue import (
    EQUIPMENT_FORMAT,
    Catalogue,
    CatalogueSectionError,
    DuplicateEquipmentError,
    EquipmentFormatError,
    UnknownEquipmentError,
    catalogue_from_mapping,
    catalogue_to_mapping,
    packaged_catalogue,
)
from bitewright.equipment.entries import (
    CatalogueEntryError,
    Confidence,
    entry_from_mapping,
    entry_to_mapping,
)
from bitewright.equipment.holders import Holder, HolderKind
from bitewright.equipment.receptors import Receptor, ReceptorKind
from bitewright.equipment.tubes import FieldShape, Tube

__all__ = [
    "EQUIPMENT_FORMAT",
    "Catalogue",
    "CatalogueEntryError",
    "CatalogueSectionError",
    "Confidence",
    "DuplicateEquipmentError",
    "EquipmentFormatError",
    "FieldShape",
    "Holder",
    "HolderKind",
    "Receptor",
    "ReceptorKind",
    "Tube",
    "UnknownEquipmentError",
    "catalogue_from_mapping",
    "catalogue_to_mapping",
    "entry_from_mapping",
    "entry_to_mapping",
    "packaged_catalogue",
]
