"""The next exposure: moved from where it was, as it was, or set up anew; by what each likely shows.

What is expected of each is reckoned over mouths and exposures drawn together from the estimate, in
a hand that slips: a movement from where the tube was inherits what is not known of that exposure, a
set-up by the teeth what is not known of the mouth, and both the hand's slips.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from bitewright.estimation.estimate import Estimate
from bitewright.estimation.exposure_unknowns import NAMES, exposures_at
from bitewright.explanation.believed_contacts import (
    AZIMUTH,
    BelievedContacts,
    believed_contacts,
)
from bitewright.explanation.correction import Correction, Movement, Need, Part
from bitewright.explanation.drawn_states import drawn_states
from bitewright.explanation.needs import WORTH
from bitewright.exposing.exposure import Exposures, Station, aimed
from bitewright.exposing.placement import Placement
from bitewright.exposing.project import Shapes, project_shapes
from bitewright.exposing.scatter import Scatter
from bitewright.exposing.seating import nearest_fit_mm, seat
from bitewright.planning.best_aim import IDEAL_WEIGHT, Plan, Setting
from bitewright.planning.general_set_up import general_set_up, set_up_by_odds
from bitewright.planning.slipped import slipped
from bitewright.planning.stated_hands import MIDDLING, stated_hands
from bitewright.quality.measure import NOT_SEEN, Measurements
from bitewright.quality.predicted import Asked, asked, rated
from bitewright.quality.questions import AnyQuestion, needs
from bitewright.quality.wanted import edges
from bitewright.row_bands import ALONE, Threads

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]

DRAWS = 192
"""Mouths and exposures drawn, each with a slip of the hand: by how much one swing is better than
another is then known to half a point of a hundred (one standard deviation, on 41 films)."""

OFFSETS_DEG = np.arange(-14.0, 14.1, 1.0)
"""Swings of the tube looked at about the general plan's aim. Our choice."""

UNSWUNG = int(np.flatnonzero(OFFSETS_DEG == 0.0)[0])

SMOOTHED = 5
"""So many neighbours are averaged before the best is taken, so that drawing decides less."""

WORTH_TELLING = 0.015
"""Share of what is wanted by which a course has to be better than setting up anew. Our choice: at a
third of it, molar views lost by being moved, for there setting up anew shows nearly all."""

BESIDE_A_SET_UP = (Part.HEIGHT, Part.TILT, Part.ROLL)
"""What a set-up has level, upright and in the middle: told beside it where it was surely off."""


class Course(StrEnum):
    """How the next exposure comes about."""

    SAME = "same"
    """As it was."""
    MOVED = "moved"
    """The tube swung from where it was, all else set up as fits this mouth."""
    FITTED = "fitted"
    """All set up with the tube swung as fits this mouth, no movement being told."""
    ANEW = "anew"
    """Set up anew by the general plan, as for a mouth that nobody knows."""


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


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class NextExposure:
    """What to do next, and what is expected of it and of the other courses.

    Parameters
    ----------
    course : Course
        The best, by more than drawing decides.
    set_up : Setting
        To return to: the general plan's, or what fits this mouth.
    exposure : Exposures
        Of that set-up in the estimated mouth.
    swing_deg : float
        From where the tube was to that set-up, on average; positive to the front.
    expected : mapping of Course to Expected
        Of every course that was weighed.
    """

    course: Course
    set_up: Setting
    exposure: Exposures
    swing_deg: float
    expected: Mapping[Course, Expected]

    @property
    def is_moved(self) -> bool:
        """Whether a movement is told, with its amount."""
        return self.course is Course.MOVED

    @property
    def gain(self) -> float:
        """Share of what is wanted that this is expected to show more than setting up anew."""
        return self.expected[self.course].readable - self.expected[Course.ANEW].readable

    def goes_the_way_of(self, swing: Movement) -> bool:
        """Whether this is a set-up that lies the way a swing goes, by more than is worth moving."""
        is_set_up = self.course in (Course.ANEW, Course.FITTED)
        same_way = swing.needed.value * self.swing_deg > 0.0
        return is_set_up and same_way and abs(self.swing_deg) > WORTH[Part.SWING]

    def told_of(self, correction: Correction) -> tuple[Movement, ...]:
        """The movements of a correction that are told with this, the tube's swing first.

        With its amount where it is moved, else with the way alone. What a set-up does not go is
        left out, and so is all but the swing that the set-up itself says.
        """
        if self.course is Course.SAME:
            return ()
        swing = correction.sure_swing
        led = swing is not None and (self.is_moved or self.goes_the_way_of(swing))
        return (
            *((swing,) if swing is not None and led else ()),
            *(
                each
                for each in correction.movements
                if each.need is Need.MOVE and each.part in BESIDE_A_SET_UP
            ),
        )


