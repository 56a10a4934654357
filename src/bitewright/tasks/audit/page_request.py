"""What the pages of the audit are asked for, by their address."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from urllib.parse import urlencode

from bitewright.audit.counted_by import Dimension, Event, Period
from bitewright.audit.logged_exposures import Filter
from bitewright.audit.whole_audit import AuditSettings
from bitewright.log.days import day_number
from bitewright.log.fields import from_text
from bitewright.tasks.log.read_log import DECIDED, NOT_KEPT
from bitewright.words.audit_page import CHANGE


@dataclass(frozen=True, slots=True, kw_only=True)
class PageRequest:
    """What the page asks.

    Parameters
    ----------
    only : mapping of Dimension to labels
    since, until : str
        ISO dates, both included; empty where open.
    event : Event
    period : Period or None
        By the record's size where None.
    people : bool
        Whether to tell people apart, by code.
    scheme : str
        Whose targets.
    change, what : str
        ISO date of a change to judge, and what was changed; empty where none is.
    """

    only: Mapping[Dimension, tuple[str, ...]] = field(default_factory=dict)
    since: str = ""
    until: str = ""
    event: Event = Event.REJECT
    period: Period | None = None
    people: bool = False
    scheme: str = "uk-2020"
    change: str = ""
    what: str = ""

    @property
    def wanted(self) -> Filter:
        """Which exposures; raises `FieldValueError`."""
        first, last = (
            day_number(str(from_text("day", text))) if text else None
            for text in (self.since, self.until)
        )
        return Filter(only=self.only, first_day=first, last_day=last)

    @property
    def settings(self) -> AuditSettings:
        """As an audit takes it; raises `FieldValueError`."""
        day = from_text("day", self.change) if self.change else None
        return AuditSettings(
            event=self.event,
            changes=((self.what or CHANGE, day_number(str(day))),) if day else (),
        )

    def films(self, **more: str) -> str:
        """Address of the list of films that a point of a chart stands for."""
        given: dict[str, list[str]] = {
            dimension.value: list(labels) for dimension, labels in self.only.items()
        }
        given |= {"since": [self.since], "until": [self.until]}
        given |= {name: [text] for name, text in more.items()}
        pairs = [(name, text) for name, texts in given.items() for text in texts if text]
        return f"/record/log?{urlencode(pairs)}"

    def decided_films(self, **more: str) -> str:
        """Address of the list of films that are in a total: those decided on."""
        return self.films(**more, decision=DECIDED)

    def counted_films(self, **more: str) -> str:
        """Address of the list of films that are counted: rejects, or retakes."""
        if self.event is Event.REJECT:
            return self.films(**more, decision=NOT_KEPT)
        return self.films(**more, retakes="true")


__all__ = ["PageRequest"]
