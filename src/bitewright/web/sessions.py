"""Who has been let in: links that lead in, sessions that last, the two kinds of both.

Sign-in and roles have their place here later: whatever asks who somebody is, asks a `Session`.
"""

import hashlib
import time
from collections.abc import Callable, Iterable, Mapping
from dataclasses import asdict, dataclass
from enum import StrEnum
from hmac import compare_digest
from secrets import token_urlsafe
from threading import Lock
from typing import Any

DAY_S = 86_400.0


class Kind(StrEnum):
    """What a link lets somebody do."""

    OWN = "own"
    CLASS = "class"


LASTS_S: Mapping[Kind, float] = {Kind.OWN: 30 * DAY_S, Kind.CLASS: 0.5 * DAY_S}
"""How long a session lasts. Our choice."""

LINK_LASTS_S = 0.5 * DAY_S
"""How long a link leads in. Our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Session:
    """One browser that was let in. ``digest``: of its secret, which the browser alone has."""

    kind: Kind
    since: float
    digest: str

    @property
    def name(self) -> str:
        """What it goes by in lists: no secret."""
        return self.digest[:12]

    @property
    def user(self) -> str:
        """Whose edits a browser keeps: the owner's, or those of one browser of a class."""
        return "own" if self.kind is Kind.OWN else f"class-{self.name}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Link:
    """A link that was given out. One of the owner works once, one of a class until it is closed."""

    kind: Kind
    made: float


class Sessions:
    """Links and sessions of one server; ``keep`` is told of every change of the sessions."""

    def __init__(
        self,
        kept: Iterable[Mapping[str, Any]] = (),
        *,
        keep: Callable[[list[dict[str, Any]]], None] = lambda _: None,
        clock: Callable[[], float] = time.time,
    ) -> None:
        self._lock = Lock()
        self._keep = keep
        self._clock = clock
        self._links: dict[str, Link] = {}
        self._sessions: dict[str, Session] = {}
        for each in kept:
            made = Session(
                kind=Kind(each["kind"]), since=float(each["since"]), digest=str(each["digest"])
            )
            self._sessions[made.digest] = made

    def add_link(self, kind: Kind, token: str | None = None) -> str:
        """A token that leads in."""
        made = token or token_urlsafe(18)
        with self._lock:
            self._links[_digest(made)] = Link(kind=kind, made=self._clock())
        return made

    def enter(self, token: str) -> tuple[str, Session] | None:
        """The secret of a new session and the session, for who brings a link's token."""
        with self._lock:
            digest = _digest(token)
            link = self._links.get(digest)
            if link is None or self._clock() - link.made > LINK_LASTS_S:
                return None
            if link.kind is Kind.OWN:
                del self._links[digest]
            secret = token_urlsafe(32)
            made = Session(kind=link.kind, since=self._clock(), digest=_digest(secret))
            self._sessions[made.digest] = made
            self._changed()
            return secret, made

    def of(self, secret: str) -> Session | None:
        """The session that a browser's secret opens, if it lasts yet."""
        digest = _digest(secret)
        found = self._sessions.get(digest)
        if found is None or not compare_digest(found.digest, digest):
            return None
        return found if self._lasts(found) else None

    def all(self) -> tuple[Session, ...]:
        """Every session that lasts, the newest first."""
        lasting = [each for each in self._sessions.values() if self._lasts(each)]
        return tuple(sorted(lasting, key=lambda each: -each.since))

    def end(self, name: str) -> None:
        """End one session."""
        with self._lock:
            self._sessions = {d: s for d, s in self._sessions.items() if s.name != name}
            self._changed()

    def close_class(self) -> None:
        """End every session of a class and close its links."""
        with self._lock:
            self._links = {d: link for d, link in self._links.items() if link.kind is Kind.OWN}
            self._sessions = {d: s for d, s in self._sessions.items() if s.kind is Kind.OWN}
            self._changed()

    def kept(self) -> list[dict[str, Any]]:
        """The sessions as they are kept: digests, no secrets."""
        return [asdict(each) for each in self.all()]

    def _lasts(self, session: Session) -> bool:
        return self._clock() - session.since < LASTS_S[session.kind]

    def _changed(self) -> None:
        self._keep(self.kept())


def _digest(secret: str) -> str:
    return hashlib.sha256(secret.encode()).hexdigest()


__all__ = ["LASTS_S", "Kind", "Link", "Session", "Sessions"]
