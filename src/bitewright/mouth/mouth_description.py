"""A mouth as plain data, for files: what differs from the standard mouth, or all of it.

A description may be short: whatever it leaves out is as in the standard mouth.
"""

from collections.abc import Mapping
from dataclasses import asdict, fields, replace
from typing import Any, TypeVar

from bitewright.errors import BitewrightError, plainly, quoted
from bitewright.kept_text import problem_of_text
from bitewright.mouth.mouth import (
    ArchForm,
    Contact,
    CurveKind,
    Mouth,
    Room,
    Tooth,
    neighbour_pairs,
    standard_contact,
)
from bitewright.mouth.standard_mouth import standard_mouth
from bitewright.mouth.tooth_parts import parts_from_description

MOUTH_FORMAT = "bitewright.mouth/1"

LONGEST_NAME = 80

SIMPLE = ("spee_mm", "molar_shift_mm", "age_years")
"""The mouth's own numbers."""

Part = TypeVar("Part", Tooth, Contact, ArchForm, Room)


class MouthDescriptionError(BitewrightError):
    """A mouth's description has a wrong format, an unknown field or a value of the wrong kind."""

    def __init__(self, place: str, given: object, allowed: str) -> None:
        self.place = place
        self.given = given
        super().__init__(
            f"Mouth description: {plainly(place)} is {quoted(given)}, allowed is {allowed}; "
            "correct it or leave it out to take the standard mouth's."
        )


class MouthFormatError(MouthDescriptionError):
    """A mouth's description does not say its format, or one that is not read here."""

    def __init__(self, given: object) -> None:
        self.place, self.given = "format", given
        said = "missing" if given is None else quoted(given)
        BitewrightError.__init__(
            self,
            f'Mouth description: format is {said}; begin it with format = "{MOUTH_FORMAT}", the '
            "version read here.",
        )


def mouth_from_description(content: Mapping[str, Any]) -> Mouth:
    """The mouth a description stands for.

    Raises
    ------
    MouthDescriptionError
        For an unknown format version, field or tooth.
    MouthValueError
        For a value outside what a mouth can have.
    """
    if content.get("format") != MOUTH_FORMAT:
        raise MouthFormatError(content.get("format"))
    allowed = {"format", "name", "third_molars", "left_out", "absent", *SIMPLE}
    _refuse_unknown("field", content, allowed | {"upper", "lower", "room", "teeth", "contacts"})
    base = standard_mouth(third_molars=_flag(content, "third_molars"))
    teeth = _teeth(content, base)
    contacts = _contacts(content, teeth)
    simple = {name: content[name] for name in SIMPLE if name in content}
    return replace(
        base,
        name=_name(content, base.name),
        teeth=teeth,
        contacts=contacts,
        upper=_arch(content, "upper", base.upper),
        lower=_arch(content, "lower", base.lower),
        room=_changed("room", base.room, _table(content, "room")),
        **simple,
    )


def mouth_to_description(mouth: Mouth) -> dict[str, Any]:
    """The whole description of a mouth; reading it back gives the same mouth."""
    third = any(code % 10 == 8 for code in mouth.teeth)
    listed = standard_mouth(third_molars=third).teeth
    return {
        "format": MOUTH_FORMAT,
        "name": mouth.name,
        "third_molars": third,
        "left_out": [code for code in listed if code not in mouth.teeth],
        **{name: getattr(mouth, name) for name in SIMPLE},
        "upper": asdict(mouth.upper) | {"curve": mouth.upper.curve.value},
        "lower": asdict(mouth.lower) | {"curve": mouth.lower.curve.value},
        "room": asdict(mouth.room),
        "teeth": {str(code): asdict(tooth) for code, tooth in mouth.teeth.items()},
        "contacts": {
            f"{front}-{back}": asdict(contact) for (front, back), contact in mouth.contacts.items()
        },
    }


