"""The record's page over HTTP: refusals in a sentence, nothing written before it is asked for."""

from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from bitewright.web.application import create_app
from bitewright.web.permissions import may
from bitewright.web.sessions import Kind

HOME = "http://localhost"
SHEETS = Path(__file__).resolve().parents[1] / "messy_sheets"


@pytest.fixture
def browser(own_folders: Path) -> TestClient:
    assert own_folders
    return TestClient(create_app(), base_url=HOME, headers={"origin": HOME})


def sent(browser: TestClient, to: str, name: str, **asked: object) -> tuple[int, str]:
    content = (SHEETS / name).read_bytes()
    answer = browser.post(f"/record/{to}", params={"name": name, **asked}, content=content)  # type: ignore[dict-item]
    return answer.status_code, answer.text


def test_a_sheet_is_looked_at_and_brought_in_once_answered(browser: TestClient) -> None:
    name = "06-serial-dates.csv"
    status, text = sent(browser, "sheet", name)
    assert status == 200
    assert "Which grades were not kept?" in text
    status, text = sent(browser, "import", name)
    assert status == 400
    assert "leaves open: decisions, decided-by" in text
    assert "Nothing has been brought in yet" in browser.get("/record").text
    answers = ["decisions=reject poor", "decided-by=operator"]
    status, text = sent(browser, "import", name, answer=answers, skip_bad_rows=True)
    assert status == 200, text
    assert "exposures added" in text
    assert "06-serial-dates" in browser.get("/record").text
    status, text = sent(browser, "mapping", name, answer=answers)
    assert "reject poor" in text


@pytest.mark.parametrize(
    ("to", "asked", "word"),
    [
        ("sheet", {"answer": "x"}, "KEY=VALUE"),
        ("import", {"again": "never"}, "is not known"),
        ("undo", {"identifier": "00000000"}, "no store"),
    ],
)
def test_what_is_wrong_is_refused_in_a_sentence(
    browser: TestClient, to: str, asked: dict[str, str], word: str
) -> None:
    status, text = sent(browser, to, "06-serial-dates.csv", **asked)
    assert status in {400, 404}
    assert word in text


def test_a_class_is_kept_out_of_the_record() -> None:
    assert not may(Kind.CLASS, "GET", "/record")
    assert may(Kind.OWN, "POST", "/record/import")
