"""Whether a workbook has a tab for each person who exposes."""

from collections.abc import Sequence

from bitewright.sheets.cells import plain
from bitewright.sheets.dates import month_and_year
from bitewright.sheets.view_words import view_in
from bitewright.sheets.vocabulary import NEARLY, heading_scores


def are_people(tabs: Sequence[str]) -> bool:
    """Whether tabs may be named for people: by letters alone, and no words for something else."""
    return len(tabs) > 1 and all(map(_may_be_person, tabs))


def _may_be_person(tab: str) -> bool:
    return (
        plain(tab).replace(" ", "").isalpha()
        and max(heading_scores(tab).values(), default=0.0) < NEARLY
        and view_in(tab) is None
        and not any(month_and_year(tab))
    )


__all__ = ["are_people"]
