"""How far people agree who graded the same images."""

from dataclasses import dataclass
from itertools import combinations
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from bitewright import __version__
from bitewright.audit.agreement import (
    Kappa,
    TooFewRatingsError,
    cohen,
    fleiss,
    percent_agreement,
    two_way,
)
from bitewright.audit.design_effect import DesignEffect, likeness_of
from bitewright.audit.proportions import Share
from bitewright.errors import BitewrightError, listed_plainly, quoted
from bitewright.files.ratings_csv import Ratings, read_ratings
from bitewright.tasks.audit.rate_documents import share_document
from bitewright.words.agreement import kappa_words
from bitewright.words.phrases import are, counted

AGREEMENT_FORMAT = "bitewright.agreement/1"


class GradeOrderError(BitewrightError):
    """An order of grades lacks one that was given, or names one twice."""

    def __init__(self, grade: str, given: tuple[str, ...]) -> None:
        self.grade = grade
        super().__init__(
            f"Grade {quoted(grade)} must stand once in the order of grades, which is "
            f"{listed_plainly(given)}: name every grade once, the best first."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class PairAgreement:
    """Two raters; ``table``: images by the first's grade (rows) and the second's."""

    raters: tuple[str, str]
    images: int
    alike: Share
    kappa: Kappa
    weighted: Kappa
    table: tuple[tuple[int, ...], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class RaterComparison:
    """Every pair of raters, and all together on the images all have graded.

    ``patients_given``: whether the table says whose each image is.
    """

    grades: tuple[str, ...]
    pairs: tuple[PairAgreement, ...]
    together: Kappa | None
    images_together: int
    patients_given: bool

    def document(self) -> dict[str, Any]:
        """As data for machines."""
        return {
            "format": AGREEMENT_FORMAT,
            "version": __version__,
            "grades": list(self.grades),
            "pairs": [
                {
                    "raters": list(pair.raters),
                    "images": pair.images,
                    "alike": share_document(pair.alike),
                    "kappa": kappa_document(pair.kappa),
                    "weighted": kappa_document(pair.weighted),
                    "table": [list(row) for row in pair.table],
                }
                for pair in self.pairs
            ],
            "together": None if self.together is None else kappa_document(self.together),
            "images_together": self.images_together,
            "patients_given": self.patients_given,
        }


def compare_raters(path: Path, order: tuple[str, ...] = ()) -> RaterComparison:
    """Agreement of the raters of a CSV file with the columns image, rater, grade, perhaps patient.

    Parameters
    ----------
    path : Path
    order : tuple of str
        Grades in order, for the weights; in alphabetical order if left out.

    Raises
    ------
    FileUnreadableError, MissingColumnError, RatingRowError, GradeOrderError, TooFewRatingsError
    """
    read = read_ratings(path)
    ratings = read.grades
    raters = sorted({rater for given in ratings.values() for rater in given})
    grades = tuple(sorted({grade for given in ratings.values() for grade in given.values()}))
    for grade in (*grades, *order) if order else ():
        if order.count(grade) != 1:
            raise GradeOrderError(grade, order)
    grades = order or grades
    if len(raters) < 2:
        problem = f"there {are(len(raters))} {counted(len(raters), 'rater')}"
        raise TooFewRatingsError(problem)
    pairs = tuple(_pair(read, pair, grades) for pair in combinations(raters, 2))
    shared = {image: given for image, given in ratings.items() if len(given) == len(raters)}
    together = None
    if len(raters) > 2 and len(shared) >= 2:
        counts = [
            [list(given.values()).count(grade) for grade in grades] for given in shared.values()
        ]
        whose = [read.patients[image] for image in shared] if read.patients else None
        together = fleiss(np.array(counts), patient=whose)
    return RaterComparison(
        grades=grades,
        pairs=pairs,
        together=together,
        images_together=len(shared),
        patients_given=bool(read.patients),
    )


def _pair(ratings: Ratings, raters: tuple[str, str], grades: tuple[str, ...]) -> PairAgreement:
    one, other = raters
    both = {
        image: given for image, given in ratings.grades.items() if one in given and other in given
    }
    first, second = ([given[rater] for given in both.values()] for rater in raters)
    table = two_way(first, second, grades)
    effect, patients = DesignEffect(value=np.array(1.0)), None
    if ratings.patients:
        _, whose = np.unique([ratings.patients[image] for image in both], return_inverse=True)
        alike = np.array(first) == np.array(second)
        case = whose.astype(np.int32)
        effect = likeness_of(alike, case).design_effect(case)
        patients = _of_each_patient(first, second, whose, grades)
    return PairAgreement(
        raters=raters,
        images=len(both),
        alike=percent_agreement(table, design_effect=effect),
        kappa=cohen(table, patients=patients),
        weighted=cohen(table, weighted=True, patients=patients),
        table=tuple(tuple(int(cell) for cell in row) for row in table),
    )


def _of_each_patient(
    first: list[str], second: list[str], whose: NDArray[np.int64], grades: tuple[str, ...]
) -> NDArray[np.float64]:
    """Table of two raters' grades of each patient's images, (P, G, G); whose each is, (S,)."""
    place = {grade: index for index, grade in enumerate(grades)}
    rows, columns = (np.array([place[each] for each in given]) for given in (first, second))
    tables = np.zeros((int(whose.max()) + 1, len(grades), len(grades)))
    np.add.at(tables, (whose, rows, columns), 1)
    return tables


def kappa_document(kappa: Kappa) -> dict[str, Any]:
    """A kappa as data for machines."""
    return {
        "kind": kappa.kind,
        "value": round(kappa.value, 4),
        "low": round(kappa.low, 4),
        "high": round(kappa.high, 4),
        "confidence": kappa.confidence,
        "words": kappa_words(kappa),
    }


__all__ = [
    "GradeOrderError",
    "PairAgreement",
    "RaterComparison",
    "compare_raters",
    "kappa_document",
]
