"""What can be chosen for a bench's film: exposure, display, faults, and what its teeth carry."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from bitewright.equipment.receptors import ReceptorKind
from bitewright.errors import BitewrightError, quoted
from bitewright.film.film_faults import POSSIBLE, FaultName, fault_from_text
from bitewright.film.film_kinds import PLAIN, Handling, look_names
from bitewright.mouth.invented_mouths import invented_mouth
from bitewright.mouth.mouth import Mouth, mirrored_code
from bitewright.mouth.tooth_parts import ToothPart
from bitewright.nearest_name import meant
from bitewright.words.contact_sheet import film_fault_title
from bitewright.words.film_choices import FILLINGS_TITLES, LOOK_TITLES

OWN, NONE, RESTORED = FILLINGS_TITLES


class UnknownFillingsError(BitewrightError):
    """What teeth should carry was named, and there is no such choice."""

    status_code = 400

    def __init__(self, given: str) -> None:
        self.given = given
        super().__init__(
            f"What teeth carry, {quoted(given)}, is not known: give one of "
            f"{', '.join(FILLINGS_TITLES)}.{meant(given, FILLINGS_TITLES)}"
        )


class BadHandlingError(BitewrightError):
    """How a film is to be exposed, shown or handled is not as the bench takes it."""

    def __init__(self, given: object) -> None:
        super().__init__(
            f"The film was asked for with {quoted(given)}; it takes `mas` (a number, or null for "
            "what is right), `look` (a name) and `faults` (a list of names)."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class FaultChoice:
    """A fault as a page offers it, and the kinds of receptor that can have it."""

    name: str
    title: str
    kinds: tuple[str, ...]


def handling_of(given: object) -> Handling:
    """How a film is exposed, displayed and handled, from what a page sent.

    Raises
    ------
    BadHandlingError, UnknownFaultError
    """
    if not isinstance(given, Mapping) or not set(given) <= {"mas", "look", "faults"}:
        raise BadHandlingError(given)
    mas, look, faults = given.get("mas"), given.get("look", PLAIN), given.get("faults", [])
    is_number = isinstance(mas, int | float) and not isinstance(mas, bool)
    if not ((mas is None or is_number) and isinstance(look, str) and isinstance(faults, list)):
        raise BadHandlingError(given)
    if len(faults) > len(FaultName) or not all(isinstance(each, str) for each in faults):
        raise BadHandlingError(given)
    try:
        dose = None if mas is None else float(mas)
    except OverflowError:
        raise BadHandlingError(given) from None
    return Handling(
        mas=dose, look=look, faults=tuple(fault_from_text(text) for text in dict.fromkeys(faults))
    )


def fault_choices() -> tuple[FaultChoice, ...]:
    """The faults there are."""
    return tuple(
        FaultChoice(
            name=each.value,
            title=film_fault_title(each.value),
            kinds=tuple(kind.value for kind in ReceptorKind if kind in POSSIBLE[each]),
        )
        for each in FaultName
    )


def look_choices() -> dict[str, str]:
    """The displays there are, by name, with their titles."""
    return {name: LOOK_TITLES[name] for name in look_names()}


def carrying(mouth: Mouth, fillings: str) -> Mouth:
    """A mouth whose teeth carry what it says, nothing, or what the restored mouth carries.

    The restored mouth's right teeth have all of it; here each side carries the same.

    Raises
    ------
    UnknownFillingsError
    """
    if fillings not in FILLINGS_TITLES:
        raise UnknownFillingsError(fillings)
    if fillings == OWN:
        return mouth
    parts = _restored_parts() if fillings == RESTORED else {}
    teeth = {code: replace(tooth, parts=parts.get(code, ())) for code, tooth in mouth.teeth.items()}
    return replace(mouth, teeth=teeth)


def _restored_parts() -> dict[int, tuple[ToothPart, ...]]:
    carried = {code: tooth.parts for code, tooth in invented_mouth(RESTORED).teeth.items()}
    return {code: parts or carried[mirrored_code(code)] for code, parts in carried.items()}


__all__ = [
    "OWN",
    "BadHandlingError",
    "FaultChoice",
    "Handling",
    "UnknownFillingsError",
    "carrying",
    "fault_choices",
    "handling_of",
    "look_choices",
]
