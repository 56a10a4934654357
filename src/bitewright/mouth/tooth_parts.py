"""What a tooth may carry beside itself: fillings, crowns, root fillings, caries, calculus."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields
from enum import StrEnum
from typing import Any

from bitewright.errors import BitewrightError, plainly, quoted


class PartKind(StrEnum):
    """What it is."""

    FILLING = "filling"
    CROWN = "crown"
    ROOT_FILLING = "root-filling"
    CARIES = "caries"
    CALCULUS = "calculus"


FILLING_SURFACES = ("occlusal", "mesial", "distal", "mesial-occlusal", "distal-occlusal", "all")
PROXIMAL = ("mesial", "distal")
SURFACES: dict[PartKind, tuple[str, ...]] = {
    PartKind.FILLING: FILLING_SURFACES,
    PartKind.CROWN: ("",),
    PartKind.ROOT_FILLING: ("",),
    PartKind.CARIES: PROXIMAL,
    PartKind.CALCULUS: PROXIMAL,
}
MATERIALS = ("amalgam", "composite")
CARIES_DEPTHS = (
    "outer-enamel",
    "inner-enamel",
    "outer-dentine",
    "middle-dentine",
    "inner-dentine",
)
"""Halves of the enamel and thirds of the dentine, as films are read. Common practice, no source."""

SKIN_MM = 0.02
"""Parts stay this far inside the surface they replace."""

LEAST_SIZE, MOST_SIZE = 0.3, 2.0


class ToothPartError(BitewrightError):
    """A part of a tooth is described in a way that no tooth can have."""

    def __init__(self, place: str, given: object, allowed: str) -> None:
        self.place = place
        self.given = given
        super().__init__(
            f"Mouth description: {plainly(place)} is {quoted(given)}, allowed is {allowed}; "
            "correct it."
        )


class TwoPartsError(ToothPartError):
    """Two parts of one kind are named for one surface of a tooth."""

    def __init__(self, code: int, part: "ToothPart") -> None:
        self.place = f"tooth {code}"
        self.given = part
        where = f" on its {part.surface} surface" if part.surface else ""
        BitewrightError.__init__(
            self,
            f"Mouth description: tooth {code} carries two parts of kind {part.kind!r}{where}, "
            "allowed is one; leave one out or name another surface.",
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class ToothPart:
    """One filling, crown, root filling, carious lesion or piece of calculus.

    Parameters
    ----------
    kind : str
    surface : str
        Where; empty for a crown and a root filling.
    material : str
        Of a filling: "amalgam" or "composite"; else empty.
    depth : str
        Of caries, one of `CARIES_DEPTHS`; else empty.
    size : float
        Times as large as usual, 0.3 to 2.

    Raises
    ------
    ToothPartError
    """

    kind: str
    surface: str = ""
    material: str = ""
    depth: str = ""
    size: float = 1.0

    def __post_init__(self) -> None:
        kinds = [each.value for each in PartKind]
        if self.kind not in kinds:
            raise ToothPartError("a part's kind", self.kind, f"one of {', '.join(kinds)}")
        kind = PartKind(self.kind)
        allowed = {
            "surface": SURFACES[kind],
            "material": MATERIALS if kind is PartKind.FILLING else ("",),
            "depth": CARIES_DEPTHS if kind is PartKind.CARIES else ("",),
        }
        for name, values in allowed.items():
            if getattr(self, name) not in values:
                said = ", ".join(value or "none" for value in values)
                raise ToothPartError(f"a {self.kind}'s {name}", getattr(self, name), said)
        size: object = self.size  # as a file gave it
        is_number = isinstance(size, int | float) and not isinstance(size, bool)
        if not is_number or not LEAST_SIZE <= self.size <= MOST_SIZE:
            limits = f"a number from {LEAST_SIZE} to {MOST_SIZE}"
            raise ToothPartError(f"a {self.kind}'s size", self.size, limits)


def check_parts(code: int, parts: Sequence[ToothPart]) -> None:
    """Refuse two parts of one kind on one surface: a tooth wears one crown.

    Raises
    ------
    TwoPartsError
    """
    seen = set()
    for part in parts:
        if (part.kind, part.surface) in seen:
            raise TwoPartsError(code, part)
        seen.add((part.kind, part.surface))


def parts_from_description(place: str, given: object) -> tuple[ToothPart, ...]:
    """Parts as a file lists them.

    Raises
    ------
    ToothPartError
    """
    if not isinstance(given, list | tuple):
        raise ToothPartError(f"{place}.parts", given, "a list of tables")
    return tuple(_part(f"{place}.parts", each) for each in given)


def _part(place: str, given: Any) -> ToothPart:  # noqa: ANN401  as parsed
    if isinstance(given, ToothPart):
        return given
    names = [field.name for field in fields(ToothPart)]
    if not isinstance(given, Mapping):
        raise ToothPartError(place, given, "tables of fields")
    for name in given:
        if name not in names:
            raise ToothPartError(place, name, f"one of {', '.join(names)}")
    if "kind" not in given:
        raise ToothPartError(place, dict(given), "a table with a kind")
    return ToothPart(**given)


__all__ = [
    "CARIES_DEPTHS",
    "FILLING_SURFACES",
    "MATERIALS",
    "SKIN_MM",
    "PartKind",
    "ToothPart",
    "ToothPartError",
    "TwoPartsError",
    "check_parts",
    "parts_from_description",
]
