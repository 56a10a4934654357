"""How likely each state of a contact and each grade of a film is, given how sure the marks are.

Over all contacts together: every measurement is drawn anew, and every draw is rated as a film is.
"""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from bitewright.exposing.landmarks import Status
from bitewright.figure_tables import figures_of
from bitewright.marking.film_overlaps import film_overlaps
from bitewright.marking.marked_landmarks import MARK_SD_MM
from bitewright.marking.visible_places import VISIBLE
from bitewright.quality.doubts import WORTH_TELLING
from bitewright.quality.findings import ContactFinding, Finding
from bitewright.quality.measure import Measurements
from bitewright.quality.questions import AnyQuestion
from bitewright.quality.rating import ContactState, Outcome, Rating, rate
from bitewright.quality.rating_schemes import RatingScheme

Floats = NDArray[np.float64]

DRAWS = 2000
"""A chance is then known to within 1.1 points (one standard deviation). Our choice."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class DrawnRating:
    """What a marked film may be: D films drawn about what was measured, and their rating."""

    rating: Rating

    def state_chance(self, contact: int, state: ContactState) -> float:
        """How likely a contact, by its column, is in a state."""
        return float((self.rating.states[:, contact] == state).mean())

    @property
    def all_open(self) -> float:
        """How likely all contacts that are shown are open."""
        shut = (ContactState.READABLE, ContactState.UNREADABLE)
        return float((~np.isin(self.rating.states, shut)).all(axis=1).mean())

    def doubted_anew(self, finding: Finding) -> Finding:
        """A finding whose doubt is as likely as among the draws; none where that is unlikely.

        What failed by what is marked, beside something that is not, may be not known instead.
        """
        said = finding.doubt
        if said is None:
            return finding
        outcomes = self.rating.outcomes[:, self.rating.names.index(finding.criterion.name)]
        other = said.other
        if finding.outcome is Outcome.FAILED and not (outcomes == other).any():
            other = Outcome.UNKNOWN
        chance = float((outcomes == other).mean())
        doubt = replace(said, other=other, chance=chance) if chance >= WORTH_TELLING else None
        return replace(finding, doubt=doubt)

    def grade_chances(self, scheme: RatingScheme) -> Mapping[str, float]:
        """How likely each grade is, the likeliest first."""
        counts = Counter(self.rating.grade(scheme))
        return {grade: count / DRAWS for grade, count in counts.most_common()}


@dataclass(frozen=True, slots=True, kw_only=True)
class StateChance:
    """Probability that a contact is open, readable or unreadable, given how sure the marks are.

    With what is known before anything is marked: see `drawn_rating`.
    """

    open: float
    readable: float
    unreadable: float


def drawn_rating(
    measured: Measurements, question: AnyQuestion, generator: np.random.Generator
) -> DrawnRating:
    """Draw what was measured of one film by its uncertainty, and rate each draw.

    Model: measurements normal about what was marked, each for itself; overlaps besides by how
    wide a film's contacts overlap together (`film_overlaps`), enamel by its own spread at each.
    A crest said to lie off the image lies as far off as on films at large: it may be just within.
    """
    changed = {
        name: _normal(getattr(measured, name), sd, generator)
        for name, sd in measured.sd.items()
        if name not in ("overlap_mm", "enamel_share")
    }
    overlap, share = measured.overlap_mm, measured.enamel_share
    enamel = np.divide(overlap, share, out=np.full_like(overlap, np.nan), where=share != 0.0)
    spread = measured.sd.get("overlap_mm", np.zeros_like(overlap))
    together = film_overlaps(overlap[0], spread[0], measured.wanted.contacts)
    is_sure = np.isnan(overlap) | (spread <= 0.0)
    drawn = np.where(is_sure, overlap, together.drawn(DRAWS, generator))
    thick = enamel * (1.0 + PRIOR.enamel.sd_share * generator.standard_normal(drawn.shape))
    off = _said_off_the_image(measured)
    if "crest_clearance_mm" in changed and off.any():
        changed["crest_clearance_mm"][:, off] = _beyond_the_edge(int(off.sum()), generator)
    return DrawnRating(
        rating=rate(
            _repeated(measured, changed | {"overlap_mm": drawn, "enamel_share": drawn / thick}),
            question=question,
        )
    )


def told_states(
    contacts: tuple[ContactFinding, ...], chances: tuple[StateChance | None, ...]
) -> tuple[ContactState, ...]:
    """The state of each contact as far as its marks tell it from open, and from readable."""
    return tuple(
        _told_state(contact.state, chance)
        for contact, chance in zip(contacts, chances, strict=True)
    )


def _told_state(state: ContactState, chance: StateChance | None) -> ContactState:
    if chance is None:
        return state
    if state is ContactState.OPEN and chance.open < RATHER_OPEN:
        return ContactState.NOT_TOLD_FROM_OPEN
    if state is ContactState.READABLE and chance.open >= LEFT_OPEN:
        return ContactState.NOT_TOLD_FROM_OPEN
    if state is ContactState.UNREADABLE and chance.unreadable < RATHER_UNREADABLE:
        return ContactState.NOT_TOLD_FROM_READABLE
    return state


SURE = 0.9
"""A grade at least this likely is told without doubt. Our choice."""
LEFT_OPEN = 0.1
"""A contact at least this likely to be open cannot be told from open. Our choice."""
RATHER_OPEN = 0.5
"""A contact measured as open and less likely than this to be so is not told as that. Our choice."""
RATHER_UNREADABLE = 0.5
"""A contact less likely than this to be unreadable is not told as that. Our choice."""


def state_chances(
    contacts: tuple[ContactFinding, ...], drawn: DrawnRating
) -> tuple[StateChance | None, ...]:
    """How likely the states of each contact are; None where its overlap is not known."""
    return tuple(
        None
        if contact.overlap_mm is None
        else StateChance(
            open=drawn.state_chance(column, ContactState.OPEN),
            readable=drawn.state_chance(column, ContactState.READABLE),
            unreadable=drawn.state_chance(column, ContactState.UNREADABLE),
        )
        for column, contact in enumerate(contacts)
    )


def _said_off_the_image(measured: Measurements) -> NDArray[np.bool_]:
    """Which crests (R,) a person says lie off the image."""
    status = [measured.gone[name][0] for name in measured.wanted.crests]
    return np.asarray(np.array(status, dtype=np.int8) == Status.OUTSIDE)


def _beyond_the_edge(count: int, generator: np.random.Generator) -> Floats:
    """Clearances (DRAWS, count) of crests said to lie off the image. [mm]

    The film shows the bone's corner nearer to the root's end than the model has the crest, and
    whether that corner is on the image is judged as surely as a mark is set. Where places thin out
    exponentially beyond the edge, one judged to lie off by some way lies normally about a place
    nearer by the variance over the mean.
    """
    usual, sd = PRIOR.crest.off_by_mm, MARK_SD_MM
    judged = -generator.exponential(usual, (DRAWS, count))
    nearer = VISIBLE.crest.rootward_mm + sd**2 / usual
    return np.asarray(judged + nearer + sd * generator.standard_normal((DRAWS, count)))


def _normal(value: Floats, sd: Floats, generator: np.random.Generator) -> Floats:
    noise = generator.standard_normal((DRAWS, *value.shape[1:]))
    return np.asarray(value + np.nan_to_num(sd) * noise)


def _repeated(measured: Measurements, changed: Mapping[str, Floats]) -> Measurements:
    """One film's measurements as those of DRAWS films, some of them changed."""
    names = [name for name in measured.__slots__ if name not in ("wanted", "sd", "gone")]
    fields: dict[str, Any] = {
        name: np.repeat(getattr(measured, name), DRAWS, axis=0) for name in names
    }
    gone = {name: np.repeat(each, DRAWS) for name, each in measured.gone.items()}
    return replace(measured, **(fields | dict(changed)), gone=gone, sd={})


class EnamelSpread(NamedTuple):
    """How enamel differs from its usual thickness."""

    sd_share: float


class CrestOff(NamedTuple):
    """How far off the image crests lie that are said to be off it. [mm]"""

    off_by_mm: float


class BeforeMarks(NamedTuple):
    """What is known before anything is marked."""

    enamel: EnamelSpread
    crest: CrestOff


PRIOR = figures_of(BeforeMarks, "bitewright.marking", "before_marks")

__all__ = [
    "DRAWS",
    "PRIOR",
    "SURE",
    "DrawnRating",
    "StateChance",
    "drawn_rating",
    "state_chances",
    "told_states",
]
