"""The audit's page: a point of a chart leads to its films, and the page fits a phone."""

import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from tests.browser.conftest import LAPTOP, Server, Visit


@pytest.fixture
def audited(browser: Browser, tmp_path: Path) -> Iterator[Visit]:
    """A window on a server whose record is the invented school's year."""
    running = Server(tmp_path)
    bitewright = (sys.executable, "-m", "bitewright")
    table = tmp_path / "school.csv"
    made = (*bitewright, "audit", "school", "--out", str(table))
    taken = (
        *bitewright,
        "log",
        "import",
        str(table),
        "--mapping",
        str(tmp_path / "school.mapping.toml"),
    )
    for command in (made, taken):
        subprocess.run(command, env=running.environment, check=True, capture_output=True)  # noqa: S603 - our own command
    visit = Visit(browser.new_context(viewport=LAPTOP), running.origin)  # type: ignore[arg-type]
    visit.page.goto(running.start)
    yield visit
    visit.context.close()
    running.end()
    assert not visit.complaints
    assert not visit.outside


def test_a_point_leads_to_its_films(audited: Visit) -> None:
    page = audited.go("/record/audit")
    page.locator(".filters [name=view]").select_option("left-molar")
    page.get_by_role("button", name="Show").click()
    expect(page.locator("#over-time")).to_be_visible()
    assert audited.findings() == []
    assert audited.codes() == []
    page.locator(".chart svg [data-row]").nth(2).click()
    expect(page.locator("#list-said")).to_contain_text(" listed; ")
    expect(page.locator("#filters [name=view]")).to_have_value("left-molar")
    expect(page.locator("#filters [name=since]")).to_have_value("2025-03-01")
    page.set_viewport_size({"width": 390, "height": 844})
    page = audited.go("/record/audit?people=yes")
    assert audited.findings() == []
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
