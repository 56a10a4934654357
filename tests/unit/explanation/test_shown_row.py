"""A receptor is told to move along the row where the film lacks what that would bring."""

from dataclasses import replace

import pytest

from bitewright.explanation.correction import Need, Part, Spared
from bitewright.explanation.shown_row import (
    ALL_SHOWN,
    RowLacked,
    as_lacked,
    lacked_towards,
    row_lacked,
)
from bitewright.exposing.landmarks import Landmarks, Status
from bitewright.exposing.project import project
from bitewright.quality.predicted import asked
from bitewright.words.corrections import correction_words
from tests.sample_corrections import correction_of, sample

FRONT, BACK = RowLacked(front=True, back=False), RowLacked(front=False, back=True)


@pytest.mark.parametrize("lacked", [ALL_SHOWN, FRONT, BACK])
@pytest.mark.parametrize("forward_mm", [-3.5, 3.5])
def test_along_the_row_only_what_brings_something_is_needed(
    lacked: RowLacked, forward_mm: float
) -> None:
    """A film that showed all of its view was told to move the receptor 3.5 mm back."""
    told = correction_of({Part.FORWARD: forward_mm, Part.SWING: -9.0})
    assert told.of(Part.FORWARD).need is Need.MOVE
    changed = replace(told, movements=as_lacked(told.movements, lacked))
    brings = lacked is (FRONT if forward_mm > 0.0 else BACK)
    assert changed.of(Part.FORWARD).need is (Need.MOVE if brings else Need.PERHAPS)
    assert changed.of(Part.SWING).need is Need.MOVE
    words = correction_words(changed)
    assert ("Perhaps also: move the receptor" in words.operator) is not brings
    assert ("the film shows all of the row that it would bring" in words.teacher) is not brings
    if not brings:
        assert changed.of(Part.FORWARD).spared is Spared.ALL_SHOWN


def filmed(view_name: str, forward_mm: float) -> tuple[Landmarks, RowLacked]:
    """The marks of a film whose receptor lay so far to the front, and what it lacks."""
    of = sample(view_name, forward_mm=forward_mm)
    marked, _ = project(of.present, asked(of.plan.view, of.plan.station).targets)
    return marked, row_lacked(marked, of.present, of.plan)


@pytest.mark.parametrize("view_name", ["right-premolar", "left-premolar"])
def test_a_receptor_too_far_back_lacks_the_canine_and_one_too_far_forward_the_last(
    view_name: str,
) -> None:
    assert filmed(view_name, 0.0)[1] == ALL_SHOWN
    assert filmed(view_name, -8.0)[1] == FRONT
    assert filmed(view_name, 12.0)[1] == BACK


def test_what_nobody_marked_is_taken_as_estimated() -> None:
    of = sample("right-premolar", forward_mm=-8.0)
    marked, _ = project(of.present, asked(of.plan.view, of.plan.station).targets)
    unmarked = replace(
        marked,
        status=marked.status * 0 + Status.UNMARKED,
        points_receptor=marked.points_receptor * float("nan"),
    )
    assert row_lacked(unmarked, of.present, of.plan) == FRONT
    whole = sample("right-premolar")
    assert row_lacked(unmarked, whole.present, of.plan) == ALL_SHOWN


def test_what_lies_beyond_both_ends_may_be_brought_either_way() -> None:
    shown = ("14.mesial", "15.distal")
    both = RowLacked(front=True, back=True)
    assert lacked_towards(("13.distal", "17.distal"), shown) == both
    assert lacked_towards(("13.distal", "17.distal"), ()) == both
    assert lacked_towards(("13.distal",), shown) == FRONT
    assert lacked_towards(("17.distal",), shown) == BACK
    assert lacked_towards((), shown) == ALL_SHOWN


def test_what_lies_above_or_below_the_image_is_not_lacked_along_the_row() -> None:
    """A tube at a wrong height cut off a jaw; the receptor was told to move to the back."""
    of = sample("right-premolar", vertical_deg=-30.0)
    wanted = asked(of.plan.view, of.plan.station)
    marked, _ = project(of.present, wanted.targets)
    gone = [marked.status_of(name)[0] == Status.OUTSIDE for name in wanted.wanted.surfaces]
    assert sum(gone) >= 3
    assert row_lacked(marked, of.present, of.plan) == ALL_SHOWN
