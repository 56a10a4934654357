"""The drawing of a correction: right ways round, its words in it, nothing off the page."""

from dataclasses import replace
from xml.dom.minidom import parseString

import numpy as np
import pytest

from bitewright.explanation.correction import Estimated, Movement, Need, Part, Verdict
from bitewright.exposing.exposure import Exposures
from bitewright.report import exposure_views as views
from bitewright.report.correction_drawing import correction_drawing, move_drawing
from bitewright.report.shapes import Drawing, Line, Words, text_width
from bitewright.report.svg import svg_of
from bitewright.report.typeset import picture_of
from bitewright.words.caution import CAUTION
from bitewright.words.corrections import operator_sentence
from tests.sample_corrections import Sample, correction_of, sample, unsure

VIEWS = ["right-premolar", "left-molar", "right-molar-vertical"]


def drawn(of: Sample) -> Drawing:
    return correction_drawing(of.correction, present=of.present, plan=of.plan)


def words_of(drawing: Drawing) -> list[str]:
    page = parseString(svg_of(drawing))  # noqa: S318 (our own text)
    return [text.firstChild.data for text in page.getElementsByTagName("text")]


def rim_from_above(exposure: Exposures) -> np.ndarray:
    return np.asarray(views.from_above(exposure).tube[:2].mean(axis=0))


@pytest.mark.parametrize("view_name", VIEWS)
def test_a_tube_too_far_forward_is_drawn_nearer_to_the_front_and_told_to_go_back(
    view_name: str,
) -> None:
    off = sample(view_name, swing_deg=10)
    was, best = rim_from_above(off.present), rim_from_above(off.plan.exposure)
    assert was[1] < best[1] - 3.0, "the front of the mouth is at the top"
    assert any("to the back" in text for text in words_of(drawn(off)))
    assert not any("to the front" in text for text in words_of(drawn(off)))


@pytest.mark.parametrize(("view_name", "side"), [("right-premolar", 1.0), ("left-premolar", -1.0)])
def test_the_tube_stands_on_the_patients_side(view_name: str, side: float) -> None:
    off = sample(view_name, swing_deg=4)
    assert rim_from_above(off.present)[0] * side > 40.0, "seen from above, right is right"
    frame = off.present.station.seating.frame
    front = views.beside(off.present.station, frame.middle_mouth + 10.0 * frame.front_mouth)
    assert (front - views.beside(off.present.station, frame.middle_mouth))[0] * side > 9.0
    row = views.along_row(off.present, origin_mouth=off.present.seat.centres_mouth[0])
    assert row.tube[:2, 0].mean() * side < -40.0, "seen from the front, right is left"


def test_the_central_ray_meets_the_receptor_and_its_angle_is_true() -> None:
    off = sample(vertical_deg=9)
    best = off.plan.setting.vertical_deg
    for exposure, angle in ((off.present, best + 9.0), (off.plan.exposure, best)):
        above = views.from_above(exposure)
        assert np.allclose(above.ray[1], above.middle, atol=0.1)
        row = views.along_row(exposure, origin_mouth=np.zeros(3))
        step = row.ray[0] - row.middle
        assert np.rad2deg(np.arctan2(-step[1], abs(step[0]))) == pytest.approx(angle, abs=0.1)
        assert views.pointing_down_deg(exposure) == pytest.approx(angle, abs=0.1)
    assert "rim 9 mm down" in words_of(drawn(off))


def test_a_receptor_set_higher_is_drawn_higher() -> None:
    off = sample(height_mm=2.0)
    both = (off.present, off.plan.exposure)
    was, best = (views.from_side(each)[0] for each in both)
    high, low = (float(each.seat.centres_mouth[0, 2]) for each in both)
    assert high - low > 0.5, "the palate may hold back a part"
    assert was[:, 1].mean() == pytest.approx(best[:, 1].mean() - (high - low), abs=0.3)
    assert "2 mm down" in words_of(drawn(off))


@pytest.mark.parametrize("view_name", VIEWS)
def test_every_word_is_in_the_drawing_as_text(view_name: str) -> None:
    off = sample(view_name, swing_deg=-8, vertical_deg=8, forward_mm=2, roll_deg=5)
    words = words_of(drawn(off))
    said = " ".join(words)
    assert "ESTIMATED" in said
    assert "Seen from above" in words
    assert any(text.startswith("Seen from the side") for text in words)
    assert "as estimated" in words
    assert any(text.startswith("next time") for text in words)
    assert "not a medical device" in said
    assert "mesial angle" not in said


@pytest.mark.parametrize("count", [1, 4, 8])
def test_a_sentence_of_any_length_is_whole_and_above_the_panels(count: int) -> None:
    off = sample()
    needed = dict.fromkeys(list(Part)[:count], -12.0)
    correction = replace(correction_of(needed), beam_margin_mm=-2.0)
    drawing = correction_drawing(correction, present=off.present, plan=off.plan)
    top = min(panel.top for panel in drawing.panels)
    head = [s for s in drawing.shapes if isinstance(s, Words) and s.place[1] < 300 and not s.bold]
    assert " ".join(line.text for line in head) == operator_sentence(correction)
    assert max(line.place[1] for line in head) < top
    assert all(line.place[0] + text_width(line.text, line.size) < drawing.width for line in head)


def test_the_caution_is_the_one_that_stands_everywhere() -> None:
    assert drawn(sample(swing_deg=5)).description.endswith(CAUTION)


