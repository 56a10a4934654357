"""A patient's limits from their names, as commands and pages are given them."""

from collections.abc import Iterable

from bitewright.errors import BitewrightError, quoted
from bitewright.mouth.mouth import LIMITS
from bitewright.nearest_name import meant
from bitewright.planning.patient_limits import Patient, PatientLimit, assumed_limits, patient

OPENS_MM = LIMITS["opening_limit_mm"]
"""Between these the front teeth of a patient may part."""


class PatientLimitUnknownError(BitewrightError):
    """A limit was named that is not one of a patient's."""

    def __init__(self, given: str) -> None:
        self.given = given
        names = [each.value for each in PatientLimit]
        super().__init__(
            f"The patient was said to have {quoted(given)}, which is no limit: give one of "
            f"{', '.join(names)}.{meant(given, names)}"
        )


def named_patient(limits: Iterable[str] = (), opens_mm: float | None = None) -> Patient:
    """A patient of some limits by name.

    Raises
    ------
    PatientLimitUnknownError
    """
    names = {each.value for each in PatientLimit}
    given = list(limits)
    for name in given:
        if name not in names:
            raise PatientLimitUnknownError(name)
    return patient([PatientLimit(name) for name in given], opens_mm)


def limit_choices() -> dict[str, str]:
    """Each limit's name and title, in the order of the table."""
    return {limit.value: row.title for limit, row in assumed_limits().items()}


__all__ = ["OPENS_MM", "Patient", "PatientLimitUnknownError", "limit_choices", "named_patient"]
