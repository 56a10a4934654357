"""What in a film is said to show a cause: as far as it was measured, against what."""

import pytest

from bitewright.explanation.film_pattern import FilmPattern
from bitewright.words.film_signs import forward_signs, height_signs

OFF = FilmPattern(
    contacts=(),
    buccal_forward_mm=0.0,
    buccal_down_mm=0.0,
    teeth_forward_mm=-1.4,
    bite_down_mm=2.1,
)


def test_a_place_in_the_image_is_told_against_the_best_exposure() -> None:
    """The bite was "too low in the image" beside a table in which it met its target."""
    assert height_signs(OFF, receptor_up=True) == (
        "the line of the bite, 2.1 mm lower in the image than the best exposure has it"
    )
    assert forward_signs(OFF, receptor_forward=True) == (
        "the teeth, 1.4 mm further to the back in the image than the best exposure has them"
    )


@pytest.mark.parametrize("signs", [height_signs(OFF, receptor_up=False)])
def test_what_speaks_the_other_way_is_no_sign(signs: str) -> None:
    assert signs == ""
    assert forward_signs(OFF, receptor_forward=False) == ""
