"""A setting is told with directions, and what is not shown is named."""

import pytest

from bitewright.words.predictions import beam_off, shown_words


@pytest.mark.parametrize(
    ("error_deg", "said"),
    [(3.24, "3.2 degrees to the front"), (-8.0, "8.0 degrees to the back"), (-0.04, "0.0 degrees")],
)
def test_a_beam_off_has_a_direction_and_no_sign(error_deg: float, said: str) -> None:
    assert beam_off(error_deg) == said


def test_what_the_view_wants_and_does_not_show_is_named() -> None:
    assert shown_words((), shown=81, of=88).startswith("Everything the view wants is shown. Of 88 ")
    said = shown_words(("13 distal (outside)",), shown=1, of=88)
    assert said.startswith("The view wants and does not show: 13 distal (outside). ")
    assert "1 is shown" in said
