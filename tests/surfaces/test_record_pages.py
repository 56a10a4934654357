"""The record's page over HTTP: refusals in a sentence, nothing written before it is asked for."""

import re
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


def test_the_preview_shows_films_as_they_would_come_in(browser: TestClient) -> None:
    answers = ["decisions=reject N", "bitewings=premolar", "decided-by=operator"]
    status, text = sent(browser, "sheet", "01-day-first.csv", answer=answers)
    assert status == 200
    start = text.index("Films as they would come in")
    films = " ".join(re.sub(r"<[^>]+>", " ", text[start : text.index("Faults of rows")]).split())
    assert "5 10/01/2025, BW right, A, N 2025-01-10 right premolar staff-01 A (UK 2020)" in films
    assert "(UK 2020) underexposure retaken exposure" in films, "a film not kept, in words"
    assert "Orlensby" not in films
    assert 'scope="col">Sheet' not in text, "a sheet of one table has no tabs to tell apart"
    assert "4 rows have faults, told below: mend the sheet, or tick the box" in text
    status, text = sent(browser, "import", "01-day-first.csv", answer=answers)
    assert status == 400
    assert "on the page the box below" in text


def test_a_cell_too_long_to_be_shown_whole_says_that_it_goes_on(browser: TestClient) -> None:
    _, text = sent(browser, "sheet", "13-was-and-is.xlsx")
    assert "Diagnostically not accep…" in text


def test_what_is_open_and_what_comes_next_stand_beside_the_buttons(browser: TestClient) -> None:
    _, text = sent(browser, "sheet", "01-day-first.csv")
    assert "3 questions are still open; then it can be brought in." in text
    assert "Some bitewings tell their side alone. Were they of premolars" in text
    assert "a rule of your own, such as reject 3, remark 2" in text
    _, text = sent(browser, "sheet", "06-serial-dates.csv", answer="decisions=reject poor")
    assert "1 question is still open" in text
