"""Which marks are doubted: by all others and by the picture, weighed together."""

import numpy as np
import pytest

from bitewright.estimation.left_out import MarkBeside, MarksLeftOut
from bitewright.explanation.doubtful_marks import DoubtfulMark, doubtful_marks
from bitewright.marking.picture_borders import PLACES_MM, PictureBorders, SeenAgain

NOTHING = np.zeros(len(PLACES_MM))


def border_at(place_mm: float) -> np.ndarray:
    """A clear border at one place, and none anywhere else."""
    return np.where(np.abs(PLACES_MM - place_mm) <= 0.15, 3.0, -1.5)


def doubted(
    name: str,
    off_mm: tuple[float, float],
    seen: PictureBorders | None = None,
    *,
    sd_mm: float = 0.5,
) -> tuple[DoubtfulMark, ...]:
    """What is doubted of one mark, off as others foretell it, the front of the mouth to the right.

    ``off_mm``: on the receptor, to the front and up.
    """
    mark = MarkBeside(off_mm=np.array(off_mm), covariance=sd_mm**2 * np.eye(2))
    beside = MarksLeftOut(marks={name: mark}, contacts=())
    return doubtful_marks(beside, 1.0, {} if seen is None else {name: seen})


def along(place_mm: float) -> PictureBorders:
    return PictureBorders(outward=border_at(place_mm), rootward=NOTHING)


@pytest.mark.parametrize("name", ["15.mesial", "15.mesial.cej"])
def test_a_border_at_the_mark_clears_it_and_one_beside_it_doubts_it(name: str) -> None:
    """Others foretell the mark a little further back; the picture decides."""
    off = (1.0, 0.0)
    assert doubted(name, off, along(0.0)) == ()
    (said,) = doubted(name, off, along(-1.0))
    assert said.name == name
    assert said.border_mm == pytest.approx(-1.0, abs=0.11)
    assert doubted(name, (0.0, 0.0), along(0.0)) == ()


def test_a_crest_that_bone_was_lost_at_is_not_doubted_where_the_picture_shows_it() -> None:
    """Three millimetres below where the others foretell it, as in mouths that lost bone."""
    off = (0.0, 3.0)  # upper: the roots lie up
    at, beside = (
        PictureBorders(outward=NOTHING, rootward=border_at(place)) for place in (0.0, -1.0)
    )
    assert doubted("15.mesial.crest", off, at) == ()
    assert doubted("15.mesial.crest", off, beside)
    assert doubted("15.mesial.cej", off, along(0.0))  # no junction moves as bone does


def test_what_the_others_alone_tell_is_doubted_by_the_limits_of_films_without_a_picture() -> None:
    assert doubted("15.mesial", (3.0, 0.0), sd_mm=0.3)
    assert doubted("15.mesial", (0.2, 0.0), sd_mm=0.3) == ()


def seen_at(outward_mm: float, rootward_mm: float, sd_mm: float = 0.25) -> PictureBorders:
    """A second look alone: no border anywhere."""
    again = SeenAgain(outward_mm=outward_mm, rootward_mm=rootward_mm, sd_mm=sd_mm)
    return PictureBorders(outward=NOTHING, rootward=NOTHING, again=again)


@pytest.mark.parametrize("name", ["15.mesial.cej", "15.mesial.crest", "46.distal.cej"])
def test_a_mark_seen_a_millimetre_elsewhere_in_height_is_doubted(name: str) -> None:
    """No border tells it, and the other marks lead one to expect it where it was set."""
    (said,) = doubted(name, (0.0, 0.0), seen_at(0.1, 1.0))
    assert said.seen_mm == (0.1, 1.0)
    assert said.border_mm is None
    assert said.is_shown_elsewhere
    assert doubted(name, (0.0, 0.0), seen_at(0.1, 0.2)) == ()


def test_an_edge_is_doubted_along_the_row_alone() -> None:
    """Its height tells nothing: a crown's side runs on."""
    assert doubted("15.mesial", (0.0, 0.0), seen_at(0.0, 1.0), sd_mm=1.0) == ()
    (said,) = doubted("15.mesial", (0.0, 0.0), seen_at(-1.0, 1.0), sd_mm=1.0)
    assert said.seen_mm == (-1.0, 0.0)
    assert said.outward_mm == -1.0


def test_a_second_look_at_the_mark_clears_what_the_others_doubt() -> None:
    assert doubted("15.mesial.cej", (1.5, 0.0), sd_mm=0.4)
    assert doubted("15.mesial.cej", (1.5, 0.0), seen_at(0.0, 0.0), sd_mm=0.4) == ()


def test_another_tooths_place_says_nothing() -> None:
    """A second look that numbers the teeth otherwise sees each a tooth's width away."""
    assert doubted("15.mesial", (0.0, 0.0), seen_at(7.0, 0.0)) == ()
