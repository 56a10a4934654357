"""Sheets into the log on the command line: proposed, questioned, taken as one thing, taken back."""

import json
import sqlite3
from pathlib import Path

import pytest

from bitewright.cli.main import app
from bitewright.tasks.log.import_sheet import BroughtAgainError
from bitewright.tasks.log.understand_sheet import QuestionsOpenError
from tests.surfaces.test_log_commands import ADD, refusal, run, said, told

SHEET = """\
Radiograph audit 2025;;;;;;
;;;;;;
Date ;Patient;Taken by;View;Grade;Fault;Retake?
03/01/25;J. Fielding;Anna Smith;BW R molar;A;;N
03/01/25;J. Fielding;Anna Smith;BW L molar;N;cone cut;Y
14/01/25;M. Brown;Ben Okoro;BW R premolar;A;overlap;N
17/01/25;S. Leigh;Ben Okoro;PA 36;N;missed apex;Y
18/01/25;S. Leigh;Ben Okoro;OPG;A;;N
19/01/25;P. Quill;Ben Okoro;BW L premolar;A;;N
Total;6;;;;;2
"""
NAMES = ("Fielding", "Smith", "Brown", "Okoro", "Leigh", "Quill")
ANSWERS = tuple(
    part
    for answer in ("decisions=reject N", "retake=was", "decided-by=T1")
    for part in ("--answer", answer)
)
IMPORT = ("log", "import", "sheet.csv")