def test_where_nothing_can_be_told_no_next_time_is_drawn() -> None:
    off = sample()
    bare = replace(off, correction=unsure(off.correction, Part.SWING, value=1.0, spread=6.0))
    assert not any(text.startswith("next time") for text in words_of(drawn(bare)))
    assert off.correction.verdict is Verdict.NOTHING
    assert any(text.startswith("Nothing needs to move") for text in words_of(drawn(off)))


def test_what_was_is_dashed_and_what_is_to_be_is_solid() -> None:
    panels = drawn(sample(swing_deg=10)).panels
    thick = [
        shape
        for panel in panels
        for shape in panel.shapes
        if isinstance(shape, Line) and 2.4 < shape.width < 3.1
    ]
    colours = {bool(line.dashes): line.colour for line in thick}
    assert len(colours) == 2
    grey = {
        dashed: sum(bytes.fromhex((colour or "").removeprefix("#"))) / 3
        for dashed, colour in colours.items()
    }
    assert grey[True] > grey[False] + 25.0


@pytest.mark.parametrize("part", list(Part))
@pytest.mark.parametrize("value", [6.0, -6.0])
def test_words_of_every_movement_stay_on_the_page(part: Part, value: float) -> None:
    off = sample()
    needed = Estimated(value=value, low=value - 2.0, high=value + 2.0)
    moved = Movement(part=part, needed=needed, need=Need.MOVE)
    others = tuple(each for each in off.correction.movements if each.part is not part)
    correction = replace(off.correction, verdict=Verdict.MOVE, movements=(moved, *others))
    drawing = correction_drawing(correction, present=off.present, plan=off.plan)
    told = [s for p in drawing.panels for s in p.shapes if isinstance(s, Words) and s.size == 20]
    assert told
    for panel in drawing.panels:
        for shape in panel.shapes:
            if isinstance(shape, Words):
                assert 0 < shape.place[0] < panel.width
                assert 0 < shape.place[1] < panel.height


def test_the_picture_has_the_drawing() -> None:
    drawing = drawn(sample(swing_deg=10))
    picture = picture_of(drawing)
    assert picture.shape == (drawing.height, drawing.width, 3)
    assert picture.dtype == np.uint8
    blue = (picture[..., 2].astype(int) - picture[..., 0] > 70).sum()
    orange = (picture[..., 0].astype(int) - picture[..., 2] > 100).sum()
    assert blue > 3000
    assert orange > 2000


def test_a_dashed_line_is_drawn_with_gaps_as_long_as_said() -> None:
    line = Line(
        places=((10.0, 10.0), (110.0, 10.0)), colour="#000000", width=2.0, dashes=(6.0, 4.0)
    )
    page = Drawing(width=120, height=20, title="t", description="d", shapes=(line,))
    dark = (picture_of(page)[10, 10:110, 0] < 128).mean()
    assert dark == pytest.approx(0.6, abs=0.06)


@pytest.mark.parametrize("part", list(Part))
@pytest.mark.parametrize("value", [6.0, -6.0])
def test_an_arrow_without_an_amount_is_drawn_where_none_is_told(part: Part, value: float) -> None:
    off = sample()
    correction = correction_of({part: value})
    for draw in (correction_drawing, move_drawing):
        words, told = (
            draw(correction, present=off.present, plan=off.plan, how_far=how_far)
            for how_far in (False, True)
        )
        ways, amounts = (arrows_of(each) for each in (words, told))
        assert amounts, "every movement that is told has its arrow or words"
        for way, amount in zip(ways, amounts, strict=True):
            assert not any(sign.isdigit() for sign in way)
            assert any(sign.isdigit() for sign in amount)
            assert set(way.split()) < set(amount.split()), "the same way"
        assert lines_of(words) == lines_of(told), "the arrow itself is the same"


def arrows_of(drawing: Drawing) -> list[str]:
    return [
        shape.text
        for panel in drawing.panels
        for shape in panel.shapes
        if isinstance(shape, Words) and shape.size == 20
    ]


def lines_of(drawing: Drawing) -> int:
    return sum(isinstance(shape, Line) for panel in drawing.panels for shape in panel.shapes)


@pytest.mark.parametrize("view_name", VIEWS)
@pytest.mark.parametrize("value", [6.0, -6.0])
def test_the_rims_arrow_points_the_way_it_says(view_name: str, value: float) -> None:
    off = sample(view_name, swing_deg=4)
    drawing = correction_drawing(
        correction_of({Part.SWING: value}), present=off.present, plan=off.plan, how_far=False
    )
    (arrow,) = [
        shape.places
        for shape in drawing.panels[0].shapes
        if isinstance(shape, Line) and len(shape.places) == 12 and not shape.closed
    ]
    (said,) = arrows_of(drawing)
    assert said == ("rim to the front" if value > 0 else "rim to the back")
    assert (arrow[-1][1] < arrow[0][1]) == (value > 0), "the front of the mouth is at the top"


@pytest.mark.parametrize(
    ("need", "told"), [(Need.MOVE, 2), (Need.PERHAPS, 2), (Need.STAY, 1), (Need.UNSURE, 0)]
)
def test_how_the_tube_points_is_told_no_further_than_the_table_does(need: Need, told: int) -> None:
    """It said 1 degree up now and 1 down next time, beside a table that could not tell."""
    off = sample(vertical_deg=9)
    moved = replace(off.correction.of(Part.VERTICAL), need=need)
    movements = tuple(
        moved if each.part is Part.VERTICAL else each for each in off.correction.movements
    )
    correction = replace(off.correction, movements=movements)
    drawing = correction_drawing(correction, present=off.present, plan=off.plan)
    assert sum("tube points" in words for words in words_of(drawing)) == told
