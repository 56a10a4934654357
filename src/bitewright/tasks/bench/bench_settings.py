"""What a hand can set on the bench: each number with its words and its slider's range."""

from collections.abc import Mapping
from dataclasses import dataclass

from bitewright.errors import BitewrightError, quoted
from bitewright.tasks.plan.set_exposure import HandSetting
from bitewright.words.bench_settings import SETTING_HINTS, SETTING_LABELS


class UnknownSettingError(BitewrightError):
    """A number was sent for a setting that the bench does not have, or none at all."""

    def __init__(self, name: str, given: object) -> None:
        self.name = name
        self.given = given
        super().__init__(
            f"The bench has no setting {quoted(name)} with the value {quoted(given)}; it has "
            f"{', '.join(SETTINGS)}, each a number (lingual_mm may be left out)."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchSetting:
    """One number a hand can set on the bench. [mm, deg]

    ``low`` and ``high`` bound the slider; numbers beyond may be typed as far as a receptor can be
    seated and a tube aimed.
    """

    label: str
    hint: str
    low: float
    high: float
    step: float
    group: str


_RANGES = {
    "ring_offset_deg": ("Tube", -40.0, 40.0),
    "vertical_deg": ("Tube", -20.0, 30.0),
    "tube_forward_mm": ("Tube", -30.0, 30.0),
    "tube_up_mm": ("Tube", -30.0, 30.0),
    "forward_mm": ("Receptor", -16.0, 16.0),
    "lingual_mm": ("Receptor", 1.0, 20.0),
    "turn_deg": ("Receptor", -20.0, 30.0),
    "height_mm": ("Receptor", -12.0, 12.0),
    "tilt_deg": ("Receptor", -20.0, 20.0),
    "roll_deg": ("Receptor", -20.0, 20.0),
}
SETTINGS: Mapping[str, BenchSetting] = {
    name: BenchSetting(
        label=SETTING_LABELS[name],
        hint=SETTING_HINTS[name],
        low=low,
        high=high,
        step=0.5,
        group=group,
    )
    for name, (group, low, high) in _RANGES.items()
}


def hand_setting(given: Mapping[str, object]) -> HandSetting:
    """The setting of numbers sent by name; those left out are 0.

    Without ``lingual_mm`` the receptor lies as near to the teeth as it fits.

    Raises
    ------
    UnknownSettingError
        For a name the bench does not have, or a value that is no number.
    """
    numbers: dict[str, float] = {}
    for name, value in given.items():
        if name not in SETTINGS:
            raise UnknownSettingError(str(name), value)
        if value is None and name == "lingual_mm":
            continue
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise UnknownSettingError(name, value)
        try:
            numbers[name] = float(value)
        except OverflowError:
            raise UnknownSettingError(name, value) from None
    return HandSetting(**numbers)


__all__ = ["SETTINGS", "BenchSetting", "UnknownSettingError", "hand_setting"]