def _teeth(content: Mapping[str, Any], base: Mouth) -> dict[int, Tooth]:
    left_out = _codes(content, "left_out", base)
    teeth = {code: tooth for code, tooth in base.teeth.items() if code not in left_out}
    for name, change in _table(content, "teeth").items():
        code = _code(f"teeth.{name}", name, teeth)
        teeth[code] = _changed(f"teeth.{name}", teeth[code], change)
    for code in _codes(content, "absent", base):
        if code in teeth:
            teeth[code] = replace(teeth[code], present=False)
    return teeth


def _contacts(
    content: Mapping[str, Any], teeth: Mapping[int, Tooth]
) -> dict[tuple[int, int], Contact]:
    contacts = {pair: standard_contact(pair) for pair in neighbour_pairs(teeth)}
    names = {f"{front}-{back}": (front, back) for front, back in contacts}
    for name, change in _table(content, "contacts").items():
        if name not in names:
            raise MouthDescriptionError(
                "contacts", name, "two neighbours, nearer the midline first, such as '15-16'"
            )
        pair = names[name]
        contacts[pair] = _changed(f"contacts.{name}", contacts[pair], change)
    return contacts


def _arch(content: Mapping[str, Any], name: str, base: ArchForm) -> ArchForm:
    change = dict(_table(content, name))
    if "curve" in change:
        kinds = [kind.value for kind in CurveKind]
        if change["curve"] not in kinds:
            raise MouthDescriptionError(f"{name}.curve", change["curve"], " or ".join(kinds))
        change["curve"] = CurveKind(change["curve"])
    return _changed(name, base, change)


def _changed(place: str, base: Part, change: object) -> Part:
    if not isinstance(change, Mapping):
        raise MouthDescriptionError(place, change, "a table of fields")
    _refuse_unknown(place, change, {field.name for field in fields(base)})
    if not isinstance(change.get("present", True), bool):
        raise MouthDescriptionError(f"{place}.present", change["present"], "true or false")
    if "parts" in change:
        change = {**change, "parts": parts_from_description(place, change["parts"])}
    return replace(base, **change)


def _table(content: Mapping[str, Any], name: str) -> Mapping[str, Any]:
    table = content.get(name, {})
    if not isinstance(table, Mapping):
        raise MouthDescriptionError(name, table, "a table")
    return table


def _codes(content: Mapping[str, Any], name: str, base: Mouth) -> set[int]:
    codes = content.get(name, [])
    if not isinstance(codes, list):
        raise MouthDescriptionError(name, codes, "a list of ISO 3950 codes")
    return {_code(name, code, base.teeth) for code in codes}


def _code(place: str, given: object, listed: Mapping[int, Tooth]) -> int:
    text = str(given)
    if not (len(text) == 2 and text.isascii() and text.isdigit() and int(text) in listed):
        raise MouthDescriptionError(
            place, given, "an ISO 3950 code of a tooth of this mouth, such as 16"
        )
    return int(text)


def _name(content: Mapping[str, Any], usual: str) -> str:
    name = content.get("name", usual)
    if (
        not isinstance(name, str)
        or len(name) > LONGEST_NAME
        or problem_of_text(name, lines=False) is not None
    ):
        raise MouthDescriptionError("name", name, f"up to {LONGEST_NAME} characters on one line")
    return name


def _flag(content: Mapping[str, Any], name: str) -> bool:
    flag = content.get(name, False)
    if not isinstance(flag, bool):
        raise MouthDescriptionError(name, flag, "true or false")
    return flag


def _refuse_unknown(place: str, given: Mapping[str, Any], known: set[str]) -> None:
    for name in given:
        if name not in known:
            raise MouthDescriptionError(place, name, f"one of {', '.join(sorted(known))}")


__all__ = [
    "MOUTH_FORMAT",
    "MouthDescriptionError",
    "MouthFormatError",
    "mouth_from_description",
    "mouth_to_description",
]
