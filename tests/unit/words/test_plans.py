"""A plan's room in steps a hand can set, never more than there is."""

from dataclasses import replace

import pytest

from bitewright.exposing.exposure import expose
from bitewright.exposing.receptor_edges import edge_places
from bitewright.planning.best_aim import Setting
from bitewright.planning.tolerance import Slip, SlipWay
from bitewright.tasks.documents import edges_document
from bitewright.words.placement import told_edges
from bitewright.words.plans import SLIP_WORDS, does_not_work_words, plan_instructions, slip_distance
from tests.scenes import station_of

TUBE = Slip(
    movement=SlipWay.TUBE_BACK,
    unit="deg",
    until_short=None,
    short_criterion=None,
    until_failed=None,
    failed_criterion=None,
    tried=30.0,
)
RECEPTOR = replace(TUBE, movement=SlipWay.RECEPTOR_BACK, unit="mm", tried=15.0)


@pytest.mark.parametrize(
    ("slip", "value", "said"),
    [
        (TUBE, None, "not within 30 degrees"),
        (TUBE, 6.75, "6 degrees"),
        (TUBE, 1.25, "1 degree"),
        (TUBE, 0.75, "less than 1 degree"),
        (RECEPTOR, 3.375, "3 mm"),
        (RECEPTOR, 4.625, "4.5 mm"),
        (RECEPTOR, 0.375, "less than 0.5 mm"),
    ],
)
def test_room_is_rounded_down_to_what_a_hand_can_set(
    slip: Slip, value: float | None, said: str
) -> None:
    assert slip_distance(value, slip) == said


def test_every_movement_has_words() -> None:
    assert set(SLIP_WORDS) == set(SlipWay)


@pytest.mark.parametrize(
    ("forward_mm", "said"),
    [(0.0, "at the view's"), (2.5, "2.5 mm in front of the view's"), (-1.0, "1 mm behind the")],
)
def test_a_receptor_in_its_usual_place_is_at_it(forward_mm: float, said: str) -> None:
    setting = Setting(
        forward_mm=forward_mm, lingual_mm=5.0, turn_deg=0.0, ring_offset_deg=0.0, vertical_deg=0.0
    )
    middle = plan_instructions(setting, [])[2]
    assert middle.startswith(f"Middle of the receptor {said}")
    assert "0 mm in" not in middle


def test_a_refused_set_up_is_told_the_reason_that_holds_alone() -> None:
    fails, shut = "fail more often than not", "keeps the teeth from closing"
    for serves, closes in ((True, False), (False, True), (False, False)):
        said = does_not_work_words(serves=serves, closes=closes)
        assert (fails in said, shut in said) == (not serves, not closes)


@pytest.mark.parametrize(
    ("receptor", "called"),
    [
        ("film-2", ["front edge of the receptor"]),
        ("plate-2", ["front edge of the receptor"]),
        ("sensor-2", ["front edge of the casing", "front edge of the active area"]),
    ],
)
def test_an_edge_of_a_receptor_without_a_casing_is_told_once(
    receptor: str, called: list[str]
) -> None:
    setting = Setting(
        forward_mm=0.0, lingual_mm=6.0, turn_deg=0.0, ring_offset_deg=0.0, vertical_deg=0.0
    )
    edges = edge_places(expose(station_of(receptor=receptor), setting.placement(), setting.aim()))
    told = [title for title, edge in told_edges(edges) if not edge.upper and "front" in title]
    assert told == called
    first = plan_instructions(setting, edges)[0]
    assert first.count("front edge") == len(called)
    assert len(edges_document(edges)) == 4 * len(called)
