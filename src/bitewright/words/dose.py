"""Tube settings, retakes and dose in words; a reference level is no limit."""

from bitewright.audit.dose_side import ReferenceLevel, Spread, ViewDose
from bitewright.words.log_titles import view_title
from bitewright.words.rates import interval_words, percent

TITLE = "Settings and dose by view"
HEADINGS = ("view", "exposures", "kV", "mA", "s", "mGy", "retakes", "of all", "95% interval")
ALL = "all"
NO_OUTPUT = (
    "No measured output is entered, so no dose is told: enter what was measured at the tube, with "
    "setting, day and who measured it, in the record's settings."
)
NO_SETTINGS = "No exposure here has its kV, mA and s logged, so no setting can be told."
HOW_READ = (
    "Each setting: the middle one, and least to most where they differ. Dose: air kerma at the end "
    "of the tube, worked out from the output that was measured at the same kV, in step with mA "
    "times s. No other tube, distance or filter is allowed for."
)
NO_LIMIT = (
    "A reference level is no limit: it is set so that about three in four surveyed practices lie "
    "below it (from memory: ICRP 135). Whoever lies above asks why; whoever lies below is not "
    "thereby good."
)
NO_LEVELS = (
    "No reference level is entered: enter the one that holds in your country, with year and source."
)


def spread_words(spread: Spread | None, digits: int = 3) -> str:
    """The middle, and the ends where they differ."""
    if spread is None:
        return "not logged"
    middle = f"{spread.middle:.{digits}g}"
    ends = f"{spread.least:.{digits}g}", f"{spread.most:.{digits}g}"
    return middle if ends[0] == ends[1] else f"{middle} ({ends[0]} to {ends[1]})"


def dose_cells(row: ViewDose) -> tuple[str, ...]:
    """A row of the table."""
    mgy = "not measured" if row.entrance_mgy is None else spread_words(row.entrance_mgy, 2)
    enough = row.retakes.enough
    return (
        view_title(row.view) if row.view else ALL,
        str(row.exposures),
        spread_words(row.tube_voltage_kv),
        spread_words(row.tube_current_ma),
        spread_words(row.exposure_time_s),
        mgy,
        str(row.retakes.count),
        percent(row.retakes.share) if enough else "too few",
        interval_words(row.retakes) if enough else "",
    )


def left_out_words(all_of_them: ViewDose) -> str:
    """Of how many exposures no dose can be told."""
    told = all_of_them.entrance_mgy.count if all_of_them.entrance_mgy is not None else 0
    if told == all_of_them.exposures:
        return ""
    return (
        f"Dose is told of {told} of {all_of_them.exposures} exposures: of the others a setting is "
        "not logged, or no output was measured at their kV and in their room."
    )


def level_words(level: ReferenceLevel, spread: Spread | None) -> str:
    """A reference level with where this record's middle lies."""
    said = (
        f"{level.title}: {level.entrance_mgy:g} mGy ({level.country}, {level.year}; "
        f"{level.source})."
    )
    if spread is None:
        return said
    side = "above" if spread.middle > level.entrance_mgy else "not above"
    return f"{said} The middle of these exposures, {spread.middle:.2g} mGy, is {side} it."


__all__ = [
    "ALL",
    "HEADINGS",
    "HOW_READ",
    "NO_LEVELS",
    "NO_LIMIT",
    "NO_OUTPUT",
    "NO_SETTINGS",
    "TITLE",
    "dose_cells",
    "left_out_words",
    "level_words",
    "spread_words",
]