def next_exposure(
    found: Estimate,
    plan: Plan,
    *,
    swing_deg: float | None,
    is_unlike: bool = False,
    film: int = 0,
    question: AnyQuestion,
    generator: np.random.Generator,
    threads: Threads = ALONE,
) -> NextExposure:
    """The course with the best expected result for a question over all that is believed.

    Our model: contacts as `believed_contacts` has them; what is on the image as projected in each
    drawn mouth; a practised hand for whoever sets up (`stated_hands`).

    Parameters
    ----------
    found : Estimate
    plan : Plan
        Of the view, for the estimated mouth.
    swing_deg : float or None
        Of the tube from where it was, as it is told; None where none is sure enough to be told.
    is_unlike : bool
        Whether marks or mouth are unlike those the estimate was made for: then nothing is fitted
        to it.
    film, question, generator, threads
    """
    there, of = plan.station, asked(plan.view, plan.station)
    at = found.films[film].station
    states = drawn_states(found, DRAWS, generator)
    believed = believed_contacts(found, of, states, film=film, generator=generator, threads=threads)
    known = not found.shapes.along
    general = (set_up_by_odds if known else general_set_up)(plan.view, at, question)
    scatter = stated_hands()[MIDDLING].scatter
    trial = Trial(at, there, of, believed, scatter, question, generator, threads)
    return trial.decided(general, swing_deg, fits=not is_unlike)


@dataclass(frozen=True, slots=True, eq=False)
class _Course:
    """A course that was tried: the swings (D,) that it comes to, and what of it is on the image."""

    setting: Setting
    swings_deg: Floats
    shown: Flags


class Trial:
    """What is expected of courses in drawn mouths, all by the same slips of a hand."""

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
        self.items = _items(of, question)

    def decided(self, general: Setting, swing_deg: float | None, *, fits: bool) -> NextExposure:
        """The best course, ``general`` being what is set up anew."""
        anew = self.set_up(general)
        tried = {Course.SAME: self.same(anew.setting), Course.ANEW: anew}
        if fits:
            fitted = tried[Course.FITTED] = self.fitted(anew)
            if swing_deg is not None:
                half = HALF * (fitted.swings_deg + swing_deg)
                tried[Course.MOVED] = replace(fitted, swings_deg=half)
        expected = {course: self._expected(each) for course, each in tried.items()}
        course = _chosen(expected)
        setting = tried[course].setting
        seated = seat(self.there.seating, setting.placement())
        return NextExposure(
            course=course,
            set_up=setting,
            exposure=aimed(self.there, seated, setting.aim()),
            swing_deg=float(tried[course].swings_deg.mean()),
            expected=expected,
        )

    def same(self, setting: Setting) -> _Course:
        """As it was, a hand slipping about that."""
        rows = self.believed.unknowns.copy()
        for column, name in enumerate(SLIPPING):
            rows[:, NAMES.index(name)] += self.errors[:, column]
        shown = self._shown(exposures_at(self.at, rows), self.believed.shapes)
        return _Course(setting, np.zeros(len(rows)), shown)

    def set_up(self, setting: Setting) -> _Course:
        """A set-up by the teeth, in every drawn mouth, as near the teeth as its receptor fits."""
        setting = self._seated(setting)
        azimuth = setting.turn_deg + setting.ring_offset_deg + self.believed.chords_deg
        shown = self._shown(slipped(self.there, setting, self.errors), self.believed.laid)
        return _Course(setting, azimuth - self.believed.unknowns[:, AZIMUTH], shown)

    def fitted(self, anew: _Course) -> _Course:
        """The general plan's place with the tube swung as fits these mouths best.

        Of those swings alone that show no less of what the question needs. The receptor's place is
        left as it is: how far palate and floor let it go in this mouth no film tells, and where it
        was moved to show the canine as well, films lost at the back what they won in front.
        """
        worth, needed = self._worth(anew.swings_deg[:, None] + OFFSETS_DEG, anew.shown)
        allowed = np.where(needed >= needed[UNSWUNG], worth, -np.inf)
        offset = float(OFFSETS_DEG[int(allowed.argmax())])
        setting = replace(anew.setting, ring_offset_deg=anew.setting.ring_offset_deg + offset)
        return _Course(setting, anew.swings_deg + offset, anew.shown)

    def _worth(self, swings_deg: Floats, shown: Flags) -> tuple[Floats, Floats]:
        """What K swings (D, K) are worth, and what of the needed they show, (K,) each."""
        each = self._each(swings_deg, shown).mean(axis=0)
        needed = self.items.needed
        shows = each[:, needed].mean(axis=1) if needed.any() else np.ones(len(each))
        return _smoothed(each @ self.items.weights), _smoothed(shows)

    def _expected(self, course: _Course) -> Expected:
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
        return _on_image(rated(*marks, self.of, question=self.question).measurements, self.items)

    def _seated(self, setting: Setting) -> Setting:
        """A set-up as near the teeth as its receptor fits in the estimated mouth."""
        placed = Placement(
            forward_mm=setting.forward_mm, turn_deg=setting.turn_deg, tilt_deg=setting.tilt_deg
        )
        lingual = nearest_fit_mm(self.there.seating, placed)
        return replace(setting, lingual_mm=float(lingual[0]))


