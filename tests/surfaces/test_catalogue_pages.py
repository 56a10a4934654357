"""The catalogue's addresses: own equipment and mouths, in and out, used by name everywhere."""

import json
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from typer.testing import CliRunner

from bitewright.cli.main import app as command_line
from bitewright.equipment.catalogue import catalogue_from_mapping, packaged_catalogue
from bitewright.equipment.entries import entry_to_mapping
from bitewright.files.toml_files import read_toml
from bitewright.web.application import create_app

HOME = "http://127.0.0.1:8642"
JSON = {"content-type": "application/json"}


@pytest.fixture
def browser(own_folders: Path) -> Iterator[TestClient]:
    assert own_folders.is_dir()
    with TestClient(create_app(), base_url=HOME, headers={"origin": HOME}) as client:
        yield client


def own_sensor(name: str = "our-sensor", **changed: object) -> dict[str, object]:
    entry = entry_to_mapping(packaged_catalogue().receptor("sensor-2"))
    return entry | {"name": name, "source": "measured by us", "confidence": "measured"} | changed


def test_own_sensor_is_used_by_name_on_the_bench_and_the_command_line(browser: TestClient) -> None:
    kept = browser.put("/catalogue/receptors/our-sensor", json=own_sensor(thickness_mm=7.5))
    assert kept.status_code == 204, kept.text
    assert "our-sensor" in browser.get("/catalogue").text
    assert "our-sensor" in browser.get("/bench").text
    station = browser.get("/bench/exposure?view=right-molar&receptor=our-sensor").json()
    assert station["equipment"]["receptor"] == "our-sensor"
    told = CliRunner().invoke(command_line, ["list", "receptors", "--json"])
    assert "our-sensor" in told.stdout
    assert browser.delete("/catalogue/receptors/our-sensor").status_code == 204
    assert "our-sensor" not in browser.get("/catalogue").text


def test_everything_that_can_lie_on_the_bench_leads_there(browser: TestClient) -> None:
    text = browser.get("/catalogue").text
    addresses = re.findall(r'href="(/bench\?(\w+)=[^"]+)"', text)
    assert {kind for _, kind in addresses} == {"mouth", "view", "receptor", "holder", "tube"}
    for address, _ in addresses:
        assert "which the address asks for" not in browser.get(address).text, address


def test_own_equipment_goes_out_and_comes_in_as_a_file(browser: TestClient, tmp_path: Path) -> None:
    browser.put("/catalogue/receptors/our-sensor", json=own_sensor())
    taken = browser.get("/catalogue/equipment-file")
    (tmp_path / "out.toml").write_bytes(taken.content)
    out = catalogue_from_mapping(read_toml(tmp_path / "out.toml"))
    assert set(out.receptors) == {"our-sensor"}
    browser.delete("/catalogue/receptors/our-sensor")
    assert browser.post("/catalogue/equipment-file", content=taken.content).status_code == 204
    assert "our-sensor" in browser.get("/catalogue").text
    again = browser.post("/catalogue/equipment-file", content=taken.content)
    assert again.status_code == 400
    assert "taken" in again.json()["error"]


def test_own_mouth_is_added_used_and_removed(browser: TestClient) -> None:
    text = browser.get("/catalogue/mouth-file/turned-premolars").content
    assert browser.post("/catalogue/mouth-file?name=mine", content=text).status_code == 204
    fans = [
        browser.get(f"/bench/exposure?mouth={name}").json()["drawing"]["fans"]
        for name in ("mine", "turned-premolars", "standard")
    ]
    assert fans[0] == fans[1]
    assert fans[0] != fans[2]
    assert browser.delete("/catalogue/mouths/mine").status_code == 204
    assert browser.get("/bench/station?mouth=mine").status_code == 400


@pytest.mark.parametrize(
    ("method", "address", "content", "sentence"),
    [
        ("put", "/catalogue/receptors/sensor-2", own_sensor("sensor-2"), "stays as it is"),
        ("put", "/catalogue/receptors/x", own_sensor("x", thickness_mm=900.0), "thickness_mm"),
        ("put", "/catalogue/lamps/x", own_sensor("x"), "no section 'lamps'"),
        ("delete", "/catalogue/receptors/sensor-2", None, "none of your own"),
        ("get", "/catalogue/mouth-file/standrad", b"", "Did you mean 'standard'?"),
        ("post", "/catalogue/mouth-file?name=standard", b"", "is taken"),
        ("post", "/catalogue/mouth-file?name=drawn-7", b"", "is taken"),
        ("post", "/catalogue/mouth-file?name=../../x", b"", "is not allowed"),
        ("post", "/catalogue/mouth-file?name=bad", b"format = 3", "Mouth description"),
        ("post", "/catalogue/equipment-file", b"\xff\xfe", "not UTF-8"),
    ],
)
def test_bad_entries_are_refused_in_a_sentence(
    browser: TestClient, method: str, address: str, content: object, sentence: str
) -> None:
    given = {"json": content} if isinstance(content, dict) else {"content": content}
    answer = browser.request(method.upper(), address, **given)  # type: ignore[arg-type]
    assert answer.status_code in {400, 404}
    assert sentence in answer.json()["error"]
    assert "own</span>" not in browser.get("/catalogue").text


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("source", "\0"),
        ("source", "a\x1b[2J"),
        ("source", "cut \ud83d"),
        ("title", "two\nlines"),
        ("thickness_mm", 10**400),
    ],
)
def test_what_cannot_be_kept_of_an_entry_is_refused(
    browser: TestClient, name: str, value: object
) -> None:
    body = json.dumps(own_sensor(**{name: value}))
    answer = browser.put("/catalogue/receptors/our-sensor", content=body, headers=JSON)
    assert answer.status_code in {400, 422}
    assert name in answer.json()["error"]
    assert len(answer.json()["error"]) < 400
    assert b"our-sensor" not in browser.get("/catalogue/equipment-file").content


@pytest.mark.parametrize(
    "line",
    [
        'name = "a\\u0000b"',
        'name = "' + "x" * 10_000 + '"',
        "name = 7",
        "spee_mm = " + "9" * 400,
        'left_out = ["\u00b9\u00b9"]',
        '"' + "k" * 10_000 + '" = 1',
    ],
)
def test_a_mouth_that_cannot_be_kept_is_refused_in_one_short_sentence(
    browser: TestClient, line: str
) -> None:
    text = f'format = "bitewright.mouth/1"\n{line}\n'
    answer = browser.post("/catalogue/mouth-file?name=ours", content=text.encode())
    assert answer.status_code == 400
    sentence = answer.json()["error"]
    assert sentence.isprintable()
    assert len(sentence) < 400
    assert browser.get("/catalogue/mouth-file/ours").status_code == 400
