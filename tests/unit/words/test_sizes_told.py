"""One size of a movement is one figure wherever it is told: sentence, table, drawing, set-up."""

import re
from dataclasses import replace

import numpy as np
import pytest

from bitewright.explanation.correction import Estimated, Need, Part
from bitewright.explanation.needs import TOLD, WORTH, need_of
from bitewright.planning.best_aim import Setting
from bitewright.report.correction_drawing import correction_drawing
from bitewright.report.shapes import Words
from bitewright.words.chair_card import set_up_lines
from bitewright.words.corrections import correction_words
from bitewright.words.drawing import arrow_words
from bitewright.words.movement_rows import movement_row
from bitewright.words.plans import plan_instructions, whole_degrees
from tests.sample_corrections import RIM_RADIUS_MM, correction_of, plan_of, sample

FIGURE = re.compile(r"(\d+(?:\.\d)?) (mm|degrees?)")
STEPS = np.arange(0.0, 13.0, 0.13)


def figures(said: str) -> list[tuple[float, str]]:
    return [(float(number), unit.removesuffix("s")) for number, unit in FIGURE.findall(said)]


@pytest.mark.parametrize("part", [part for part in Part if part is not Part.CLOSURE])
@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_a_movement_has_one_size_in_sentence_table_and_drawing(part: Part, sign: float) -> None:
    for far in STEPS[WORTH[part] < STEPS]:
        off = correction_of({part: sign * far})
        movement = off.of(part)
        sentence = correction_words(off, ring=False).operator
        row = movement_row(movement, rim_radius_mm=RIM_RADIUS_MM).about
        arrow = arrow_words(movement, rim_radius_mm=RIM_RADIUS_MM)
        told = figures(sentence)[:2] if movement.rim else figures(sentence)[:1]
        assert sorted(figures(row)) == sorted(told)
        assert figures(arrow) == told[:1]
        for number, unit in told:
            assert number * (1 if unit == "degree" or number >= 3.0 else 2) % 1.0 == 0.0


def test_a_drawing_tells_no_other_figure_than_its_sentence() -> None:
    of = sample(swing_deg=9.4, forward_mm=2.6, height_mm=-1.9)
    sentence = correction_words(of.correction, ring=False).operator
    drawing = correction_drawing(of.correction, present=of.present, plan=of.plan, sentence=sentence)
    drawn = [
        shape.text
        for panel in drawing.panels
        for shape in panel.shapes
        if isinstance(shape, Words) and "points" not in shape.text
    ]
    told = figures(" ".join(drawn))
    assert len(told) >= 3
    assert set(told) <= set(figures(sentence))


@pytest.mark.parametrize("part", list(Part))
def test_a_size_below_what_is_worth_moving_is_no_movement(part: Part) -> None:
    for far in STEPS[WORTH[part] > STEPS]:
        for half in (0.05, 0.5, 2.0, 8.0):
            for value in (far, -far):
                amount = Estimated(value=value, low=value - half, high=value + half)
                assert need_of(part, amount) not in TOLD


@pytest.mark.parametrize(
    ("turn_deg", "said"),
    [
        (0.4, "parallel to the teeth"),
        (0.5, "parallel to the teeth"),
        (2.5, "turned 2 degrees"),
        (2.6, "turned 3 degrees"),
        (-2.5, "turned 2 degrees, its front end towards the teeth"),
    ],
)
def test_a_set_up_is_told_in_the_figures_of_movements(turn_deg: float, said: str) -> None:
    """It was to be turned "0.5 degrees", where movements are told in whole ones."""
    setting = Setting(
        forward_mm=0.0,
        lingual_mm=6.5,
        turn_deg=turn_deg,
        ring_offset_deg=turn_deg,
        vertical_deg=turn_deg,
    )
    placed, aimed, _ = plan_instructions(setting, [])
    assert said in placed
    assert "7 mm from the crowns" in placed
    assert ("swing it" in aimed) is bool(whole_degrees(turn_deg))
    assert ("level" in aimed) is not bool(whole_degrees(turn_deg))
    on_card = " ".join(set_up_lines(setting, plan_of().exposure))
    whole = abs(whole_degrees(turn_deg))
    assert (f"turned {whole} degree" in on_card) is bool(whole)


def test_what_is_perhaps_needed_is_told_by_how_far_it_may_be() -> None:
    off = correction_of({Part.FORWARD: 2.6})
    movements = tuple(
        replace(each, need=Need.PERHAPS) if each.part is Part.FORWARD else each
        for each in off.movements
    )
    said = correction_words(replace(off, movements=movements)).operator
    row = movement_row(movements[0], rim_radius_mm=RIM_RADIUS_MM)
    assert figures(said)[-1][0] == float(row.between.split(" and ")[1].split()[0])