HALF = 0.5
"""Where the movement and the set-up differ, the tube goes half way between: each is off by what the
other does not know."""

SLIPPING = ("azimuth_deg", "vertical_deg", "forward_mm", "height_mm")
"""What a hand's slips change of an exposure, in the order of `AimPart`."""


def _chosen(expected: Mapping[Course, Expected]) -> Course:
    """The best course; what is hardly better than setting up anew is not told.

    Nor what the question would have less of, whatever it gains that is only ideal.
    """
    anew = expected[Course.ANEW]
    worth = {
        course: each.readable
        for course, each in expected.items()
        if each.readable > anew.readable + WORTH_TELLING and each.needed >= anew.needed
    }
    if not worth:
        return Course.ANEW
    best = max(worth, key=lambda course: worth[course])
    moved = worth.get(Course.MOVED)
    if best is not Course.SAME and moved is not None and moved >= worth[best] - WORTH_TELLING:
        return Course.MOVED
    return best


def _smoothed(worth: Floats) -> Floats:
    """Mean of each with its neighbours."""
    beside = SMOOTHED // 2
    padded = np.pad(worth, beside, mode="edge")
    return np.asarray(np.convolve(padded, np.full(SMOOTHED, 1.0 / SMOOTHED), mode="valid"))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Items:
    """What counts: the view's contacts, then other surfaces and crests that are needed, I in all.

    ``needed`` (I,), ``weights`` (I,) that come to one.
    """

    contacts: tuple[tuple[int, int], ...]
    surfaces: tuple[str, ...]
    crests: tuple[str, ...]
    needed: Flags
    weights: Floats


def _items(of: Asked, question: AnyQuestion) -> _Items:
    want, need = of.wanted, needs(question, of.wanted)
    at_contacts = {name for pair in want.contacts for name in edges(pair)}
    surfaces = tuple(name for name in want.surfaces if name in need.surfaces - at_contacts)
    crests = tuple(name for name in want.crests if name in need.crests)
    of_contacts = [bool(need.surfaces & set(edges(pair))) for pair in want.contacts]
    needed = np.array([*of_contacts, *[True] * (len(surfaces) + len(crests))], dtype=np.bool_)
    weights = np.where(needed, 1.0, IDEAL_WEIGHT)
    return _Items(
        contacts=want.contacts,
        surfaces=surfaces,
        crests=crests,
        needed=needed,
        weights=weights / weights.sum(),
    )


def _on_image(measured: Measurements, items: _Items) -> Flags:
    """Whether each item is on the image, (E, I)."""
    gone = {name: np.isin(measured.gone[name], NOT_SEEN) for name in measured.wanted.surfaces}
    seen = [~(gone[one] | gone[other]) for one, other in map(edges, items.contacts)]
    seen += [~gone[name] for name in items.surfaces]
    column = {name: k for k, name in enumerate(measured.wanted.crests)}
    seen += [measured.crest_clearance_mm[:, column[name]] >= 0.0 for name in items.crests]
    return np.stack(seen, axis=1)


__all__ = ["BESIDE_A_SET_UP", "Course", "Expected", "NextExposure", "Trial", "next_exposure"]
