"""The bench's addresses: the same numbers as the command line, nothing for strangers."""

import json
from collections.abc import Iterator
from html import unescape
from importlib.resources import files

import numpy as np
import pytest
from fastapi.testclient import TestClient
from typer.testing import CliRunner

from bitewright.cli.main import app as command_line
from bitewright.planning.tolerance import SlipWay
from bitewright.web.application import create_app

HOME = "http://127.0.0.1:8642"
OWN = {"origin": HOME}
MOLARS = "view=right-molar&receptor=plate-2"
STATE = f"ws://127.0.0.1:8642/bench/moving/state?{MOLARS}"
FILM = f"ws://127.0.0.1:8642/bench/moving/film?{MOLARS}"


@pytest.fixture(scope="module")
def browser() -> Iterator[TestClient]:
    with TestClient(create_app(), base_url=HOME) as client:
        yield client


def test_the_bench_tells_the_same_as_the_command_line(browser: TestClient) -> None:
    settings = {"ring_offset_deg": 4.0, "vertical_deg": 6.0, "forward_mm": 2.0, "turn_deg": 3.0}
    answer = browser.get(f"/bench/exposure?{MOLARS}&settings={json.dumps(settings)}").json()
    options = "--ring-offset 4 --vertical 6 --forward 2 --turn 3 --json"
    told = CliRunner().invoke(
        command_line,
        ["predict", "--view", "right-molar", "--receptor", "plate-2", *options.split()],
    )
    same = json.loads(told.stdout)
    del same["format"]
    # The bench takes fans of the nearest 2 degrees of vertical angle and opening.
    for contact in (*answer["contacts"], *same["contacts"]):
        del contact["beam"]
    assert {key: answer[key] for key in same} == same


def test_station_tells_a_fan_for_every_contact_of_both_arches(browser: TestClient) -> None:
    station = browser.get(f"/bench/station?{MOLARS}").json()
    fans = browser.get(f"/bench/exposure?{MOLARS}").json()["drawing"]["fans"]
    assert len(fans) == 24
    assert all(fan["low_deg"] < fan["high_deg"] for fan in fans)
    assert len(station["drawing"]["teeth"]) == 28
    assert station["caution"].startswith("Educational")


def test_a_mouth_drawn_by_any_number_lies_on_the_bench(browser: TestClient) -> None:
    station = browser.get("/bench/station?view=right-molar&mouth=drawn-77").json()
    assert station["mouth"] == "drawn mouth 77"
    assert '<option value="drawn-77">' in browser.get("/bench?mouth=drawn-77").text
    assert "drawn-77" not in browser.get("/bench").text
    assert browser.get("/bench/station?mouth=drawn-x").status_code == 400


def test_fan_lights_when_the_beam_lies_in_it(browser: TestClient) -> None:
    plan = browser.get(f"/bench/plan?{MOLARS}").json()
    lit = beam_in_fan(browser, plan["settings"])
    own = [name for name in lit if lit[name]]
    assert {"15-16", "45-46"} <= set(own)
    swung = beam_in_fan(browser, plan["settings"] | {"ring_offset_deg": 35.0})
    assert not swung["15-16"]
    assert not any(name[0] in "23" for name in own), "the beam is on the right"


def test_the_page_knows_every_movement_that_a_plan_tells_the_room_of() -> None:
    script = (files("bitewright.web") / "static" / "bench" / "plan.js").read_text("utf-8")
    assert not [each.value for each in SlipWay if f'"{each.value}": [' not in script]


def beam_in_fan(browser: TestClient, settings: dict[str, float]) -> dict[str, bool]:
    answer = browser.get(f"/bench/exposure?{MOLARS}&settings={json.dumps(settings)}").json()
    lit: dict[str, bool] = answer["drawing"]["beam_in_fan"]
    return lit


@pytest.mark.slow
def test_film_comes_whole_in_sixteen_bits(browser: TestClient) -> None:
    answer = browser.get(f"/bench/film?{MOLARS}")
    pixels = np.frombuffer(answer.content, "<u2")
    rows, columns = int(answer.headers["x-rows"]), int(answer.headers["x-columns"])
    assert pixels.size == rows * columns
    assert pixels.max() - pixels.min() > 30_000


@pytest.mark.slow
def test_moving_state_and_film_answer_each_wish(browser: TestClient) -> None:
    wish = {"seq": 7, "settings": {"ring_offset_deg": 3.0}}
    with browser.websocket_connect(STATE, headers=OWN) as socket:
        socket.send_json(wish)
        assert socket.receive_json()["seq"] == 7
        socket.send_json({"seq": 8, "settings": {"ring_offset_deg": 3000.0}})
        assert "must be a number from" in socket.receive_json()["fault"]
        socket.send_text("nonsense")
        assert "reload the page" in socket.receive_json()["fault"]
    with browser.websocket_connect(FILM, headers=OWN) as socket:
        socket.send_json(wish)
        data = socket.receive_bytes()
    seq, rows, columns, _ = np.frombuffer(data[:16], "<u4")
    assert seq == 7
    assert len(data) == 16 + rows * columns


