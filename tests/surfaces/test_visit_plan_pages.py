"""The plan of a visit as a page: asked by an address, answered with films, odds and cards."""

from collections.abc import Iterator

import pytest
from fastapi.testclient import TestClient

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


@pytest.mark.slow
def test_films_are_told_with_odds_and_cards(browser: TestClient) -> None:
    text = browser.get("/bench/visit", params=ASKED).text
    assert "1 film for every place that is needed: caries in enamel." in text
    assert "15-16" in text
    cards = browser.get("/bench/visit/cards.pdf", params=ASKED)
    assert cards.content.startswith(b"%PDF")
