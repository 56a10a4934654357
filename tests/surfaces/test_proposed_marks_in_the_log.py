"""Proposed marks from the light box and the command line into the log and the audit."""

import json
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient

from bitewright.files.marks_file import read_marks, write_marks
from bitewright.marking.marks import FirstProposal, MarkedFilm, MarkOrigin
from bitewright.tasks.light_box.light_box import open_own_light_box
from bitewright.web.application import create_app
from bitewright.web.pages.light_box import own_box
from tests.surfaces.test_command_line import said

HOME = "http://localhost"
FILMS = "/light-box/films"
CODES = ("M1", "M2", "T9")


@pytest.fixture
def taken(demonstration: tuple[Path, str], own_folders: Path) -> tuple[Path, MarkedFilm]:
    """A film, and its marks as if all but its cusps had been proposed and then confirmed."""
    assert own_folders
    true = read_marks(demonstration[0] / "exposed.marks.json")
    marks = {
        name: replace(mark, origin=MarkOrigin.CONFIRMED, doubt="faint" if n < 3 else None)
        for n, (name, mark) in enumerate(true.marks.items())
        if mark.x_px is not None and not name.endswith("cusp")
    }
    doubted = tuple(name for name, mark in marks.items() if mark.doubt)
    first = FirstProposal(names=tuple(marks), doubted=doubted)
    cusps = {name: mark for name, mark in true.marks.items() if name not in marks}
    return demonstration[0] / "exposed.png", replace(true, marks=marks | cusps, proposed=first)


@pytest.fixture
def browser(tmp_path: Path) -> Iterator[TestClient]:
    app = create_app()
    box = open_own_light_box(tmp_path / "box.sqlite")
    app.dependency_overrides[own_box] = lambda: box
    with TestClient(app, base_url=HOME, headers={"origin": HOME}) as client:
        yield client


def logged(film: Path, marks: MarkedFilm, at: Path, *more: str, confirmed: bool = False) -> None:
    """Assess a film and log its assessment."""
    path, assessment = at / "marks.json", at / "assessment.json"
    write_marks(path, marks)
    asked = ("assess", str(film), "--marks", str(path), "--no-explain", "--json")
    assessment.write_text(said(*asked, *(["--confirmed"] if confirmed else [])), "utf-8")
    asked = ("log", "add", "--operator", "S1", "--decision", "accepted", "--by", "S1")
    said(*asked, "--set", "decided_by=T9", "--assessment", str(assessment), *more)


def test_what_became_of_proposed_marks_goes_from_the_film_to_the_audit(
    taken: tuple[Path, MarkedFilm], tmp_path: Path
) -> None:
    film, marks = taken
    name = "15.mesial"
    moved = replace(marks.marks[name], origin=MarkOrigin.CORRECTED)
    edited = replace(marks, marks={**marks.marks, name: moved}, marked_by="M2")
    as_it_came = {
        name: replace(mark, origin=mark.origin and MarkOrigin.PROPOSED)
        for name, mark in marks.marks.items()
    }
    logged(film, replace(marks, marked_by="M1"), tmp_path)
    logged(film, edited, tmp_path)
    logged(film, replace(marks, marks=as_it_came, marked_by="M2"), tmp_path, confirmed=True)

    listed = json.loads(said("log", "list", "--json"))["exposures"]
    found = [
        {what: each[f"marks_{what}"] for what in ("corrected", "doubted", "doubted_looked_at")}
        | {"by": each["marks_confirmed_by"]}
        for each in sorted(listed, key=lambda each: int(each["number"]))
    ]
    assert found == [
        {"corrected": 0, "doubted": 3, "doubted_looked_at": 3, "by": "M1"},
        {"corrected": 1, "doubted": 3, "doubted_looked_at": 3, "by": "M2"},
        {"corrected": 0, "doubted": 3, "doubted_looked_at": 0, "by": "M2"},
    ]
    assert "proposed marks looked at by" in said("log", "show", "1")

    told = json.loads(said("audit", "--json"))["proposed_marks"]
    assert (told["unedited"]["count"], told["unedited"]["total"]) == (2, 3)
    assert [(each["who"], each["unedited"]["count"]) for each in told["by"]] == [
        ("M1", 1),
        ("M2", 1),
    ]
    printed = " ".join(said("audit").split())
    assert "By who looked: M1 1 of 1 and M2 1 of 2." in printed
    assert "Of 9 doubted marks, 3 were not looked at one by one." in printed

    out = tmp_path / "report"
    said("audit", "report", "--out", str(out))
    said("audit", "report", "--out", str(out), "--for", "lead")
    common = (out / "audit.html").read_text("utf-8")
    lead = (out / "lead" / "audit.html").read_text("utf-8")
    assert "Are proposed marks looked at?" in common
    assert not [code for code in CODES if code in common], "the common report names nobody"
    assert "Proposed marks by who looked at them" in lead
    table = (out / "lead" / "proposed-marks.csv").read_text("utf-8")
    assert [line.split(",")[:3] for line in table.splitlines()[1:]] == [
        ["M1", "1", "1"],
        ["M2", "2", "1"],
    ]
    assert not (out / "proposed-marks.csv").exists()


def test_the_light_box_keeps_what_was_proposed_and_fills_the_logs_form(
    taken: tuple[Path, MarkedFilm], browser: TestClient, tmp_path: Path
) -> None:
    film, marks = taken
    path = tmp_path / "marks.json"
    gone = next(iter(marks.proposed.doubted)) if marks.proposed else ""
    write_marks(path, replace(marks, marks={k: v for k, v in marks.marks.items() if k != gone}))
    document = json.loads(path.read_text("utf-8"))
    given = {name: value for name, value in document.items() if name not in {"format", "image"}}
    browser.put(f"{FILMS}?label=w", content=film.read_bytes())
    kept = browser.put(f"{FILMS}/1/marks", json={"version": 0, "marks": given})
    assert kept.status_code == 200, kept.text
    assert browser.get(f"{FILMS}/1/marks-file").json()["proposed"] == document["proposed"]

    def fields() -> dict[str, Any]:
        found: dict[str, Any] = browser.get("/record/log/film/1").json()["fields"]
        return {name: text for name, text in found.items() if name.startswith("marks_")}

    count = len(marks.proposed.names) if marks.proposed else 0
    counts = {
        "marks_proposed": str(count),
        "marks_doubted": "3",
        "marks_doubted_looked_at": "3",
        "marks_corrected": "0",
        "marks_removed": "1",
        "marks_added": "0",
    }
    assert fields() == counts
    browser.put(
        f"{FILMS}/1/decision",
        json={"decision": "accepted with a remark", "by": "T9", "note": "a little light"},
    )
    assert fields() == counts | {"marks_confirmed_by": "T9"}
    filled = browser.get("/record/log/film/1").json()
    # A remark that was kept beside the decision was lost on the way to the log.
    assert filled["fields"]["note"] == "a little light"
    sent = {"fields": filled["fields"] | {"operator": "S1"}, "key": filled["key"]}
    answer = browser.post("/record/log/exposures", json=sent)
    assert answer.status_code in {200, 201}, answer.text
    page = browser.get("/record/audit?people=yes").text
    assert "Proposed marks by who looked at them" in page
    assert "T9" in page
    assert "Proposed marks by who" not in browser.get("/record/audit").text
