"""The audit's page over HTTP: the figures of `bitewright audit rates`, and the films behind."""

import csv
import html
import io
import json
import re
from datetime import date, timedelta
from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from typer.testing import CliRunner

from bitewright.cli.main import app as command_line
from bitewright.log.entry import Act, Entry
from bitewright.store.appending import append
from bitewright.store.opening import opened_store
from bitewright.tasks.log.store_place import store_place
from bitewright.web.application import create_app
from bitewright.web.permissions import may
from bitewright.web.sessions import Kind
from tests.shown_codes import codes_in, shown_in_html

HOME = "http://localhost"
AUDIT = "/record/audit"
VIEWS = ("right-premolar", "right-molar", "left-molar")


@pytest.fixture
def browser(own_folders: Path) -> TestClient:
    """A record of 61 exposures of two months, one of them undecided."""
    assert own_folders
    with opened_store(store_place(None), make=True) as store, store.writing() as connection:
        append(connection, [_exposure(number) for number in range(61)])
    return TestClient(create_app(), base_url=HOME, headers={"origin": HOME})


def _exposure(number: int) -> Entry:
    body = {
        "day": f"2026-0{1 + number % 2}-{1 + number % 28:02d}",
        "operator": f"S{number % 2}",
        "reason": "recall, higher risk" if number % 3 else "new patient",
        "view": VIEWS[0] if number < 25 else VIEWS[1 + (number >= 55)],
        "kind": "exposure",
        "rating": f"uk-2020:{'N' if number % 5 == 0 else 'A'}",
    }
    if number % 5 == 0:
        body["faults"] = [{"fault": "cone-cut"}]  # type: ignore[assignment]
    if number != 60:
        body |= {"decision": "retaken" if number % 5 == 0 else "accepted", "decided_by": "T1"}
    return Entry(
        key=f"e-{number}",
        act=Act.EXPOSURE,
        about=None,
        written_at="2026-03-01T08:00:00Z",
        written_by="S1",
        why=None,
        body=body,
    )


def rates(*more: str) -> dict[str, tuple[int, int]]:
    """What `bitewright audit rates` tells: counted and all, by group."""
    told = CliRunner().invoke(command_line, ["audit", "rates", "--json", *more])
    groups = json.loads(told.output)["table"]["groups"]
    return {each["label"]: (each["count"], each["total"]) for each in groups}


def data_of(browser: TestClient, chart: str, asked: str = "") -> dict[str, tuple[int, int]]:
    answer = browser.get(f"{AUDIT}/{chart}.csv?{asked}")
    assert answer.status_code == 200, answer.text
    rows = list(csv.reader(io.StringIO(answer.content.decode("utf-8-sig"))))[1:]
    return {row[0]: (int(row[1]), int(row[2])) for row in rows}


def test_the_page_tells_what_the_command_tells(browser: TestClient) -> None:
    by_view = {name.replace("-", " "): pair for name, pair in rates("--by", "view").items()}
    assert data_of(browser, "rates-by-view") == by_view
    assert data_of(browser, "over-time", "period=month") == rates("--period", "month")
    some = "reason=recall%2C+higher+risk&until=2026-01-31"
    narrowed = data_of(browser, "rates-by-view", some)
    assert 0 < sum(total for _, total in narrowed.values()) < 60
    shown = browser.get(AUDIT).text
    assert "12 of 60 (20.0%, 95% interval" in shown
    assert "1 exposure is not decided on yet" in shown
    assert "1 group with fewer than 20 exposures is too small for a rate." in shown
    assert codes_in(shown_in_html(shown)) == []


def test_an_alarm_stands_above_all_else(browser: TestClient) -> None:
    assert "Alarm" not in browser.get(AUDIT).text
    with opened_store(store_place(None), make=False) as store, store.writing() as connection:
        append(connection, [_exposure(5 * number) for number in range(20, 90)])
    shown = browser.get(AUDIT).text
    assert "Alarm: 82 of 130 films were rejected" in shown
    assert shown.index("Alarm:") < shown.index("filters") < shown.index("Over all")


def test_the_questions_are_answered_as_the_command_does(browser: TestClient) -> None:
    asked = f"{AUDIT}?change=2026-02-01&what=new+tube&people=yes"
    told = CliRunner().invoke(command_line, ["audit", "--json", "--change", "2026-02-01=new tube"])
    answers = {each["topic"]: each for each in json.loads(told.output)["answers"]}
    shown = html.unescape(browser.get(asked).text)
    for topic in ("change", "unnamed change", "drift", "operators"):
        assert answers[topic]["question"] in shown, topic
        assert answers[topic]["sentence"] in shown, topic
    data = browser.get(f"{AUDIT}/changes.csv?change=2026-02-01&what=new+tube").text
    assert "new tube,2026-02-01," in data
    common = browser.get(AUDIT).text
    assert answers["operators"]["question"] not in html.unescape(common)
    missing = browser.get(f"{AUDIT}/operators.csv", headers={"accept": "application/json"})
    assert missing.status_code == 404


