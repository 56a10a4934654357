"""What is shown in place of a name that is typed: one title a name, never the name itself.

Titles of table rows stand in the tables; those of other names stand here.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from bitewright.audit.faults import FaultCount
from bitewright.audit.logged_exposures import Dimension
from bitewright.audit.rates import RateTable
from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.equipment.entries import readable_name
from bitewright.explanation.correction import CauseName, Verdict
from bitewright.exposing.scatter import AimPart
from bitewright.log.faults import fault_kinds
from bitewright.log.fields import FIELDS, as_text
from bitewright.quality.criteria import CriterionName, Question, criteria
from bitewright.quality.rating_schemes import rating_schemes
from bitewright.quality.views import view, view_names

QUESTIONS = {
    Question.ENAMEL: "caries in enamel",
    Question.DENTINE: "caries in dentine",
    Question.BONE: "bone level",
}
CAUSES = {
    CauseName.TUBE_TOO_FAR_FORWARD: "tube too far to the front",
    CauseName.TUBE_TOO_FAR_BACK: "tube too far to the back",
    CauseName.TUBE_TOO_HIGH: "tube too high",
    CauseName.TUBE_TOO_LOW: "tube too low",
    CauseName.RECEPTOR_TOO_FAR_FORWARD: "receptor too far to the front",
    CauseName.RECEPTOR_TOO_FAR_BACK: "receptor too far to the back",
    CauseName.RECEPTOR_TOO_HIGH: "receptor too high",
    CauseName.RECEPTOR_TOO_LOW: "receptor too low",
    CauseName.RECEPTOR_ROLLED_FRONT_DOWN: "receptor's front edge dipping",
    CauseName.RECEPTOR_ROLLED_FRONT_UP: "receptor's front edge standing up",
    CauseName.NOT_CLOSED: "teeth not closed",
    CauseName.NONE: "nothing was off",
}
VERDICTS = {
    Verdict.MOVE: "something should move",
    Verdict.NOTHING: "nothing needs to move",
    Verdict.CANNOT_TELL: "the marks cannot tell",
}
AIM_PARTS = {
    AimPart.CONTACT_ERROR: "tube to the front, degrees",
    AimPart.VERTICAL_ERROR: "tube too high, degrees",
    AimPart.FORWARD: "receptor to the front, mm",
    AimPart.HEIGHT: "receptor too high, mm",
}

SURFACES = {
    "mesial-occlusal": "mesio-occlusal",
    "distal-occlusal": "disto-occlusal",
    "all": "all surfaces",
}
"""Surfaces of a tooth by the trade's own words."""


def criterion_title(name: CriterionName | None) -> str:
    """A criterion; nothing for none."""
    return "" if name is None else criteria()[name].title


def view_title(name: str) -> str:
    """A view that can be logged: one of ours; periapical and the like are words by themselves."""
    return view(name).title if name in view_names() else name


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
    asked = [each for each in Dimension if each.value in of.split(" and ")]
    parts = label.split(", ")
    for dimension in asked:
        parts = [label_title(dimension, part) for part in parts]
    return ", ".join(parts)


def filter_words(only: Mapping[Dimension, Sequence[str]]) -> str:
    """Which exposures were taken: "view right molar or left molar; room R2"."""
    return "; ".join(
        f"{dimension.value} {' or '.join(label_title(dimension, label) for label in labels)}"
        for dimension, labels in only.items()
    )


def titled_table(table: RateTable) -> RateTable:
    """A table of rates with titles for its groups, to be shown."""
    return replace(table, labels=tuple(group_title(table.name, label) for label in table.labels))


def titled_faults(faults: Iterable[FaultCount]) -> tuple[FaultCount, ...]:
    """Counted faults under their titles, to be shown."""
    return tuple(replace(fault, label=fault_title(fault.label)) for fault in faults)


def field_title(name: str) -> str:
    """A field of the log."""
    return FIELDS[name].title


def field_value_title(name: str, value: Any) -> str:  # noqa: ANN401  as plain as the log keeps it
    """The value of a field of the log."""
    if name == "faults":
        return ", ".join(_sized_fault(fault) for fault in value)
    text = as_text(name, value)
    if name == "rating":
        return rating_title(text)
    if name == "kind":
        return readable_name(text)
    known = [dimension for dimension in Dimension if dimension.value == name]
    return label_title(known[0], text) if known else text


def _sized_fault(fault: Mapping[str, Any]) -> str:
    title = fault_title(fault["fault"])
    if "size" not in fault:
        return title
    unit = {"mm": " mm", "deg": " degrees"}.get(fault_kinds()[fault["fault"]].unit, "")
    return f"{title} {fault['size']:.3g}{unit}"


__all__ = [
    "AIM_PARTS",
    "CAUSES",
    "QUESTIONS",
    "SURFACES",
    "VERDICTS",
    "criterion_title",
    "fault_title",
    "field_title",
    "field_value_title",
    "filter_words",
    "group_title",
    "label_title",
    "rating_title",
    "scheme_title",
    "titled_faults",
    "titled_table",
    "view_title",
]
