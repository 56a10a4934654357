"""What is expected of a course to the next exposure, tried in drawn mouths by a hand that slips."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from bitewright.estimation.exposure_unknowns import NAMES, exposures_at
from bitewright.explanation.believed_contacts import AZIMUTH, BelievedContacts
from bitewright.explanation.wanted_items import on_image, wanted_items
from bitewright.exposing.exposure import Exposures, Station
from bitewright.exposing.project import Shapes, project_shapes
from bitewright.exposing.scatter import Scatter
from bitewright.planning.best_aim import Setting
from bitewright.planning.slipped import slipped
from bitewright.quality.predicted import Asked, rated
from bitewright.quality.questions import AnyQuestion, needs
from bitewright.row_bands import ALONE, Threads

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

OFFSETS_DEG = np.arange(-14.0, 14.1, 1.0)
"""Swings of the tube looked at about the general plan's aim. Our choice."""

UNSWUNG = int(np.flatnonzero(OFFSETS_DEG == 0.0)[0])

SMOOTHED = 5
"""So many neighbours are averaged before the best is taken, so that drawing decides less."""

SLIPPING = ("azimuth_deg", "vertical_deg", "forward_mm", "height_mm")
"""What a hand's slips change of an exposure, in the order of `AimPart`."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Expected:
    """What is expected of one course.

    Parameters
    ----------
    readable : float
        Share of what is wanted that is shown and readable, what is only ideal counting less.
    needed : float
        Share of what the question needs.
    """

    readable: float
    needed: float


@dataclass(frozen=True, slots=True, eq=False)
class TriedCourse:
    """A course that was tried: the swings (D,) that it comes to, and what of it is on the image."""

    setting: Setting
    swings_deg: Floats
    shown: Flags


class Trial:
    """Courses tried in drawn mouths, all by the same slips of a hand."""

    def __init__(
        self,
        at: Station,
        there: Station,
        of: Asked,
        believed: BelievedContacts,
        scatter: Scatter,
        question: AnyQuestion,
        generator: np.random.Generator,
        threads: Threads = ALONE,
    ) -> None:
        self.at, self.there, self.of = at, there, of
        self.believed, self.question, self.threads = believed, question, threads
        self.errors = scatter.draw(generator, len(believed.unknowns))
        self.most_hidden = needs(question, of.wanted).unreadable_share
        self.items = wanted_items(of, question)

    def same(self, setting: Setting) -> TriedCourse:
        """As it was, a hand slipping about that."""
        rows = self.believed.unknowns.copy()
        for column, name in enumerate(SLIPPING):
            rows[:, NAMES.index(name)] += self.errors[:, column]
        shown = self._shown(exposures_at(self.at, rows), self.believed.shapes)
        return TriedCourse(setting, np.zeros(len(rows)), shown)

    def set_up(self, setting: Setting) -> TriedCourse:
        """A set-up by the teeth, in every drawn mouth."""
        azimuth = setting.turn_deg + setting.ring_offset_deg + self.believed.chords_deg
        shown = self._shown(slipped(self.there, setting, self.errors), self.believed.laid)
        return TriedCourse(setting, azimuth - self.believed.unknowns[:, AZIMUTH], shown)

    def fitted(self, course: TriedCourse) -> TriedCourse:
        """A set-up with its tube swung as fits these mouths best.

        Of those swings alone that show no less of what the question needs; the receptor's place is
        left as it is.
        """
        worth, needed = self._worth(course.swings_deg[:, None] + OFFSETS_DEG, course.shown)
        allowed = np.where(needed >= needed[UNSWUNG], worth, -np.inf)
        offset = float(OFFSETS_DEG[int(allowed.argmax())])
        ring_offset = course.setting.ring_offset_deg + offset
        setting = replace(course.setting, ring_offset_deg=ring_offset)
        return TriedCourse(setting, course.swings_deg + offset, course.shown)

    def _worth(self, swings_deg: Floats, shown: Flags) -> tuple[Floats, Floats]:
        """What K swings (D, K) are worth, and what of the needed they show, (K,) each."""
        each = self._each(swings_deg, shown).mean(axis=0)
        needed = self.items.needed
        shows = each[:, needed].mean(axis=1) if needed.any() else np.ones(len(each))
        return _smoothed(each @ self.items.weights), _smoothed(shows)

    def expected(self, course: TriedCourse) -> Expected:
        """What is expected of a course."""
        each = self._each(course.swings_deg[:, None], course.shown)[:, 0].mean(axis=0)
        needed = self.items.needed
        return Expected(
            readable=float(each @ self.items.weights),
            needed=float(each[needed].mean()) if needed.any() else 1.0,
        )

    def _each(self, swings_deg: Floats, shown: Flags) -> Flags:
        """Whether each item is shown and readable, (D, K, I), by swings (D, K)."""
        hidden = self.believed.hidden_at(swings_deg + self.errors[:, :1])
        found = np.repeat(shown[:, None], swings_deg.shape[1], axis=1)
        found[..., : hidden.shape[2]] &= hidden <= self.most_hidden
        return found

    def _shown(self, exposures: Exposures, shapes: Shapes) -> Flags:
        """Whether each item (D, I) is on the image."""
        marks = project_shapes(
            exposures,
            self.of.targets,
            shapes,
            mouth_of=np.arange(len(self.errors)),
            threads=self.threads,
        )
        return on_image(rated(*marks, self.of, question=self.question).measurements, self.items)


def _smoothed(worth: Floats) -> Floats:
    """Mean of each with its neighbours."""
    beside = SMOOTHED // 2
    padded = np.pad(worth, beside, mode="edge")
    return np.asarray(np.convolve(padded, np.full(SMOOTHED, 1.0 / SMOOTHED), mode="valid"))


__all__ = ["Expected", "Trial", "TriedCourse"]
