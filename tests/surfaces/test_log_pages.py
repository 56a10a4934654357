"""The log's page over HTTP: the same entries as `bitewright log`, each key once, history kept."""

import re
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from typer.testing import CliRunner

from bitewright.cli.main import app as command_line
from bitewright.log.faults import fault_kinds
from bitewright.log.fields import FIELDS
from bitewright.tasks.light_box.light_box import open_own_light_box
from bitewright.tasks.log.entry_form import DECISION_KEYS, VIEW_KEYS
from bitewright.tasks.log.read_log import show_exposure
from bitewright.web.application import ServerSettings, create_app
from bitewright.web.pages.light_box import own_box
from bitewright.web.permissions import may
from bitewright.web.sessions import Kind
from tests.shown_codes import codes_in, shown_in_html
from tests.surfaces.test_light_box_pages import FILMS, png, simulated_marks

__all__ = ["png"]
HOME = "http://localhost"
LOG = "/record/log"
FIRST = {
    "day": "2026-01-31",
    "operator": "S12",
    "view": "right-molar",
    "receptor": "sensor-2",
    "rating": "uk-2020:N",
    "decision": "rejected",
    "decided_by": "T1",
    "faults": "cone-cut",
}


@pytest.fixture
def browser(own_folders: Path, tmp_path: Path) -> TestClient:
    assert own_folders
    app = create_app()
    box = open_own_light_box(tmp_path / "box.sqlite")
    app.dependency_overrides[own_box] = lambda: box
    return TestClient(app, base_url=HOME, headers={"origin": HOME})


def add(browser: TestClient, key: str, **fields: str) -> dict[str, object]:
    answer = browser.post(f"{LOG}/exposures", json={"fields": fields, "key": key})
    assert answer.status_code == 200, answer.text
    return dict(answer.json())


def listed(browser: TestClient, asked: str) -> list[str]:
    """Numbers of the exposures that an address lists."""
    answer = browser.get(f"{LOG}/list?{asked}")
    assert answer.status_code == 200, answer.text
    return re.findall(r'data-open="(\d+)"', answer.text)


def test_an_exposure_is_entered_once_decided_and_corrected(browser: TestClient) -> None:
    assert listed(browser, "") == []
    first = {**FIRST}
    for name in ("decision", "decided_by"):
        first.pop(name)
    assert add(browser, "page-1", **first)["said"] == "Exposure saved as entry 1."
    assert "saved before" in str(add(browser, "page-1", **first)["said"])
    taken = browser.post(f"{LOG}/exposures", json={"fields": FIRST, "key": "page-1"})
    assert taken.status_code == 400
    assert "says something else" in taken.json()["error"]
    decided = browser.post(
        f"{LOG}/exposures/1/decision", json={"decision": "rejected", "by": "T1", "key": "page-2"}
    )
    assert decided.json()["said"] == "Decision saved as entry 2."
    change = {"fields": {"room": "R2"}, "by": "T1", "why": "room forgotten", "key": "page-3"}
    assert browser.post(f"{LOG}/exposures/1/correction", json=change).status_code == 200
    assert browser.post(f"{LOG}/exposures/1/correction", json=change).status_code == 200
    kept = show_exposure("1", None)
    assert [each.entry.act for each in kept.entries] == ["exposure", "decision", "correction"]
    assert kept.state | {"room": "R2", "decision": "rejected", "decided_by": "T1"} == kept.state
    shown = browser.get(f"{LOG}/exposures/1").text
    assert "room forgotten" in shown
    assert codes_in(shown_in_html(shown)) == []
    printed = CliRunner().invoke(command_line, ["log", "list"], env={"COLUMNS": "200"})
    assert "1 exposure, 1 of them listed; 1 rejected" in printed.output