@pytest.fixture(autouse=True)
def here(own_folders: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder of the test's own, with a sheet as a practice keeps it."""
    monkeypatch.chdir(own_folders)
    monkeypatch.setenv("BITEWRIGHT_STORE", str(own_folders / "log.sqlite"))
    Path("sheet.csv").write_text(SHEET, encoding="utf-8-sig")
    return own_folders


def test_a_sheet_is_proposed_and_its_questions_stop_an_import() -> None:
    proposal = told(*IMPORT, "--suggest")
    assert [each["key"] for each in proposal["questions"]] == ["decisions", "retake", "decided-by"]  # type: ignore[attr-defined]
    assert (proposal["exposures"], proposal["not_intraoral"], proposal["names"]) == (5, 1, 6)
    shown = said(*IMPORT, "--suggest")
    assert "totals: Total" in shown
    answer = run.invoke(app, list(IMPORT))
    assert isinstance(answer.exception, QuestionsOpenError)
    assert not Path("log.sqlite").exists()


def test_an_import_holds_no_name_and_is_undone_without_a_trace(here: Path) -> None:
    said(*ADD, "--key", "before")
    before = entries()
    answer = told(*IMPORT, *ANSWERS)
    listed = told("log", "list")
    decisions = [each.get("decision") for each in listed["exposures"]]  # type: ignore[attr-defined]
    assert decisions == [None, "accepted", "retaken", "accepted", "retaken", "accepted"]
    text = json.dumps(told("log", "show", "3"))
    assert not any(name in text for name in NAMES)
    assert "Anna Smith" in said("log", "name", "list")
    said("log", "decide", "2", "rejected", "--by", "T1")
    said(*ADD, "--key", "after")
    assert "5 exposures" in said("log", "undo-import", str(answer["import"]))
    assert told("log", "imports")["imports"] == []
    assert [key for _, key, _ in entries()] == ["before", "after"]
    assert entries()[:1] == before
    assert told("store", "check")["problems"] == []
    assert not any(name.encode() in (here / "log.sqlite").read_bytes() for name in NAMES)
    with sqlite3.connect(here / "log.sqlite") as raw, pytest.raises(sqlite3.DatabaseError):
        raw.execute("DELETE FROM entry")


def entries() -> list[tuple[int, str, str]]:
    with sqlite3.connect("log.sqlite") as raw:
        return raw.execute("SELECT number, key, digest FROM entry ORDER BY number").fetchall()


def test_nothing_is_doubled_whatever_is_said_of_the_sheet_the_second_time() -> None:
    first = told(*IMPORT, *ANSWERS, "--out", "next.toml")
    assert told(*IMPORT, "--mapping", "next.toml")["already_there"] == 5
    other = (*IMPORT, "--mapping", "next.toml", "--answer", "decisions=undecided")
    assert isinstance(run.invoke(app, [*other]).exception, BroughtAgainError)
    answer = told(*other, "--again", "add")
    assert (answer["added"], answer["already_there"]) == (0, 5)
    Path("sheet.csv").write_text(SHEET.replace("overlap", "Overlap!"), encoding="utf-8")
    changed = run.invoke(app, [*IMPORT, "--mapping", "next.toml"])
    assert isinstance(changed.exception, BroughtAgainError)
    answer = told(*IMPORT, "--mapping", "next.toml", "--again", "replace")
    assert (answer["added"], answer["replaced"]) == (5, first["import"])
    assert told("log", "list")["found"] == 5


def test_a_longer_sheet_adds_its_new_rows_and_next_month_is_no_question() -> None:
    told(*IMPORT, *ANSWERS, "--out", "next.toml")
    more = SHEET.replace("Total;", "20/01/25;J. Fielding;Anna Smith;BW R molar;A;;N\nTotal;")
    Path("sheet.csv").write_text(more, encoding="utf-8")
    assert told(*IMPORT, "--mapping", "next.toml")["added"] == 1
    Path("sheet.csv").write_text(SHEET.replace("/01/25", "/02/25"), encoding="utf-8")
    assert told(*IMPORT, "--mapping", "next.toml")["added"] == 5
    people = {line.split()[0] for line in said("log", "name", "list").splitlines()[1:]}
    assert len(people) == 6
    assert len(told("log", "imports")["imports"]) == 3  # type: ignore[arg-type]


def test_every_fault_of_every_row_is_told_and_none_is_taken() -> None:
    bad = SHEET.replace("14/01/25;M. Brown", "31/02/25;M. Brown").replace("PA 36", "a film")
    Path("sheet.csv").write_text(bad, encoding="utf-8")
    assert "2 of 5 rows of 'sheet' have faults" in refusal(*IMPORT, *ANSWERS)
    faults = told(*IMPORT, *ANSWERS, "--dry-run")["problems"]
    assert [(each["line"], each["column"]) for each in faults] == [(6, "Date"), (7, "View")]  # type: ignore[attr-defined]
    assert not Path("log.sqlite").exists()
    assert told(*IMPORT, *ANSWERS, "--skip-bad-rows")["added"] == 3


@pytest.mark.parametrize(
    ("answer", "word"),
    [
        ("retake=perhaps", "one of was, is"),
        ("decisions=reject Z", "a rule such as reject N"),
        ("colour=red", "write KEY=VALUE"),
        ("column.Grade=colour", "name one of"),
        ("column.Grades=rating", "name one of"),
    ],
)
def test_an_answer_that_is_none_is_refused(answer: str, word: str) -> None:
    assert word in refusal(*IMPORT, "--answer", answer)


def test_a_table_with_a_mapping_of_its_columns_is_an_import_too() -> None:
    Path("old.csv").write_text("Date,Who,View\n2025-01-03,S1,right-molar\n", encoding="utf-8")
    Path("old.toml").write_text(
        'format = "bitewright.csv-mapping/1"\n[columns]\n'
        'day = "Date"\noperator = "Who"\nview = "View"\n',
        encoding="utf-8",
    )
    answer = told("log", "import", "old.csv", "--mapping", "old.toml")
    assert told("log", "imports")["imports"][0]["import"] == answer["import"]  # type: ignore[index]
    said("log", "undo-import", str(answer["import"]))
    assert told("log", "list")["found"] == 0
    assert "log imports" in refusal("log", "undo-import", "00000000")


def test_undecided_exposures_are_told_wherever_figures_stand_and_decided_at_once() -> None:
    answers = ("--answer", "decisions=undecided", "--answer", "retake=was")
    name = told(*IMPORT, *answers, "--answer", "decided-by=T1")["import"]
    assert told("log", "list")["undecided"] == 3
    assert told("audit", "rates")["undecided"] == 3
    assert "3 exposures are not decided on yet" in said("audit", "rates")
    assert told("audit")["answers"][0]["topic"] == "record"  # type: ignore[index]
    assert "Nobody has decided yet on any of the 1" in refusal(
        "audit", "--filter", "case=case-0002"
    )
    many = ("log", "decide-many", "accepted", "--by", "T1", "--import", str(name))
    assert "3 exposures would be decided" in said(*many, "--dry-run")
    assert told(*many, "--rating", "uk-2020:A")["count"] == 3
    assert told("audit", "rates")["undecided"] == 0
    assert "still undecided" in refusal(*many)