def test_of_many_wishes_only_the_newest_is_worked_on(browser: TestClient) -> None:
    count = 60
    with browser.websocket_connect(STATE, headers=OWN) as socket:
        for seq in range(1, count + 1):
            socket.send_json({"seq": seq, "settings": {"ring_offset_deg": seq / 10}})
        answers = [socket.receive_json() for _ in range(count)]
    assert sorted(answer["seq"] for answer in answers) == list(range(1, count + 1))
    worked = [answer["seq"] for answer in answers if "outdated" not in answer]
    assert worked == sorted(worked)
    assert worked[-1] == count
    assert len(worked) < count / 2


@pytest.mark.parametrize("seq", ["true", "1.0", '"1"', "null"])
def test_a_wish_is_numbered_by_a_number(browser: TestClient, seq: str) -> None:
    with browser.websocket_connect(STATE, headers=OWN) as socket:
        socket.send_text(f'{{"seq": {seq}, "settings": {{}}}}')
        told = socket.receive_json()
        assert told["seq"] == 0
        assert "a number `seq`" in told["fault"]


@pytest.mark.parametrize(
    ("query", "sentence"),
    [
        ("view=left-wing", "View 'left-wing' is not known"),
        ("mouth=../../secret", "Mouth '../../secret' is not known"),
        ("mouth=standrad", "Did you mean 'standard'?"),
        ("receptor=plate2", "Did you mean 'plate-2'?"),
        ("holder=tap", "Did you mean 'tab'?"),
        ("tube=round-20", "Did you mean 'round-200'?"),
        ("receptor=huge", "huge"),
        ("settings=[]", "takes an object"),
        ('settings={"ring_offset_deg": "far"}', "each a number"),
        ('settings={"ring_offset_deg": 900}', "must be a number from -70 to 70 degrees"),
    ],
)
def test_bad_wishes_get_one_sentence(browser: TestClient, query: str, sentence: str) -> None:
    answer = browser.get(f"/bench/exposure?{query}")
    assert answer.status_code == 400
    assert sentence in answer.json()["error"]


def test_the_page_tells_of_a_name_in_its_address_that_there_is_not(browser: TestClient) -> None:
    text = browser.get("/bench?mouth=standrad&view=left-molar&tube=<b>").text
    assert "There is no mouth 'standrad'" in text
    assert "Did you mean 'standard'?" in unescape(text)
    assert "There is no tube '&lt;b&gt;'" in text
    assert "There is no view" not in text
    assert "There is no" not in browser.get("/bench?mouth=drawn-77").text


def test_receptor_that_does_not_fit_is_shown_and_told(browser: TestClient) -> None:
    settings = json.dumps({"lingual_mm": 39.0})
    answer = browser.get(f"/bench/exposure?{MOLARS}&settings={settings}").json()
    assert "larger than the mouth allows" in answer["does_not_fit"]


def test_no_film_is_made_of_an_exposure_that_cannot_be(browser: TestClient) -> None:
    settings = {"lingual_mm": 39.0}
    answer = browser.get(f"/bench/film?{MOLARS}&settings={json.dumps(settings)}")
    assert answer.status_code == 400
    assert "larger than the mouth allows" in answer.json()["error"]
    with browser.websocket_connect(FILM, headers=OWN) as socket:
        socket.send_json({"seq": 3, "settings": settings})
        told = socket.receive_json()
        assert told["seq"] == 3
        assert told["does_not_fit"] is True
        socket.send_json({"seq": 4, "settings": {"ring_offset_deg": 3000.0}})
        assert socket.receive_json()["does_not_fit"] is False
        socket.send_json({"seq": 5, "settings": {}})
        assert len(socket.receive_bytes()) > 16


def test_page_has_every_setting_and_strict_headers(browser: TestClient) -> None:
    answer = browser.get("/bench")
    assert answer.status_code == 200
    for name in ("ring_offset_deg", "vertical_deg", "forward_mm", "lingual_mm", "roll_deg"):
        assert f'id="{name}"' in answer.text
    policy = answer.headers["content-security-policy"]
    assert "default-src 'self'" in policy
    assert "unsafe" not in policy
    assert " style=" not in answer.text
    assert "<script>" not in answer.text


def test_the_next_step_names_the_way_to_swing(browser: TestClient) -> None:
    def next_step(ring_offset_deg: float, **more: float) -> str:
        settings = json.dumps({"ring_offset_deg": ring_offset_deg, **more})
        told = browser.get("/bench/exposure", params={"settings": settings}).json()["next_step"]
        assert isinstance(told, str)
        return told

    assert next_step(-6.0, lingual_mm=5.0).startswith(
        "Swing the tube towards the front until their fans light: 14-15"
    ), "caries do not need the canines' contacts"
    assert next_step(20.0).startswith("Swing the tube towards the back until their fans light")
    assert "larger than the mouth allows" in next_step(0.0, lingual_mm=39.0)
    best = {"vertical_deg": 1.5, "forward_mm": -3.0, "turn_deg": 12.5, "lingual_mm": 8.0}
    told = next_step(-9.5, **best)
    assert told.startswith("Good for caries; "), "the best aim was told to move the receptor"
    assert told.endswith("Not open, and not needed for that: 13-14 and 43-44.")


