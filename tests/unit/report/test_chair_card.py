"""A chair card read by somebody who has nothing else: the set-up comes out as planned."""

import re
from dataclasses import replace
from html import unescape

import numpy as np
import pytest

from bitewright.exposing.beside_receptor import space_to_tooth_mm
from bitewright.exposing.exposure import Exposures, Station, aimed
from bitewright.exposing.receptor_edges import EdgeName, edges_from_contacts
from bitewright.exposing.seating import seat
from bitewright.mouth.standard_mouth import standard_mouth
from bitewright.planning.best_aim import Plan, Setting, best_aim
from bitewright.planning.ladder import borne_by
from bitewright.planning.patient_limits import PatientLimit, patient
from bitewright.planning.set_up_search import Freedoms, likeliest_set_up
from bitewright.planning.stated_hands import MIDDLING, stated_hands
from bitewright.planning.tolerance import tolerances
from bitewright.quality.criteria import Question
from bitewright.quality.predicted import asked, predict
from bitewright.quality.views import view
from bitewright.report.card_drawing import card_drawing
from bitewright.report.card_page import CardSize, ChairCard, cards_html, cards_pdf
from bitewright.words.chair_card import LINES, card_words
from tests.scenes import station_in, station_of

pytestmark = pytest.mark.slow

NEAR_MM, NEAR_DEG = 1.0, 2.0


def shallow() -> Plan:
    at = borne_by(station_of("right-molar", "sensor-2"), patient([PatientLimit.SHALLOW_PALATE]))
    of_view = view("right-molar")
    of = asked(of_view, at)
    errors = stated_hands()[MIDDLING].scatter.draw(np.random.default_rng(1), 100)
    found = likeliest_set_up(at, of, errors, freedoms=Freedoms(), question=Question.ENAMEL)
    assert found is not None
    exposure = exposed(at, found[0])
    return Plan(
        view=of_view,
        station=at,
        setting=found[0],
        exposure=exposure,
        prediction=predict(exposure, of),
        cost=0.0,
    )


def with_gap() -> Plan:
    mouth = standard_mouth()
    teeth = {code: replace(tooth, present=code != 46) for code, tooth in mouth.teeth.items()}
    at = station_in(replace(mouth, teeth=teeth), "right-molar", "sensor-2")
    return best_aim(view("right-molar"), at, flush=True)


PLANS = {
    "standard": lambda: best_aim(
        view("right-premolar"), station_of("right-premolar", "sensor-2"), flush=True
    ),
    "shallow palate": shallow,
    "gap": with_gap,
    "upright": lambda: best_aim(
        view("left-premolar-vertical"), station_of("left-premolar-vertical", "plate-2"), flush=True
    ),
    "tab": lambda: best_aim(view("left-molar"), station_of("left-molar", "plate-2", "tab")),
}


def card_of(plan: Plan) -> ChairCard:
    words = card_words(plan, {MIDDLING: 0.9}, tolerances(plan), (), Question.ENAMEL)
    return ChairCard(words=words, drawing=card_drawing(plan.exposure, words.title))


def exposed(at: Station, setting: Setting) -> Exposures:
    return aimed(at, seat(at.seating, setting.placement()), setting.aim())


def read_and_set_up(html: str, at: Station) -> Exposures:
    """An exposure from the numbered lines of a card's page, and from nothing else."""
    listed = re.search(r"<ol>(.*?)</ol>", html, re.DOTALL)
    assert listed is not None
    lines = [
        unescape(re.sub(r"<[^>]+>", "", line))
        for line in re.findall(r"<li>(.*?)</li>", listed[1], re.DOTALL)
    ]
    assert len(lines) == LINES
    front, lies, tube = lines[1], lines[3], lines[5]
    setting = Setting(
        forward_mm=0.0,
        lingual_mm=5.0,
        turn_deg=signed(r"turned (\d+) degrees? towards (the opposite canine|the teeth)", lies),
        tilt_deg=float(number(r"tilted (\d+) degrees?", lies) or 0),
        ring_offset_deg=signed(r"swung (\d+) degrees? towards the (front|back)", tube),
        vertical_deg=signed(r"from (\d+) degrees? (above|below)", tube),
    )
    below = front.split(";")[0]
    told = re.search(r"(?:(\d+) mm (in front of|behind)|at) the contact (\d\d-\d\d)", below)
    assert told is not None, front
    wanted = float(told[1] or 0) * (-1.0 if told[2] == "behind" else 1.0)
    space = re.search(r"^(\d+) mm from the inner side of (\d\d)", lies)
    assert space is not None, lies
    for _ in range(3):
        places = [replace(setting, forward_mm=float(x)) for x in np.arange(-20.0, 20.1, 0.25)]
        setting = nearest(
            places, [front_from(exposed(at, each), told[3]) for each in places], wanted
        )
        depths = [replace(setting, lingual_mm=float(x)) for x in np.arange(0.5, 20.1, 0.25)]
        setting = nearest(
            depths,
            [space_to_tooth_mm(exposed(at, each), int(space[2])) for each in depths],
            float(space[1]),
        )
    return exposed(at, setting)


def nearest(tried: list[Setting], measured: list[float], wanted: float) -> Setting:
    return tried[int(np.argmin(np.abs(np.array(measured) - wanted)))]


def front_from(exposure: Exposures, contact: str) -> float:
    """How far the front edge lies in front of a lower contact; far away where another is nearer."""
    for edge in edges_from_contacts(exposure):
        if edge.edge is EdgeName.CASING_FRONT and not edge.upper and edge.name == contact:
            return edge.ahead_mm
    return 1e3


def number(pattern: str, line: str) -> str | None:
    found = re.search(pattern, line)
    return None if found is None else found[1]


def signed(pattern: str, line: str) -> float:
    found = re.search(pattern, line)
    if found is None:
        return 0.0
    return float(found[1]) * (-1.0 if found[2] in ("the teeth", "back", "below") else 1.0)


@pytest.mark.parametrize("case", PLANS)
def test_the_card_alone_sets_up_the_exposure(case: str) -> None:
    plan = PLANS[case]()
    html = cards_html((card_of(plan),), size=CardSize.HAND, made="Made today")
    found = read_and_set_up(html, plan.station)
    away = found.seat.centres_mouth[0] - plan.exposure.seat.centres_mouth[0]
    assert float(np.linalg.norm(away)) <= NEAR_MM, away
    for ours, its in (
        (found.seat.axes_mouth[0, 2], plan.exposure.seat.axes_mouth[0, 2]),
        (found.beam.rays_mouth[0], plan.exposure.beam.rays_mouth[0]),
    ):
        assert np.rad2deg(np.arccos(np.clip(ours @ its, -1.0, 1.0))) <= NEAR_DEG


def test_one_card_fills_one_page_and_four_share_one() -> None:
    card = card_of(PLANS["standard"]())
    for cards in ((card,), (card,) * 4):
        for size in CardSize:
            pdf = cards_pdf(cards, size=size, made="Made today")
            assert pdf.startswith(b"%PDF")
            assert len(re.findall(rb"/Type\s*/Page\b", pdf)) == 1
    html = cards_html((card,) * 4, size=CardSize.WALL, made="Made today")
    assert html.count("<article>") == 4
    assert "size: 297mm 420mm" in html
