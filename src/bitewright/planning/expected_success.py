"""Expected success: how likely a film serves what it is taken for, over all that it may turn out.

What may turn out is given as exposures, drawn by whoever asks: an operator's slips about a set-up,
in a mouth that is known or in many that are believed. A planner compares set-ups by it, an
explanation corrections.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bitewright.exposing.exposure import Exposures
from bitewright.exposing.project import Shapes, project, project_shapes
from bitewright.quality.criteria import CriterionName, Question
from bitewright.quality.measure import NOT_SEEN, Measurements
from bitewright.quality.predicted import Asked, rated
from bitewright.quality.questions import AnyQuestion, needs
from bitewright.quality.rating import Outcome
from bitewright.quality.wanted import edges
from bitewright.row_bands import ALONE, Threads

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True)
class Success:
    """How likely one set-up serves its purpose.

    Parameters
    ----------
    chance : float
        That nothing fails which the question needs.
    error : float
        Standard error of the chance: of drawing, not of what was assumed.
    shown : float
        Share of the surfaces and crests that the question needs, shown and readable, on average.
    fails_most : tuple of (CriterionName, float)
        Criteria that fail, each with how likely it does, the likeliest first.
    """

    chance: float
    error: float
    shown: float
    fails_most: tuple[tuple[CriterionName, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Served:
    """What became of E exposures.

    Parameters
    ----------
    names : tuple of K CriterionName
    failed : (E, K) bool array
        Which criteria fail.
    shown : (E,) float array
        Share of the surfaces and crests that the question needs, shown and readable.
    """

    names: tuple[CriterionName, ...]
    failed: Flags
    shown: Floats

    def success(self, among: slice | Flags = slice(None)) -> Success:
        """Expected success over some of the exposures, each as likely as another.

        Parameters
        ----------
        among : slice or (E,) bool array
            Those of one set-up, where several were tried at once; all, if left out.
        """
        failed, shown = self.failed[among], self.shown[among]
        serves = np.asarray(~failed.any(axis=1))
        chance = float(serves.mean())
        often = failed.mean(axis=0)
        order = np.argsort(-often, kind="stable")
        return Success(
            chance=chance,
            error=float(np.sqrt(chance * (1.0 - chance) / len(serves))),
            shown=float(shown.mean()),
            fails_most=tuple((self.names[k], float(often[k])) for k in order if often[k] > 0.0),
        )


def served(
    exposures: Exposures,
    of: Asked,
    *,
    question: AnyQuestion = Question.ENAMEL,
    shapes: Shapes | None = None,
    mouth_of: NDArray[np.int64] | None = None,
    threads: Threads = ALONE,
) -> Served:
    """Which of E exposures serve a question, and what fails on the others.

    Parameters
    ----------
    exposures : Exposures
        E of them, the operator's slips already in them.
    of : Asked
        The view, asked of the station's mouth (`quality.predicted.asked`).
    question : AnyQuestion
        The purpose.
    shapes : Shapes, optional
        M believed mouths that have the same structures as the station's; its own, if left out.
    mouth_of : (E,) int array, optional
        Which of the M mouths each exposure is of.
    threads : Threads

    Notes
    -----
    Serves: no criterion fails for the question. The beam is taken to go where it is aimed: what it
    cuts off is not shown, its cover by itself fails nothing.

    Examples
    --------
    Two set-ups in the same 200 believed mouths, an exposure of each set-up in each mouth, the
    first set-up's before the second's::

        found = served(exposures, of, shapes=shapes, mouth_of=np.tile(np.arange(200), 2))
        one, other = found.success(slice(0, 200)), found.success(slice(200, 400))
    """
    if shapes is None:
        projected = project(exposures, of.targets, threads=threads)
    else:
        projected = project_shapes(
            exposures, of.targets, shapes, mouth_of=mouth_of, threads=threads
        )
    prediction = rated(*projected, of, question=question)
    return Served(
        names=prediction.rating.names,
        failed=prediction.rating.outcomes == Outcome.FAILED,
        shown=_shown(prediction.measurements, question),
    )


def shown_each(measured: Measurements, question: AnyQuestion) -> dict[str, Flags]:
    """Whether each surface and crest that a question needs is on the image and readable, (E,)."""
    want = measured.wanted
    need = needs(question, want)
    unreadable = {
        name: measured.enamel_share[:, column] > need.unreadable_share
        for column, pair in enumerate(want.contacts)
        for name in edges(pair)
    }
    never = np.zeros(len(measured), dtype=np.bool_)
    surfaces = {
        name: ~(np.isin(measured.gone[name], NOT_SEEN) | unreadable.get(name, never))
        for name in want.surfaces
        if name in need.surfaces
    }
    crests = {
        name: measured.crest_clearance_mm[:, column] >= 0.0
        for column, name in enumerate(want.crests)
        if name in need.crests
    }
    return surfaces | crests


def _shown(measured: Measurements, question: AnyQuestion) -> Floats:
    """Share of what a question needs that is on the image and readable, (E,); 1 if nothing is."""
    seen = list(shown_each(measured, question).values())
    return np.mean(seen, axis=0) if seen else np.ones(len(measured))


__all__ = ["Served", "Success", "served", "shown_each"]
