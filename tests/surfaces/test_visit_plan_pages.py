"""The plan of a visit as a page: asked by an address, answered with films, odds and cards."""

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from bitewright.estimation.mouth_belief import population
from bitewright.files.belief_file import write_belief
from bitewright.files.scatter_file import write_scatter
from bitewright.planning.stated_hands import stated_hands
from bitewright.tasks.visit.planned_mouth import USUAL_TEETH
from bitewright.web.application import create_app

HOME = "http://127.0.0.1:8642"
ASKED = {"plan": "yes", "side": "right", "teeth": "15 16", "lost": "47"}


@pytest.fixture(scope="module")
def browser() -> Iterator[TestClient]:
    with TestClient(create_app(), base_url=HOME, headers={"origin": HOME}) as client:
        yield client


def test_the_form_stands_alone_until_it_is_asked(browser: TestClient) -> None:
    text = browser.get("/bench/visit").text
    assert "Which films?" in text
    assert "Films to take" not in text


def test_what_cannot_be_planned_is_said(browser: TestClient) -> None:
    for wrong, said in (
        ({"teeth": "fifteen"}, "is no list of teeth"),
        ({"teeth": "47"}, "Tooth 47 is not in this mouth"),
        ({"side": "top"}, "The side"),
        ({"receptor": "sensor-9"}, "sensor-9"),
    ):
        answer = browser.get("/bench/visit", params=ASKED | wrong)
        assert 400 <= answer.status_code < 500
        assert said in answer.text


def test_a_learned_mouth_and_an_operators_scatter_are_taken_from_their_files(
    browser: TestClient, tmp_path: Path
) -> None:
    belief, hand = tmp_path / "belief.json", tmp_path / "S12.json"
    write_belief(belief, replace(population(USUAL_TEETH), films=4))
    write_scatter(hand, stated_hands()["practised"].scatter, operator="S12", assessed=9)
    given = {}
    for kind, name, path in (("mouth", "learned", belief), ("hand", "hand", hand)):
        about = {"kind": kind, "name": path.name}
        made = browser.post("/bench/visit/files", params=about, content=path.read_bytes())
        assert made.status_code == 200
        given[name] = made.json()["key"]
        crossed = {"kind": {"mouth": "hand", "hand": "mouth"}[kind], "name": path.name}
        wrong = browser.post("/bench/visit/files", params=crossed, content=path.read_bytes())
        assert wrong.status_code == 400
        assert path.name in wrong.json()["error"]
    text = browser.get("/bench/visit", params=given).text
    assert "belief.json: a mouth learned from 4 films." in text
    assert "S12.json: how S12 aims and places." in text
    for wrong, said in (
        ({"learned": given["learned"], "mouth": "standard"}, "One mouth can be meant"),
        ({"learned": given["learned"], "lost": "47"}, "name no teeth that are lost"),
        ({"hand": "0" * 24}, "choose it again"),
        ({"mouth": "no-such-mouth"}, "no-such-mouth"),
        ({"taught": "no such visit"}, "no such visit"),
    ):
        answer = browser.get("/bench/visit", params={"plan": "yes", **wrong})
        assert 400 <= answer.status_code < 500
        assert said in answer.text


@pytest.mark.slow
def test_an_operator_in_a_learned_mouth_has_odds_of_its_own(
    browser: TestClient, tmp_path: Path
) -> None:
    hand = tmp_path / "S12.json"
    write_scatter(hand, stated_hands()["learner"].scatter, operator="S12", assessed=9)
    about = {"kind": "hand", "name": hand.name}
    key = browser.post("/bench/visit/files", params=about, content=hand.read_bytes()).json()["key"]
    asked = {"plan": "yes", "side": "right", "teeth": "16", "mouth": "standard", "hand": key}
    text = browser.get("/bench/visit", params=asked).text
    assert "Films to take" in text
    assert "very steady" not in text
    assert "operator" in text


@pytest.mark.slow
def test_films_are_told_with_odds_and_cards(browser: TestClient) -> None:
    text = browser.get("/bench/visit", params=ASKED).text
    assert "1 film for every place that is needed: caries in enamel." in text
    assert "15-16" in text
    cards = browser.get("/bench/visit/cards.pdf", params=ASKED)
    assert cards.content.startswith(b"%PDF")
