"""What each person's films came to: grades, rejects and faults, counted and no more."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from bitewright.audit.counted_by import Dimension
from bitewright.audit.logged_exposures import LoggedExposures
from bitewright.quality.rating_schemes import RatingScheme


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonCounts:
    """One person's films.

    Parameters
    ----------
    label : str
        The person's code.
    films, rejected, ungraded : int
        ``ungraded``: without a grade of the scheme.
    grades : mapping of str to int
        Each grade of the scheme once.
    faults : tuple of str and int
        On how many films each was noted, the most frequent first.
    """

    label: str
    films: int
    rejected: int
    ungraded: int
    grades: Mapping[str, int]
    faults: tuple[tuple[str, int], ...]


def people_counts(
    log: LoggedExposures, scheme: RatingScheme, dimension: Dimension = Dimension.OPERATOR
) -> tuple[PersonCounts, ...]:
    """Everybody with a film, in the order of their codes: nobody is ranked."""
    names = log.names(dimension)
    person = log.code(dimension)
    present = sorted(np.unique(person[person >= 0]).tolist(), key=lambda k: names[k])
    return tuple(_of(log.where(person == k), names[k], scheme) for k in present)


def _of(films: LoggedExposures, label: str, scheme: RatingScheme) -> PersonCounts:
    given = np.bincount(films.rating[films.rating >= 0], minlength=len(films.rating_labels))
    by_label = dict(zip(films.rating_labels, given.tolist(), strict=True))
    grades = {
        grade: int(by_label.get(f"{scheme.name}:{grade}", 0)) for grade in scheme.targets_digital
    }
    # A film that lists one fault twice is one film with it.
    pairs = np.unique(np.column_stack([films.fault, films.fault_row]), axis=0)
    counts = np.bincount(pairs[:, 0], minlength=len(films.fault_labels))
    order = [int(k) for k in np.argsort(-counts, kind="stable") if counts[k]]
    return PersonCounts(
        label=label,
        films=len(films),
        rejected=int(films.rejected.sum()),
        ungraded=len(films) - sum(grades.values()),
        grades=grades,
        faults=tuple((films.fault_labels[k], int(counts[k])) for k in order),
    )


__all__ = ["PersonCounts", "people_counts"]
