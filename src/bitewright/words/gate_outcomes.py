"""What came of decisions at the gate, in words."""

from collections.abc import Sequence

from bitewright.audit.gate_outcomes import DecidedAtGate, StatedAndWon
from bitewright.words.phrases import counted

GATES_TITLE = "Before another exposure: said and won"
GATES_HEADINGS = (
    "chance stated",
    "exposures",
    "places",
    "stated",
    "won",
    "95% interval",
    "doubtful",
)
OF_WHOLE_LOG = "All decisions in the log, whatever films this audit took."
FEW_OUTCOMES = 20
"""Of fewer exposures nothing is said of how right the odds are. Our choice, as for rates."""


def gates_words(decisions: Sequence[DecidedAtGate], of_all: StatedAndWon) -> tuple[str, ...]:
    """How many decisions there are, and whether places were won as often as said."""
    if not decisions:
        return ("Nobody has signed a decision at the gate before another exposure yet.",)
    exposing = [each for each in decisions if each.is_exposing]
    waiting = sum(each.read is None for each in exposing)
    said = [
        f"{counted(len(decisions), 'decision')} at the gate: {len(decisions) - len(exposing)} not "
        f"to expose, {len(exposing)} to expose once more"
        + (f", {waiting} of them without an outcome yet." if waiting else ".")
    ]
    if of_all.places:
        said.append(
            f"Of {counted(of_all.places, 'unread place')} {of_all.stated:.0%} were said to be won, "
            f"{of_all.won / of_all.places:.0%} were (95% interval {of_all.low:.0%} to "
            f"{of_all.high:.0%})."
        )
        said.append(_verdict(of_all))
    return tuple(said)


def _verdict(of_all: StatedAndWon) -> str:
    if of_all.exposures < FEW_OUTCOMES:
        return (
            f"{counted(of_all.exposures, 'further exposure')}: too few to tell whether the odds "
            "are right here."
        )
    if of_all.low <= of_all.stated <= of_all.high:
        return "That agrees with what was said."
    more = "more" if of_all.stated < of_all.low else "less"
    return f"Places are won {more} often here than is said."


def gates_cells(row: StatedAndWon) -> tuple[str, ...]:
    """A row of the table in words."""
    if not row.places:
        return (row.label, "0", "0", "", "", "", "")
    return (
        row.label,
        str(row.exposures),
        str(row.places),
        f"{row.stated:.0%}",
        f"{row.won / row.places:.0%}",
        f"{row.low:.0%} to {row.high:.0%}",
        str(row.doubtful),
    )


__all__ = ["GATES_HEADINGS", "GATES_TITLE", "OF_WHOLE_LOG", "gates_cells", "gates_words"]
