"""What is told of a film with a cone cut: never that nothing needs to move."""

import pytest

from bitewright.explanation.correction import Part, Verdict
from bitewright.exposing.beam_cover import BeamPlace
from bitewright.words.cone_cuts import cone_cut_fact, cone_cut_instruction
from bitewright.words.corrections import correction_words
from tests.sample_corrections import correction_of


def test_a_cone_cut_alone_is_mended_by_sliding_the_tube() -> None:
    seen = correction_of({}).with_cone_cut({BeamPlace.FRONT: 9.2, BeamPlace.FRONT_UPPER: 9.2})
    said = correction_words(seen)
    assert seen.verdict is Verdict.MOVE
    assert said.operator == (
        "Next time, or if another exposure is justified: slide the whole tube at least 9 mm "
        "towards the front of the mouth, without turning it, so that the beam covers the receptor."
    )
    assert said.causes == ("the beam missed 9 mm at its front edge",)
    assert "Nothing needs to move" not in said.operator
    assert "where they should be" not in said.teacher
    assert "A cone cut is seen: the beam missed 9 mm at its front edge." in said.teacher


@pytest.mark.parametrize("cut_mm", [{}, {BeamPlace.BACK: 4.0}, {BeamPlace.BACK_LOWER: 3.0}])
def test_no_cone_cut_is_followed_by_nothing_needs_to_move(cut_mm: dict[BeamPlace, float]) -> None:
    said = correction_words(correction_of({}).with_cone_cut(cut_mm)).operator
    assert "Nothing needs" not in said
    assert "tube" in said


def test_beside_a_swing_the_tube_is_centred_on_the_receptor() -> None:
    seen = correction_of({Part.SWING: -8.0}).with_cone_cut({BeamPlace.BACK: 6.0})
    said = correction_words(seen).operator
    assert (
        "then centre the tube on the receptor, for the beam missed 6 mm at its back edge." in said
    )


def test_a_corner_is_told_where_no_edge_is_cut() -> None:
    cut = {BeamPlace.BACK_UPPER: 3.0, BeamPlace.BACK_LOWER: 1.0}
    assert cone_cut_fact(cut) == "the beam missed 3 mm at its upper back corner"
    assert "towards the back of the mouth and up" in cone_cut_instruction(cut, tube_moves=False)


@pytest.mark.parametrize(
    ("cut", "margin_mm"),
    [
        ({BeamPlace.FRONT: 4.1}, -2.5),
        ({BeamPlace.FRONT: 4.1, BeamPlace.BACK: 3.6}, None),
        ({BeamPlace.UPPER: 1.0, BeamPlace.LOWER: 1.0}, 3.0),
    ],
)
def test_a_field_smaller_than_the_receptor_is_not_mended_by_sliding_the_tube(
    cut: dict[BeamPlace, float], margin_mm: float | None
) -> None:
    """A size 3 plate under the usual field was to be slid 4 mm, so that the beam covered it."""
    for tube_moves in (False, True):
        said = cone_cut_instruction(cut, tube_moves=tube_moves, margin_mm=margin_mm)
        assert said.startswith("take a tube with a larger field, or a smaller receptor")
        assert "slide" not in said
    covered = cone_cut_instruction({BeamPlace.FRONT: 4.1}, tube_moves=False, margin_mm=2.0)
    assert covered.startswith("slide the whole tube at least 4 mm towards the front")
