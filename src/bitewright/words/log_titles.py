"""Titles of what the log holds: fields and their values, views, faults, ratings, labels."""

from collections.abc import Mapping, Sequence
from typing import Any

from bitewright.audit.counted_by import Dimension
from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.equipment.entries import readable_name
from bitewright.log.decisions import decision_title
from bitewright.log.faults import fault_kinds
from bitewright.log.fields import FIELDS, as_text
from bitewright.log.place_chances import chances_from_text
from bitewright.quality.rating_schemes import rating_schemes
from bitewright.quality.views import view, view_names


def field_title(name: str) -> str:
    """A field of the log."""
    return FIELDS[name].title


def field_value_title(name: str, value: Any) -> str:  # noqa: ANN401  as plain as the log keeps it
    """The value of a field of the log."""
    if name == "faults":
        return ", ".join(_sized_fault(fault) for fault in value)
    text = as_text(name, value)
    if name in ("stated_odds", "read_after"):
        return chances_title(text)
    if name == "rating":
        return rating_title(text)
    if name == "decision":
        return decision_title(text)
    if name == "kind":
        return readable_name(text)
    known = [dimension for dimension in Dimension if dimension.value == name]
    return label_title(known[0], text) if known else text


def chances_title(text: str) -> str:
    """Chances of places: "44 distal 86%, 45 mesial 85%"."""
    return ", ".join(
        f"{place.replace('.', ' ')} {chance:.0%}"
        for place, chance in chances_from_text(text).items()
    )


def _sized_fault(fault: Mapping[str, Any]) -> str:
    title = fault_title(fault["fault"])
    if "size" not in fault:
        return title
    unit = {"mm": " mm", "deg": " degrees"}.get(fault_kinds()[fault["fault"]].unit, "")
    return f"{title} {fault['size']:.3g}{unit}"


def view_title(name: str) -> str:
    """A view that can be logged: one of ours; periapical and the like are words by themselves."""
    return view(name).title if name in view_names() else readable_name(name)


def fault_title(name: str) -> str:
    """A fault that an exposure is logged with."""
    known = fault_kinds().get(name)
    return readable_name(name) if known is None else known.title


def scheme_title(name: str) -> str:
    """A rating scheme; a school's own that lies in a file elsewhere by its readable name."""
    known = rating_schemes().get(name)
    return readable_name(name) if known is None else known.title


def rating_title(rating: str) -> str:
    """A logged rating, "uk-2020:A" as "A (UK 2020)"."""
    scheme, _, grade = rating.partition(":")
    return f"{grade} ({scheme_title(scheme)})"


def label_title(dimension: Dimension, label: str) -> str:
    """What exposures are told apart by; what people wrote in their own words stays."""
    if dimension is Dimension.VIEW:
        return view_title(label)
    if dimension is Dimension.RECEPTOR and label in packaged_catalogue().receptors:
        return packaged_catalogue().receptor(label).title
    if dimension is Dimension.HOLDER and label in packaged_catalogue().holders:
        return packaged_catalogue().holder(label).title
    return label


def group_title(of: str, label: str) -> str:
    """A group of a table of rates: of one dimension ("view"), or of several ("view and room")."""
    known = {each.value: each for each in Dimension}
    asked, parts = [known.get(each) for each in of.split(" and ")], label.split(", ")
    if len(asked) != len(parts):
        return label
    return ", ".join(
        part if dimension is None else label_title(dimension, part)
        for dimension, part in zip(asked, parts, strict=True)
    )


def filter_words(only: Mapping[Dimension, Sequence[str]]) -> str:
    """Which exposures were taken: "view right molar or left molar; room R2"."""
    return "; ".join(
        f"{dimension.value} {' or '.join(label_title(dimension, label) for label in labels)}"
        for dimension, labels in only.items()
    )


__all__ = [
    "chances_title",
    "fault_title",
    "field_title",
    "field_value_title",
    "filter_words",
    "group_title",
    "label_title",
    "rating_title",
    "scheme_title",
    "view_title",
]