@pytest.mark.parametrize(
    "query", [MOLARS, "view=left-premolar", "view=right-molar&receptor=sensor-2"]
)
@pytest.mark.parametrize("ring_offset_deg", [-20.0, -6.0, 0.0, 4.0, 15.0])
@pytest.mark.parametrize("vertical_deg", [-10.0, 0.0, 8.0])
def test_lit_fans_are_open_contacts_but_for_their_very_edge(
    browser: TestClient, query: str, ring_offset_deg: float, vertical_deg: float
) -> None:
    settings = json.dumps({"ring_offset_deg": ring_offset_deg, "vertical_deg": vertical_deg})
    answer = browser.get(f"/bench/exposure?{query}&settings={settings}").json()
    fans = {fan["contact"]: fan for fan in answer["drawing"]["fans"]}
    for contact in answer["contacts"]:
        name, is_open = contact["contact"], contact["overlap_mm"] <= 0.10
        if answer["drawing"]["beam_in_fan"][name] != is_open:
            assert abs(contact["overlap_mm"] - 0.10) < 0.04, (contact, fans[name])


@pytest.mark.parametrize(
    "text",
    [
        "[" * 3000,
        '{"seq": 1, "settings": {"ring_offset_deg": NaN}}',
        '{"seq": 1, "settings": {"ring_offset_deg": 1e400}}',
        '{"seq": 1, "settings": {"ring_offset_deg": ' + "9" * 400 + "}}",
        '{"seq": 1, "settings": {"ring_offset_deg": true}}',
        '{"seq": -1, "settings": {}}',
        "x" * 9000,
        b"\x00\x01",
    ],
)
def test_a_senseless_message_is_told_and_the_line_goes_on(
    browser: TestClient, text: str | bytes
) -> None:
    with browser.websocket_connect(STATE, headers=OWN) as socket:
        send = socket.send_bytes if isinstance(text, bytes) else socket.send_text
        send(text)  # type: ignore[operator]
        assert socket.receive_json()["fault"]
        socket.send_json({"seq": 2, "settings": {}})
        assert socket.receive_json()["contacts"]


def test_solids_for_the_view_in_space_are_whole_triangles(browser: TestClient) -> None:
    data = browser.get(f"/bench/solids?{MOLARS}").content
    counts = np.frombuffer(data[:16], "<u4")
    assert len(data) == 16 + 12 * int(counts.sum())
    upper = np.frombuffer(data[16 : 16 + 12 * counts[0]], "<f4").reshape(-1, 3)
    assert counts.min() > 1000
    assert upper[:, 2].max() > 10.0, "roots point up in the upper jaw"


@pytest.mark.slow
def test_the_best_aim_keeps_the_ring_and_is_never_followed_by_advice_to_leave_it(
    browser: TestClient,
) -> None:
    for choice in ("view=left-molar&receptor=sensor-1", "view=right-premolar&receptor=plate-2"):
        found = browser.get(f"/bench/plan?{choice}").json()
        assert found["settings"]["ring_offset_deg"] == found["settings"]["vertical_deg"] == 0.0
        settings = json.dumps(found["settings"])
        told = browser.get(f"/bench/exposure?{choice}&settings={settings}").json()["next_step"]
        assert told.startswith("This is the best aim")
        assert "wing the tube" not in told
        assert "press" not in told.lower()
        off = json.dumps(found["settings"] | {"ring_offset_deg": 12.0})
        other = browser.get(f"/bench/exposure?{choice}&settings={off}").json()["next_step"]
        assert not other.startswith("This is the best aim")


@pytest.mark.slow
def test_other_ways_and_a_card_come_from_the_bench(browser: TestClient) -> None:
    ways = browser.get(f"/bench/ladder?{MOLARS}").json()
    assert ways["steps"][ways["take"]]["words"] in ways["answer"]
    card = browser.get(f"/bench/card?{MOLARS}")
    assert card.headers["content-type"] == "application/pdf"
    assert card.content.startswith(b"%PDF")
    limited = f"{MOLARS}&limit=gags&limit=shallow-palate&opens_mm=30"
    tight = browser.get(f"/bench/ladder?{limited}").json()
    assert "shallow palate" in tight["assumed"].lower()
    assert "30 mm" in tight["assumed"]
    assert [step["odds"] for step in tight["steps"]] != [step["odds"] for step in ways["steps"]]


@pytest.mark.parametrize(
    ("asked", "told"),
    [("limit=sleepy", "gags"), ("opens_mm=3", "10"), ("opens_mm=wide", "opens_mm")],
)
def test_a_limit_that_none_can_have_is_refused_in_a_sentence(
    browser: TestClient, asked: str, told: str
) -> None:
    answer = browser.get(f"/bench/ladder?{MOLARS}&{asked}", headers={"accept": "application/json"})
    assert 400 <= answer.status_code < 500
    assert told in answer.text
