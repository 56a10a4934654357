"""What films of a visit teach one another is told in degrees a person can weigh."""

import pytest

from bitewright.explanation.correction import Correction, Estimated, Movement, Need, Part, Verdict
from bitewright.words.learned_together import taught


def swing(value: float, low: float, high: float, verdict: Verdict = Verdict.MOVE) -> Correction:
    """A correction that says this of the tube's swing and nothing else. [deg]"""
    needed = Estimated(value=value, low=low, high=high)
    return Correction(
        verdict=verdict,
        movements=(Movement(part=Part.SWING, needed=needed, need=Need.MOVE),),
        causes=(),
        settling_marks=(),
        misfit=1.0,
        strangeness=1.0,
        is_unlike=False,
        doubtful_marks=(),
        rim_radius_mm=60.0,
        beam_margin_mm=5.0,
    )


ALONE = swing(-7.0, -11.0, -3.0)


@pytest.mark.parametrize(
    ("together", "said"),
    [
        (
            swing(-6.0, -8.5, -3.5),
            "8 degrees open for the tube's swing, together 5; the swing it asks for is changed",
        ),
        (swing(-7.1, -9.0, -5.0), "together 4; the swing it asks for is not changed"),
        (swing(-7.2, -11.0, -3.1), "next to nothing"),
    ],
)
def test_degrees_left_open_alone_and_together_are_told(together: Correction, said: str) -> None:
    assert said in taught(ALONE, together)


def test_marks_that_can_tell_only_with_the_others_say_so() -> None:
    alone = swing(0.0, -12.0, 12.0, Verdict.CANNOT_TELL)
    assert "alone these marks cannot tell" in taught(alone, ALONE)