def test_lists_are_filtered_as_asked(browser: TestClient) -> None:
    add(browser, "a", **FIRST)
    add(browser, "b", **FIRST | {"decision": "accepted", "rating": "uk-2020:A", "faults": ""})
    add(browser, "c", **FIRST | {"view": "left-molar", "day": "2026-02-01", "decision": "retaken"})
    bare = {name: FIRST[name] for name in ("day", "operator", "view")}
    add(browser, "d", **bare)
    for asked, numbers in (
        ("", "4321"),
        ("view=right-molar", "421"),
        ("since=2026-02-01", "3"),
        ("until=2026-01-31&receptor=sensor-2", "21"),
        ("decision=not-kept", "31"),
        ("decision=undecided", "4"),
        ("fault=cone-cut", "31"),
        ("fault=movement", ""),
        ("rating=uk-2020%3AA", "2"),
        ("last=1", "4"),
    ):
        assert "".join(listed(browser, asked)) == numbers, asked
    wrong = browser.get(f"{LOG}/list?room=R9", headers={"accept": "application/json"})
    assert wrong.status_code == 400
    assert "No exposure in the log has room 'R9'" in wrong.json()["error"]
    odd = browser.get(f"{LOG}/list?decision=perhaps", headers={"accept": "application/json"})
    assert odd.status_code == 400
    assert "'perhaps' is not allowed as decision" in odd.json()["error"]


def test_a_page_of_the_log_shows_titles_and_its_own_day(browser: TestClient) -> None:
    add(browser, "a", **FIRST)
    whole = browser.get(LOG)
    assert "0 exposures" in whole.text, "of today there is none"
    assert codes_in(shown_in_html(whole.text)) == []
    assert '"1"' in browser.get(f"{LOG}?since=2026-01-31").text
    undated = {name: text for name, text in FIRST.items() if name != "day"}
    done = add(browser, "b", **undated)
    assert show_exposure("2", None).state["day"] == done["today"]


def test_an_assessed_film_fills_the_form_and_is_logged_once(browser: TestClient, png: Path) -> None:
    browser.put(f"{FILMS}?label=wedge", content=png.read_bytes())
    assert browser.get(f"{LOG}/film/1").status_code == 400
    document = dict(simulated_marks(swing_deg=9.0)["document"])  # type: ignore[call-overload]
    marks = {name: said for name, said in document.items() if name not in {"format", "image"}}
    browser.put(f"{FILMS}/1/marks", json={"version": 0, "marks": marks})
    browser.put(f"{FILMS}/1/decision", json={"decision": "rejected", "by": "T1"})
    film = browser.get(f"{LOG}/film/1").json()
    fields = film["fields"]
    assert fields["view"] == "right-premolar"
    assert fields["receptor"] == "plate-2"
    assert fields["rating"].startswith("uk-2020:")
    assert (fields["decision"], fields["decided_by"]) == ("rejected", "T1")
    assert float(fields["contact_error_deg"]) > 3.0, "nine degrees to the front, told with care"
    other = {"fields": fields | {"operator": "S12", "view": "left-molar"}, "key": film["key"]}
    refused = browser.post(f"{LOG}/exposures", json=other)
    assert refused.status_code == 400
    assert "the film's view is right premolar, here it is left molar" in refused.json()["error"]
    assert listed(browser, "") == []
    for said in ("saved as", "saved before as"):
        done = add(browser, film["key"], operator="S12", **fields)
        assert said in str(done["said"])
    assert "logged" not in film
    again = browser.get(f"{LOG}/film/1").json()["logged"]
    assert f"is exposure {done['number']} in the log already" in again


def test_each_view_decision_and_fault_has_a_key_of_its_own() -> None:
    assert set(VIEW_KEYS) == set(FIELDS["view"].form.choices)
    assert set(DECISION_KEYS) == {*FIELDS["decision"].form.choices, "undecided"}
    letters = [each.letters for each in fault_kinds().values()]
    for keys in (list(VIEW_KEYS.values()), list(DECISION_KEYS.values()), letters):
        assert len(set(keys)) == len(keys)
    assert all(re.fullmatch(r"[a-z]{2}", each) for each in letters)


def test_a_link_for_a_class_opens_nothing_of_the_record(own_folders: Path) -> None:
    assert own_folders
    app = create_app(ServerSettings(token="first", port=80, hosts=("localhost",)))  # noqa: S106
    token = app.state.sessions.add_link(Kind.CLASS)
    browser = TestClient(app, base_url=HOME, headers={"origin": HOME})
    browser.get(f"/start?token={token}")
    assert browser.get("/light-box").status_code == 200
    for path in (LOG, f"{LOG}/list", f"{LOG}/exposures/1", f"{LOG}/film/1"):
        assert browser.get(path).status_code == 403, path
        assert not may(Kind.CLASS, "GET", path)
    refused = browser.post(f"{LOG}/exposures", json={"fields": FIRST, "key": "a"})
    assert refused.status_code == 403