def test_every_figure_leads_to_its_films(browser: TestClient) -> None:
    shown = browser.get(f"{AUDIT}?period=month").text
    links = re.findall(r'<a href="(/record/log\?[^"]+)"[^>]*>(\d+)<', shown)
    assert len(links) > 10
    for address, figure in links:
        listed = browser.get(html.unescape(address)).text
        assert re.search(rf"\b{figure} exposures?, \d+ of them listed", listed), address


@pytest.fixture
def worse(own_folders: Path) -> TestClient:
    """Forty weeks of ten films; one in ten is rejected in the first half, six in the second."""
    assert own_folders
    first = date(2026, 1, 5)
    entries = []
    for number in range(400):
        week, place = divmod(number, 10)
        bad = place < (1 if week < 20 else 6)
        body = {
            "day": (first + timedelta(days=7 * week + place % 5)).isoformat(),
            "operator": "S1",
            "view": VIEWS[number % 3],
            "kind": "exposure",
            "decision": "rejected" if bad else "accepted",
            "decided_by": "T1",
        }
        entry = {"about": None, "written_by": "S1", "why": None, "body": body}
        entries.append(
            Entry(key=f"w-{number}", act=Act.EXPOSURE, written_at="2026-12-01T08:00:00Z", **entry)  # type: ignore[arg-type]
        )
    with opened_store(store_place(None), make=True) as store, store.writing() as connection:
        append(connection, entries)
    return TestClient(create_app(), base_url=HOME, headers={"origin": HOME})


def weeks_told(browser: TestClient, asked: str = "") -> dict[str, tuple[int, int]]:
    """The weeks that the answers tell of, with rejects and exposures; both are what is listed."""
    shown = browser.get(f"{AUDIT}?{asked}").text
    found = {}
    for says, row in re.findall(r"<li>([^<]+): (<a.*?exposures)</li>", shown):
        links = re.findall(r'<a href="(/record/log\?[^"]+)"[^>]*>(\d+)<', row)
        for address, figure in links:
            listed = browser.get(html.unescape(address)).text
            assert re.search(rf"\b{figure} exposures?, \d+ of them listed", listed), (says, address)
        found[html.unescape(says)] = (int(links[0][1]), int(links[1][1]))
    return found


def test_the_weeks_of_a_change_and_of_a_drift_lead_to_their_films(worse: TestClient) -> None:
    told = weeks_told(worse)
    assert told["Before the week of 2026-05-25"] == (20, 200)
    assert told["From the week of 2026-05-25 on"] == (120, 200)
    assert any(says.startswith("The week in which it most likely began") for says in told)
    assert told["The first 10 weeks with films"] == (10, 100)
    assert any(says.endswith("when it was sure") for says in told)


def test_a_named_change_leads_to_both_sides(worse: TestClient) -> None:
    told = weeks_told(worse, "change=2026-05-27&what=new+tube&since=2026-01-07&until=2026-09-30")
    assert told["Before the week of 2026-06-01"] == (25, 206)
    assert told["From the week of 2026-06-01 on"] == (106, 176)


def test_no_weeks_are_told_where_nothing_is_found(browser: TestClient) -> None:
    assert weeks_told(browser) == {}


def test_people_are_told_apart_only_for_who_asks(browser: TestClient) -> None:
    assert ">S0<" not in browser.get(AUDIT).text
    of_people = browser.get(f"{AUDIT}?people=yes").text
    assert ">S0<" in of_people
    assert "<code>bitewright audit aim</code> does" in of_people, "rejects tell nothing of the aim"
    assert "bitewright audit aim" not in browser.get(AUDIT).text
    missing = browser.get(f"{AUDIT}/rates-by-operator.csv", headers={"accept": "application/json"})
    assert missing.status_code == 404
    assert "There is no chart 'rates-by-operator'" in missing.json()["error"]


@pytest.mark.parametrize(
    ("asked", "word"),
    [
        ("event=loss", "The event 'loss' is not known"),
        ("period=day", "The period 'day' is not known"),
        ("since=1.1.2026", "'1.1.2026' is not allowed as day"),
        ("view=occlusal", "has view 'occlusal'"),
        ("scheme=uk-1066", "is not known"),
        ("change=2026-02-31", "'2026-02-31' is not allowed as day"),
    ],
)
def test_what_is_wrong_is_refused_in_a_sentence(browser: TestClient, asked: str, word: str) -> None:
    answer = browser.get(f"{AUDIT}?{asked}", headers={"accept": "application/json"})
    assert answer.status_code in {400, 404}
    assert word in answer.json()["error"]


def test_nothing_logged_is_said_and_a_class_is_kept_out(own_folders: Path) -> None:
    assert own_folders
    empty = TestClient(create_app(), base_url=HOME)
    assert "log some, or widen the filters" in empty.get(AUDIT).text
    assert not may(Kind.CLASS, "GET", AUDIT)
    assert not may(Kind.CLASS, "GET", f"{AUDIT}/over-time.csv")
