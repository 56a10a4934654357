"""The standard tooth: published sizes, and the form around them that no table gives.

Sizes: Black GV, Descriptive Anatomy of the Human Teeth, 1902, as rounded in Ash & Nelson, Dental
Anatomy, Physiology and Occlusion, Table 1-1; each row of ``tables/tooth_sizes.csv`` says whether
it was read or is from memory. Forms: ``tables/tooth_forms.toml``, source on each list.
"""

import csv
import tomllib
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any

KINDS = (
    "incisor",
    "incisor",
    "canine",
    "first_premolar",
    "second_premolar",
    "first_molar",
    "second_molar",
    "second_molar",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class ToothSize:
    """One row of the published table. [mm]"""

    crown_length_mm: float
    root_length_mm: float
    md_crown_mm: float
    md_cervix_mm: float
    bl_crown_mm: float
    bl_cervix_mm: float
    cej_curve_mesial_mm: float
    cej_curve_distal_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ToothForm:
    """What shapes a tooth of one kind beyond its sizes.

    Cusps are (mesial share of width, buccal share of breadth, depth below the crown's height [mm]);
    apices are shares of the cervical width and breadth.
    """

    enamel_contact_mm: float
    contact_height_mesial: float
    contact_height_distal: float
    facet_width_mm: float
    section_exponent: float
    occlusal_width_share: float
    tip_deg: float
    torque_deg: float
    cusps: MappingProxyType[str, tuple[float, float, float]]
    apices: MappingProxyType[str, tuple[float, float]]


def is_upper(code: int) -> bool:
    """Whether an ISO 3950 code of a permanent tooth lies in the upper arch."""
    return code // 10 in (1, 2)


def is_right(code: int) -> bool:
    """Whether an ISO 3950 code of a permanent tooth lies on the patient's right."""
    return code // 10 in (1, 4)


@lru_cache(maxsize=1)
def tooth_sizes() -> MappingProxyType[tuple[str, int], ToothSize]:
    """The published table, by arch ("maxilla", "mandible") and place from the midline (1 to 8)."""
    with (files("bitewright.mouth") / "tables" / "tooth_sizes.csv").open(encoding="utf-8") as table:
        rows = {
            (row["arch"], int(row["palmer_position"])): ToothSize(
                **{name: float(row[name]) for name in ToothSize.__dataclass_fields__}
            )
            for row in csv.DictReader(table)
        }
    return MappingProxyType(rows)


@lru_cache(maxsize=32)
def tooth_form(code: int) -> ToothForm:
    """The standard form of the tooth with this ISO 3950 code."""
    table = _forms()
    arch, place = arch_name(code), code % 10 - 1
    single = {
        name: table[name]["values"][place]
        for name in (
            "enamel_contact_mm",
            "contact_height_mesial",
            "contact_height_distal",
            "facet_width_mm",
            "section_exponent",
            "occlusal_width_share",
        )
    }
    cusps = {name: tuple(place) for name, place in table["cusps"][arch][KINDS[place]].items()}
    apices = {name: tuple(place) for name, place in table["apices"][arch][KINDS[place]].items()}
    return ToothForm(
        **single,
        tip_deg=table[arch]["tip_deg"][place],
        torque_deg=table[arch]["torque_deg"][place],
        cusps=MappingProxyType(cusps),
        apices=MappingProxyType(apices),
    )


def tooth_size(code: int) -> ToothSize:
    """The published sizes of the tooth with this ISO 3950 code."""
    return tooth_sizes()[arch_name(code), code % 10]


def arch_name(code: int) -> str:
    """The arch of an ISO 3950 code, "maxilla" or "mandible"."""
    return "maxilla" if is_upper(code) else "mandible"


@lru_cache(maxsize=1)
def _forms() -> dict[str, Any]:
    text = (files("bitewright.mouth") / "tables" / "tooth_forms.toml").read_text("utf-8")
    return tomllib.loads(text)


__all__ = [
    "ToothForm",
    "ToothSize",
    "arch_name",
    "is_right",
    "is_upper",
    "tooth_form",
    "tooth_size",
    "tooth_sizes",
]
