"""The next exposure: moved from where it was, or set up anew; by what each likely shows.

What is expected of each is reckoned over mouths and exposures drawn together from the estimate, in
a hand that slips: a movement from where the tube was inherits what is not known of that exposure, a
set-up by the teeth what is not known of the mouth, and both the hand's slips. Which set-up would
fit a mouth better than the general plan no film was found to tell: only a known mouth has one. What
the same way again would show stands beside them.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np

from bitewright.estimation.estimate import Estimate
from bitewright.explanation.believed_contacts import believed_contacts
from bitewright.explanation.correction import Correction, Movement, Need, Part
from bitewright.explanation.course_trial import Expected, Trial
from bitewright.explanation.drawn_states import drawn_states
from bitewright.explanation.set_up_ways import (
    exposed_from,
    lies_the_way_of,
    set_up_goes,
    usual_set_up,
)
from bitewright.exposing.exposure import Exposures, has_room
from bitewright.planning.best_aim import Plan, Setting
from bitewright.planning.stated_hands import MIDDLING, stated_hands
from bitewright.quality.predicted import asked
from bitewright.quality.questions import AnyQuestion
from bitewright.row_bands import ALONE, Threads

DRAWS = 192
"""Mouths and exposures drawn, each with a slip of the hand: by how much one swing is better than
another is then known to half a point of a hundred (one standard deviation, on 41 films)."""

WORTH_TELLING = 0.004
"""Share of what is wanted by which a movement or a fitted set-up has to be better than setting up
anew. Our choice: a movement goes half way to the general plan."""

PROMISED = 0.025
"""Share of what is needed by which a course has to be better than the same way again for a film on
which nothing likely failed: half the step that shares are told to. Our choice."""

HALF = 0.5
"""Where the movement and the set-up differ, the tube goes half way between: each is off by what the
other does not know."""

ROUNDING = 1e-9
"""Differences of shares that are less are none."""

BESIDE_A_SET_UP = (Part.HEIGHT, Part.TILT, Part.ROLL, Part.CLOSURE)
"""What a set-up has level, upright, in the middle and the teeth closed: told beside it where it was
surely off."""

OF_A_SET_UP = (Part.SWING, Part.VERTICAL, Part.FORWARD, Part.TURN)
"""What a set-up says itself: which way it goes is told where it was surely off, and that way."""


class Course(StrEnum):
    """How the next exposure comes about."""

    SAME = "same"
    """As it was: reckoned beside the others and never told. Told, it was not found to help, for a
    film says more of itself than of the next one."""
    MOVED = "moved"
    """The tube swung from where it was, half way to where the set-up has it; all else set up."""
    FITTED = "fitted"
    """All set up with the tube swung as fits a mouth that is known, no movement being told."""
    ANEW = "anew"
    """Set up anew by the general plan, as for a mouth that nobody knows."""


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
    goes : mapping of Part to float
        From where tube and receptor were to that set-up, of `OF_A_SET_UP`; the swing on average
        over what was drawn. [deg, mm]
    expected : mapping of Course to Expected
        Of every course that was weighed.
    has_room : bool
        Whether the estimated mouth has room for the receptor in that set-up: else no movement and
        no place is told, but that another receptor is needed.
    """

    course: Course
    set_up: Setting
    exposure: Exposures
    goes: Mapping[Part, float]
    expected: Mapping[Course, Expected]
    has_room: bool = True

    @property
    def is_moved(self) -> bool:
        """Whether a movement is told, with its amount."""
        return self.course is Course.MOVED

    @property
    def gain(self) -> float:
        """Share of what is wanted that this is expected to show more than setting up anew."""
        return self.expected[self.course].readable - self.expected[Course.ANEW].readable

    @property
    def promises_more(self) -> bool:
        """Whether it is expected to show more of what is needed than the same way again.

        By less than is told of it, it promises nothing.
        """
        return self.expected[self.course].needed >= self.expected[Course.SAME].needed + PROMISED

    @property
    def shows_more_ideal(self) -> bool:
        """Whether it gains more of all that is wanted than of what is needed."""
        own, anew = self.expected[self.course], self.expected[Course.ANEW]
        return self.gain > own.needed - anew.needed + ROUNDING

    def led_by(self, correction: Correction) -> tuple[Movement, ...]:
        """The movements of a correction that this makes, the most important first.

        The tube's swing where it is moved; of a set-up each that it surely goes the way of.
        """
        swing = correction.sure_swing
        if self.is_moved:
            return () if swing is None else (swing,)
        return self.ways_of(correction)

    def ways_of(self, correction: Correction) -> tuple[Movement, ...]:
        """The movements of a correction whose way the set-up surely goes: told without an amount.

        All but the swing where that is moved.
        """
        if correction.slips or not self.has_room:
            return ()
        swings = not self.is_moved and correction.sure_swing is not None
        return tuple(
            each
            for each in correction.movements
            if each.need is Need.MOVE
            and each.part in OF_A_SET_UP
            and (each.part is not Part.SWING or swings)
            and lies_the_way_of(each, self.goes)
        )

    def told_of(self, correction: Correction) -> tuple[Movement, ...]:
        """The movements of a correction that are told with this: what it makes first.

        What a set-up does not go is left out; where it has no room, nothing is told.
        """
        if not self.has_room:
            return ()
        return (
            *self.led_by(correction),
            *(self.ways_of(correction) if self.is_moved else ()),
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
        Whether marks or mouth are unlike those the estimate was made for: then no movement is
        told.
    film, question, generator, threads
    """
    there, of = plan.station, asked(plan.view, plan.station)
    at = found.films[film].station
    states = drawn_states(found, DRAWS, generator)
    believed = believed_contacts(found, of, states, film=film, generator=generator, threads=threads)
    known = not found.shapes.along
    general = usual_set_up(found, plan, film=film, question=question)
    scatter = stated_hands()[MIDDLING].scatter
    trial = Trial(at, there, of, believed, scatter, question, generator, threads)
    anew = trial.set_up(general)
    tried = {Course.SAME: trial.same(general), Course.ANEW: anew}
    if known:
        tried[Course.FITTED] = trial.fitted(anew)
    room = bool(has_room(exposed_from(there, general))[0])
    if swing_deg is not None and not is_unlike and room:
        fitted = tried.get(Course.FITTED, anew)
        half = HALF * (fitted.swings_deg + swing_deg)
        tried[Course.MOVED] = replace(fitted, swings_deg=half)
    expected = {course: trial.expected(each) for course, each in tried.items()}
    course = chosen_course(expected)
    setting = tried[course].setting
    exposure = exposed_from(there, setting)
    goes = set_up_goes(found, exposure, film=film)
    return NextExposure(
        course=course,
        set_up=setting,
        exposure=exposure,
        goes={**goes, Part.SWING: float(tried[course].swings_deg.mean())},
        expected=expected,
        has_room=room,
    )


def chosen_course(expected: Mapping[Course, Expected]) -> Course:
    """The best course; what is hardly better than setting up anew is not told.

    Nor what the question would have less of, whatever it gains that is only ideal. A movement that
    is worth telling comes before a set-up alone. A film that does not serve is never repeated as it
    was.
    """
    anew = expected[Course.ANEW]
    worth = {
        course: each.readable
        for course, each in expected.items()
        if course is not Course.SAME
        and each.readable > anew.readable + WORTH_TELLING
        and each.needed >= anew.needed
    }
    if not worth:
        return Course.ANEW
    best = max(worth, key=lambda course: worth[course])
    return Course.MOVED if best is Course.FITTED and Course.MOVED in worth else best


__all__ = [
    "BESIDE_A_SET_UP",
    "OF_A_SET_UP",
    "WORTH_TELLING",
    "Course",
    "NextExposure",
    "chosen_course",
    "next_exposure",
]
