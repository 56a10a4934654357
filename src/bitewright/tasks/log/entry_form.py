"""What the page of the log offers to choose from when an exposure is entered, each with its key."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from bitewright.equipment.catalogue import Catalogue
from bitewright.log.decisions import DECISION_KINDS
from bitewright.log.faults import fault_kinds
from bitewright.log.fields import KINDS
from bitewright.quality.rating_schemes import rating_schemes
from bitewright.words.log_titles import field_value_title, view_title

VIEW_KEYS: Mapping[str, str] = {
    "right-premolar": "1",
    "right-molar": "2",
    "left-premolar": "3",
    "left-molar": "4",
    "right-premolar-vertical": "5",
    "right-molar-vertical": "6",
    "left-premolar-vertical": "7",
    "left-molar-vertical": "8",
    "periapical": "p",
    "occlusal": "o",
    "right-bitewing": "r",
    "left-bitewing": "l",
    "bitewing": "b",
}
"""Keys of the views, in the order in which they are offered. Our choice."""
DECISION_KEYS: Mapping[str, str] = {
    "accepted": "a",
    "accepted-with-a-remark": "m",
    "rejected": "r",
    "retaken": "t",
    "undecided": "u",
}
"""Keys of the decisions, and of none yet. Our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """One thing to choose; ``key`` is what chooses it, empty where nothing does."""

    name: str
    title: str
    key: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class EntryForm:
    """Everything there is to choose from.

    Parameters
    ----------
    views, decisions, faults, kinds, receptors, holders : tuple of Choice
    schemes : tuple of Choice
    grades : mapping of str to tuple of Choice
        By scheme; names as the log has them, such as "uk-2020:A".
    """

    views: tuple[Choice, ...]
    decisions: tuple[Choice, ...]
    faults: tuple[Choice, ...]
    kinds: tuple[Choice, ...]
    receptors: tuple[Choice, ...]
    holders: tuple[Choice, ...]
    schemes: tuple[Choice, ...]
    grades: Mapping[str, tuple[Choice, ...]]


def entry_form(known: Catalogue) -> EntryForm:
    """The form; ``known``: the equipment there is."""
    return EntryForm(
        views=tuple(
            Choice(name=name, title=view_title(name), key=key) for name, key in VIEW_KEYS.items()
        ),
        decisions=tuple(
            Choice(
                name=name,
                title=DECISION_KINDS[name].title if name in DECISION_KINDS else "not decided yet",
                key=key,
            )
            for name, key in DECISION_KEYS.items()
        ),
        faults=tuple(
            Choice(name=each.name, title=each.title, key=each.letters)
            for each in fault_kinds().values()
        ),
        kinds=tuple(Choice(name=name, title=field_value_title("kind", name)) for name in KINDS),
        receptors=_equipment({name: each.title for name, each in known.receptors.items()}),
        holders=_equipment({name: each.title for name, each in known.holders.items()}),
        schemes=tuple(
            Choice(name=each.name, title=each.title) for each in rating_schemes().values()
        ),
        grades={
            name: _grades(name, each.grades.values()) for name, each in rating_schemes().items()
        },
    )


def _equipment(titles: Mapping[str, str]) -> tuple[Choice, ...]:
    return tuple(Choice(name=name, title=title) for name, title in titles.items())


def _grades(scheme: str, grades: Iterable[str]) -> tuple[Choice, ...]:
    """Each grade once; its own first letter or digit is its key."""
    once = tuple(dict.fromkeys(grades))
    return tuple(
        Choice(name=f"{scheme}:{grade}", title=grade, key=grade[0].lower()) for grade in once
    )


__all__ = ["DECISION_KEYS", "VIEW_KEYS", "Choice", "EntryForm", "entry_form"]
