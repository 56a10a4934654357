"""No code reaches a person's eye: on the terminal, in reports, drawings and pages stand titles."""

import json
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from fastapi.testclient import TestClient
from typer.testing import CliRunner

from bitewright.cli.main import app
from bitewright.cli.options import Listing
from bitewright.marking.assess import assess
from bitewright.marking.raw_image import RawImage
from bitewright.quality.rating_schemes import rating_scheme
from bitewright.quality.views import view
from bitewright.report.contact_sheet import Tile
from bitewright.report.film_overlay import film_overlay
from bitewright.report.svg import svg_of
from bitewright.tasks.film import make_sheet as sheets
from tests.shown_codes import codes, codes_in, shown_in_document, shown_in_html
from tests.surfaces.test_light_box_pages import FILMS, VIEW, browser, png, simulated_marks

__all__ = ["browser", "png"]
LEFT = "view=left-molar-vertical&receptor=plate-2&mouth=missing-molar&holder=tab&tube=round-300"
CYCLES = """
format = "bitewright.audit-plan/1"
subject = "Bitewings of students"
reaudit = "2026-06"
standard = { scheme = "uk-2020", year = 2020 }
first_cycle = { date = "2025-03", sample = "50 in a row", grades = { A = 40, N = 10 } }
second_cycle = { date = "2025-09", sample = "50 in a row", grades = { A = 48, N = 2 } }
"""


def said(*arguments: str) -> str:
    """What a command prints when it succeeds, on a terminal so wide that nothing breaks."""
    answer = CliRunner().invoke(app, list(arguments), env={"COLUMNS": "400"})
    assert answer.exit_code == 0, answer.output + repr(answer.exception)
    return answer.output


def test_codes_are_known_and_seen_where_they_are_shown() -> None:
    known = (
        "right-molar uk-2020 contacts-open cone-cut sensor-2 ring-holder rectangular-300 "
        "missing-molar enamel-caries nothing-needs-to-move tube-too-high extra-view retake_of "
        "mesial-occlusal outer-enamel drawn-1 contact_error_deg double-exposure"
    )
    assert set(known.split()) <= codes()
    assert codes_in("rated uk-2020:A at 15.distal.crest") == ["uk-2020", "15.distal.crest"]
    assert codes_in("right molar, UK 2020, 15-16, 15 distal, cone cut") == []
    page = '<p title="uk-2020"><option value="a-2">b</option><code>sensor-2</code> film-2</p>'
    assert codes_in(shown_in_html(page)) == ["film-2", "uk-2020"]
    document = {"view": "right-molar", "rating": [{"sentence": "contacts-open failed"}]}
    assert codes_in(shown_in_document(document)) == ["contacts-open"]


def test_the_demonstration_shows_titles(demonstration: tuple[Path, str]) -> None:
    out, text = demonstration
    assert "right premolar" in text
    assert codes_in(text) == []
    pages = [path.read_text(encoding="utf-8") for path in (out / "audit").glob("*.html")]
    tables = [path.read_text(encoding="utf-8") for path in (out / "audit").glob("*.csv")]
    assert codes_in("\n".join(map(shown_in_html, pages))) == []
    assert codes_in("\n".join(tables)) == []
    assert "cone cut" in shown_in_html(pages[0])
    assert any("right molar" in table for table in tables)


@pytest.mark.parametrize(
    ("command", "title"),
    [
        ("predict --view right-premolar --receptor sensor-2 --planned", "size 2 sensor"),
        ("predict --view left-molar --planned --tube-forward 25 --forward 6", "27 mesial crest"),
        ("plan --view left-molar-vertical --mouth missing-molar", "vertical left molar"),
        ("mouth --mouth restored", "root filling"),
        ("audit sample", "images"),
    ],
)
def test_answers_show_titles(command: str, title: str) -> None:
    text = said(*command.split())
    assert title in text
    assert codes_in(text) == []


def test_a_films_assessment_shows_titles(demonstration: tuple[Path, str], tmp_path: Path) -> None:
    out, _ = demonstration
    marks, drawing = out / "exposed.marks.json", tmp_path / "movement.svg"
    text = said(
        "assess", str(out / "exposed.png"), "--marks", str(marks), "--drawing", str(drawing)
    )
    assert "all contacts open" in text
    assert codes_in(text) == []
    drawn = shown_in_html(drawing.read_text(encoding="utf-8"))
    assert "right premolar" in drawn
    assert codes_in(drawn) == []


@pytest.mark.slow
def test_an_audit_shows_titles(demonstration: tuple[Path, str], tmp_path: Path) -> None:
    store = ("--store", str(demonstration[0] / "log.sqlite"))
    plan, scatter = tmp_path / "plan.toml", str(tmp_path / "scatter.json")
    plan.write_text(CYCLES, encoding="utf-8")
    for command in (
        ("audit", *store, "--by", "view", "--by", "receptor"),
        ("audit", "rates", *store, "--by", "holder"),
        ("audit", "aim", *store, "--operator", "student-07", "--scatter", scatter),
        ("audit", "cycle", str(plan)),
        ("plan", "--view", "right-molar", "--scatter", scatter),
    ):
        assert codes_in(said(*command)) == [], command
    assert "left molar, size 2 plate" in said("audit", *store, "--by", "view", "--by", "receptor")
    only = ("--filter", "view=right-molar,left-molar", "--filter", "receptor=sensor-2")
    said("audit", "report", *store, *only, "--out", str(tmp_path / "report"))
    shown = shown_in_html((tmp_path / "report" / "audit.html").read_text(encoding="utf-8"))
    assert "Only view right molar or left molar; receptor size 2 sensor" in shown
    assert codes_in(shown) == []


