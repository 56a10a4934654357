"""When so many films are of no use that work does not go on as usual."""

from collections.abc import Sequence

from bitewright.audit.proportions import Share
from bitewright.audit.targets import TargetStanding
from bitewright.quality.rating_schemes import RatingScheme

ALARM = 0.25
"""Share of films that the whole interval lies above when it is an alarm. Our choice."""

FEWEST_FOR_ALARM = 5
"""Of fewer films no alarm is made. Our choice."""


def is_alarming(share: Share) -> bool:
    """Whether more films than a quarter are of no use, chance allowed for."""
    return share.total >= FEWEST_FOR_ALARM and share.low > ALARM


def alarming_grade(
    standings: Sequence[TargetStanding], scheme: RatingScheme
) -> TargetStanding | None:
    """The failing grade where so many films have it; None in a scheme that names none."""
    failing = scheme.grades.get("some_failed")
    return next(
        (each for each in standings if each.grade == failing and is_alarming(each.share)), None
    )


__all__ = ["ALARM", "FEWEST_FOR_ALARM", "alarming_grade", "is_alarming"]
