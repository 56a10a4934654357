"""Calendar, targets by year and dose side of a record: commands, page, report, backup."""

import json
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from bitewright.files.json_documents import check_document
from bitewright.web.application import create_app
from bitewright.web.permissions import may
from bitewright.web.sessions import Kind
from tests.surfaces.test_command_line import refusal, said

HOME = "http://localhost"
SETTINGS = """format = "bitewright.record-settings/1"
every_months = 6
[[audits]]
day = "2026-01-31"
[[targets]]
year = 2025
scheme = "uk-2020"
shares = { A = 0.5 }
source = "staff meeting of January 2025"
[[outputs]]
day = "2025-02-01"
tube_voltage_kv = 65
tube_current_ma = 7
exposure_time_s = 0.2
entrance_mgy = 1.4
measured_by = "office"
[[levels]]
title = "adult lower molar"
entrance_mgy = 1.2
country = "UK"
year = 2019
source = "from memory"
"""


@pytest.fixture
def record(own_folders: Path) -> Path:
    """A record of 30 exposures with their settings, and a file of settings of its own."""
    rows = [
        f"2025-03-{1 + k % 28:02d},S1,T1,right-molar,{'retake' if k % 10 == 0 else 'exposure'},"
        f"accepted,uk-2020:{'N' if k % 5 == 0 else 'A'},65,7,0.2"
        for k in range(30)
    ]
    heads = "day,operator,decided_by,view,kind,decision,rating,tube_voltage_kv,tube_current_ma"
    heads += ",exposure_time_s"
    (own_folders / "log.csv").write_text("\n".join([heads, *rows]), encoding="utf-8")
    names = "\n".join(f'{name} = "{name}"' for name in heads.split(","))
    mapping = f'format = "bitewright.csv-mapping/1"\ndecimal = "."\n[columns]\n{names}\n'
    (own_folders / "map.toml").write_text(mapping, encoding="utf-8")
    (own_folders / "settings.toml").write_text(SETTINGS, encoding="utf-8")
    said("log", "import", str(own_folders / "log.csv"), "--mapping", str(own_folders / "map.toml"))
    return own_folders


@pytest.mark.parametrize(
    "words",
    ["audit gates", "audit calendar", "audit settings", "audit settings --write new.toml"],
)
def test_a_store_that_is_not_there_is_refused_by_what_only_reads(
    words: str, own_folders: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(own_folders)
    told = refusal(*words.split(), "--store", "mistyped.sqlite")
    assert "There is no store at" in told
    assert not list(own_folders.glob("mistyped*"))
    assert not Path("new.toml").exists()


def test_a_calendar_may_be_settled_before_the_first_exposure(own_folders: Path) -> None:
    place = ("--store", str(own_folders / "new.sqlite"))
    said("audit", "calendar", "--every", "6", *place)
    assert "6 months" in plain("audit", "calendar", *place)


def plain(*words: str) -> str:
    return " ".join(said(*words).split())


def test_calendar_targets_and_dose_hold_everywhere(record: Path) -> None:
    assert "None is set" in plain("audit", "calendar")
    assert "No measured output is entered" in plain("audit", "dose")
    said("audit", "settings", "--keep", str(record / "settings.toml"))
    assert "it was due on 2026-07-31" in plain("audit", "calendar")
    told = json.loads(said("audit", "calendar", "--json"))
    check_document(told, "it", schemas={told["format"]: "audit-calendar-1.json"})
    dose = json.loads(said("audit", "dose", "--json"))
    check_document(dose, "it", schemas={dose["format"]: "dose-1.json"})
    assert dose["overall"]["entrance_mgy"]["middle"] == pytest.approx(1.4)
    assert dose["overall"]["retakes"]["count"] == 3
    shown = plain("audit", "dose")
    assert "The middle of these exposures, 1.4 mGy, is above it." in shown
    assert "A reference level is no limit" in shown
    audit = json.loads(said("audit", "--json"))
    assert {each["grade"]: each["target"] for each in audit["targets"]} == {"A": 0.5, "N": 0.05}
    assert json.loads(said("audit", "--json", "--target", "A=0.6"))["targets"][0]["target"] == 0.6
    said("audit", "report", "--out", str(record / "out"))
    page = (record / "out" / "audit.html").read_text("utf-8")
    for words in (
        "Overdue",
        "Note this audit, once it is done",
        "staff meeting of January 2025",
        "A reference level is no limit",
    ):
        assert words in page


@pytest.mark.parametrize(
    ("old", "new", "word"),
    [
        ('"2026-01-31"', '"2026-02-31"', "There is no day '2026-02-31'"),
        ('"2026-01-31"', "2026-01-31", "in quotation marks"),
        ("A = 0.5", "Z = 0.5", "Grade 'Z' is not in the scheme"),
        ("A = 0.5", "A = 95", "a share from 0 to 1"),
        ("entrance_mgy = 1.4", "entrance_mgy = 0", "from 0.001 to 100 mGy"),
        ('source = "from memory"', "", "the field 'source' is missing"),
        ("every_months = 6", "every_months = 0", "1 to 60"),
    ],
)
def test_bad_settings_are_refused_and_what_held_still_holds(
    record: Path, old: str, new: str, word: str
) -> None:
    file = record / "settings.toml"
    said("audit", "settings", "--keep", str(file))
    file.write_text(SETTINGS.replace(old, new, 1), encoding="utf-8")
    assert word in refusal("audit", "settings", "--keep", str(file))
    assert "staff meeting" in said("audit", "settings")


def test_pages_show_and_change_the_settings(record: Path) -> None:
    assert record
    browser = TestClient(
        create_app(), base_url=HOME, headers={"origin": HOME, "accept": "application/json"}
    )
    part = "/record/settings"
    assert browser.put(f"{part}/every-months", json={"months": 12}).status_code == 204
    assert browser.post(f"{part}/audits", json={"day": "2026-01-31"}).status_code == 204
    assert "2027-01-31" in browser.get("/record/calendar").text
    assert "2027-01-31" in browser.get("/record/audit").text
    refused = browser.post(f"{part}/audits", json={"day": "2026-01-32"})
    assert refused.status_code == 400
    assert "There is no day '2026-01-32'" in refused.json()["error"]
    output = {"day": "2025-02-01", "tube_voltage_kv": 65, "tube_current_ma": 7}
    output |= {"exposure_time_s": 0.2, "entrance_mgy": 1.4, "measured_by": "office"}
    assert browser.post(f"{part}/outputs", json=output).status_code == 204
    assert "1.4" in browser.get("/record/dose?view=right-molar").text
    assert "right molar,30,65,7,0.2,1.4" in browser.get("/record/dose.csv").text
    assert browser.delete(f"{part}/outputs/0").status_code == 204
    assert browser.delete(f"{part}/outputs/0").status_code == 404
    assert browser.post(f"{part}/weather", json={}).status_code == 404
    assert not may(Kind.CLASS, "GET", "/record/calendar")


def test_a_backup_holds_the_settings(record: Path) -> None:
    said("audit", "settings", "--keep", str(record / "settings.toml"))
    said("store", "backup", str(record / "kept.zip"))
    other = ("--store", str(record / "other.sqlite"))
    said("store", "restore", str(record / "kept.zip"), *other)
    assert "staff meeting of January 2025" in said("audit", "settings", *other)