def test_the_log_shows_titles(tmp_path: Path) -> None:
    store = ("--store", str(tmp_path / "log.sqlite"))
    things = ("--receptor", "sensor-2", "--holder", "ring-holder", "--view", "right-molar")
    found = ("--rating", "uk-2020:N", "--faults", "cone-cut:2.5|receptor-bent")
    shown = said("log", "add", "--operator", "S1", *things, *found, "--kv", "65", *store)
    shown += said("log", "add", "--operator", "S1", *things, "--kind", "extra-view", *store)
    shown += said("log", "decide", "1", "rejected", "--by", "T1", *store)
    given = ("--set", "holder=tab", "--set", "contact_error_deg=3", "--why", "it was", "--by", "T1")
    shown += said("log", "correct", "1", *given, *store)
    shown += said("log", "list", *store) + said("log", "show", "1", *store)
    for title in ("cone cut 2.5 mm, bent receptor", "N (UK 2020)", "extra view", "bite tab"):
        assert title in shown
    assert codes_in(shown) == []


@pytest.mark.parametrize("what", Listing)
def test_a_list_to_pick_from_shows_the_title_beside_the_name(what: Listing) -> None:
    rows = json.loads(said("list", what.value, "--json"))["entries"]
    lines = said("list", what.value).splitlines()
    for row in rows:
        assert codes_in(row["title"]) == []
        assert any(row["title"] in line and row["name"] in line for line in lines)


def test_a_drawn_assessment_shows_titles() -> None:
    film = simulated_marks(9.0)["film"]
    result = assess(film, view(VIEW), pixel_mm=0.2, receptor=None, block_mm=np.nan)  # type: ignore[arg-type]
    pixels = np.zeros((film.rows, film.columns), dtype=np.uint16)  # type: ignore[attr-defined]
    raw = RawImage(pixels=pixels, bits=16, pixel_mm=0.2, source="made", attributes={}, caveats=())
    drawing = film_overlay(raw, film, result, grade="A", scheme=rating_scheme("uk-2020"))  # type: ignore[arg-type]
    shown = shown_in_html(svg_of(drawing))
    assert "UK 2020" in shown
    assert codes_in(shown) == []


def test_a_contact_sheet_shows_titles(monkeypatch: pytest.MonkeyPatch) -> None:
    def unfilmed(_: object, __: object, ___: str, caption: str, **____: object) -> Tile:
        return Tile(pixels=np.zeros((3, 4), dtype=np.uint16), caption=caption)

    monkeypatch.setattr(sheets._Darkroom, "_tile", unfilmed)
    shown = shown_in_html(svg_of(sheets.make_sheet().drawing))
    for title in ("size 2 plate, right", "15: caries, distal, outer enamel", "46: root filling"):
        assert title in shown
    assert codes_in(shown) == []


@pytest.mark.parametrize("page", ["/bench", f"/bench?{LEFT}&mouth=drawn-77-thirds", "/light-box"])
def test_pages_show_titles(browser: TestClient, page: str) -> None:
    shown = shown_in_html(browser.get(page).text)
    assert "size 2 sensor" in shown
    assert codes_in(shown) == []


def test_the_catalogue_shows_titles_and_names_only_as_code(browser: TestClient) -> None:
    text = browser.get("/catalogue").text
    assert codes_in(shown_in_html(text)) == []
    assert "<code>sensor-2</code>" in text


def documents(browser: TestClient, png: Path) -> Iterator[object]:
    yield browser.get(f"/bench/station?{LEFT}").json()
    for settings in ({"ring_offset_deg": 30.0}, {"lingual_mm": 1.0}, {"lingual_mm": 39.0}):
        yield browser.get(f"/bench/exposure?{LEFT}&settings={json.dumps(settings)}").json()
    yield browser.get(f"/bench/plan?{LEFT}").json()
    browser.put(f"{FILMS}?label=wedge", content=png.read_bytes())
    document = dict(simulated_marks(9.0)["document"])  # type: ignore[call-overload]
    marks = {name: value for name, value in document.items() if name not in {"format", "image"}}
    yield browser.put(f"{FILMS}/1/marks", json={"version": 0, "marks": marks}).json()
    yield browser.get(f"{FILMS}/1/assessment").json()
    yield browser.get(f"{FILMS}/1/explanation").json()


@pytest.mark.slow
def test_what_pages_are_told_to_show_are_titles(browser: TestClient, png: Path) -> None:
    told = [shown_in_document(each) for each in documents(browser, png)]
    assert codes_in("\n".join(told)) == []
    for title in ("vertical left molar", "UK 2020", "all contacts open", "size 2 plate"):
        assert any(title in text for text in told), title
