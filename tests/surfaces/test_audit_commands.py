"""The audit on the command line: from an invented school to answers, report and Scatter file."""

import csv
import json
import re
from pathlib import Path

import pytest

from bitewright.files.json_documents import check_document
from bitewright.files.scatter_file import read_scatter
from tests.surfaces.test_command_line import refusal, said

CHANGES = ("--change", "2025-04-01=new receptors", "--change", "2025-08-01=training")
OWN_SCHEME = """
format = "bitewright.own-scheme/1"
name = "ours"
title = "Ours"
year = 2024
source = "staff meeting"
best = "good"
targets = { good = 0.6, fair = 0.3, poor = 0.1 }
"""
PLAN = """
format = "bitewright.audit-plan/1"
subject = "Bitewings of students"
reaudit = "2026-06"

[standard]
scheme = "uk-2001"
year = 2001

[first_cycle]
date = "2025-03"
sample = "50 in a row"
grades = { 1 = 10, 2 = 33, 3 = 7 }
causes = ["overlap"]

[[actions]]
what = "checklist at the chair"
owner = "clinic lead"
by = "2025-05"

[second_cycle]
date = "2025-09"
sample = "50 in a row"
grades = { 1 = 27, 2 = 17, 3 = 6 }
"""


@pytest.fixture(scope="module")
def school(tmp_path_factory: pytest.TempPathFactory) -> str:
    """An invented year."""
    path = tmp_path_factory.mktemp("school") / "school.csv"
    told = " ".join(said("audit", "school", "--out", str(path)).split())
    assert "12000 invented exposures" in told
    assert (
        "a biased aim in student-46 and student-87. By chance of the draw student-67 aims" in told
    )
    return str(path)


PLANTED = {"student-46", "student-87"}


def test_answers_name_what_is_planted(school: str) -> None:
    """In one year of eight one of the two planted students is not surely off: nobody else is named.

    How often they are found is asked of several years in tests/unit/audit/test_simulated_school.py.
    """
    text = " ".join(said("audit", "--exposures", school, "--by", "room", *CHANGES).split())
    for words in ("north clinic", "Missed", "not a medical device"):
        assert words in text
    told = re.search(
        r"aim or place steadily (\d+) of 90: (student-\d\d(?:, student-\d\d)*)\.", text
    )
    assert told, text
    named = told[2].split(", ")
    assert len(named) == int(told[1])
    assert set(named) <= PLANTED, "somebody is named who was not planted"


def test_json_follows_its_schema_and_finds_both_changes(school: str) -> None:
    told = json.loads(said("audit", "--exposures", school, "--json", *CHANGES))
    check_document(told, "it", schemas={told["format"]: "audit-1.json"})
    assert [change["differs"] for change in told["changes"]] == [True, True]
    assert [change["difference"] > 0 for change in told["changes"]] == [True, False]
    assert told["unnamed_changes"] == []
    # Of the two who are planted one is not surely off; nobody else is told to move anything.
    opened = {aim["operator"]: aim["advice"].partition(":")[0] for aim in told["aims"]}
    move = {who for who, said_first in opened.items() if said_first.startswith("Next time")}
    perhaps = {who for who, said_first in opened.items() if said_first.startswith("Perhaps")}
    assert move
    assert move <= PLANTED <= move | perhaps


@pytest.mark.slow
def test_a_store_gives_the_same_audit_as_the_table_it_was_taken_from(
    school: str, tmp_path: Path
) -> None:
    store = ("--store", str(tmp_path / "clinic.sqlite"))
    mapping = str(Path(school).with_suffix(".mapping.toml"))
    assert "12000 exposures added" in said("log", "import", school, "--mapping", mapping, *store)
    asked = ("--json", "--by", "level", *CHANGES)
    taken = json.loads(said("audit", *store, *asked))
    assert taken == json.loads(said("audit", "--exposures", school, *asked))
    add = ("--day", "2025-12-31", "--view", "right-molar", "--operator", "student-01")
    said("log", "add", *add, "--decision", "rejected", "--decided-by", "teacher-1", *store)
    after = json.loads(said("audit", *store, *asked))
    assert after["exposures"] == taken["exposures"] + 1
    assert after["overall"]["count"] == taken["overall"]["count"] + 1


def test_a_filter_and_days_narrow_the_record(school: str) -> None:
    asked = ("--filter", "view=right-molar,left-molar", "--since", "2025-02-01")
    told = json.loads(said("audit", "--exposures", school, "--json", "--by", "view", *asked))
    assert {group["label"] for group in told["table"]["groups"]} == {"right-molar", "left-molar"}
    assert told["first_date"] >= "2025-02-01"
    assert 3000 < told["exposures"] < 6000


def test_two_dimensions_give_every_pair(school: str) -> None:
    asked = ("--by", "room", "--by", "receptor", "--event", "retake", "--json")
    told = json.loads(said("audit", "--exposures", school, *asked))
    assert len(told["table"]["groups"]) == 6
    assert told["table"]["event"] == "retake"


@pytest.mark.slow
def test_one_table_alone_is_that_of_the_audit(school: str) -> None:
    asked = ("--exposures", school, "--by", "supervisor", "--json")
    alone = json.loads(said("audit", "rates", *asked))
    check_document(alone, "it", schemas={alone["format"]: "rates-1.json"})
    assert alone["table"] == json.loads(said("audit", *asked))["table"]
    assert "supervisor-1" in said("audit", "rates", "--exposures", school, "--by", "supervisor")


def test_the_report_is_whole_and_its_figures_are_safe_csv(school: str, tmp_path: Path) -> None:
    out = tmp_path / "audit"
    said(
        "audit", "report", "--exposures", school, "--out", str(out), "--title", "A & <b>", *CHANGES
    )
    pdf = (out / "audit.pdf").read_bytes()
    assert pdf.startswith(b"%PDF-")
    assert b"/MarkInfo" in pdf  # tagged
    html = (out / "audit.html").read_text("utf-8")
    assert "A &amp; &lt;b&gt;" in html
    assert html.count("<svg") == 8
    assert "http" not in html.split("<style>")[1].split("</style>")[0]
    assert "src=" not in html  # nothing beside it is needed
    assert not codes_of_people(out), "the common report names nobody"
    assert not (out / "gates.csv").exists(), "a table has no decisions at a gate"
    said("audit", "report", "--exposures", school, "--out", str(out), "--for", "lead")
    assert not codes_of_people(out), "the lead's sheet has a folder of its own"
    assert len(codes_of_people(out / "lead")) == 90 + 6
    people = rows_of(str(out / "lead" / "people.csv"))
    assert sum(int(row["films"]) for row in people) == 12000
    rows = rows_of(str(out / "lead" / "operators.csv"))
    assert len(rows) == 90
    assert sum(int(row["rejects"]) for row in rows) > 1000


def test_a_private_sheet_is_of_one_person_alone(school: str, tmp_path: Path) -> None:
    asked = ("audit", "report", "--exposures", school, "--out", str(tmp_path))
    days = ("--since", "2025-04-01", "--until", "2025-12-31")
    said(*asked, *days, "--for", "student-46")
    assert codes_of_people(tmp_path / "student-46") == {"student-46"}
    sheet = (tmp_path / "student-46" / "audit.html").read_text("utf-8")
    own = [
        each["decision"] == "accepted"
        for each in rows_of(school)
        if each["operator"] == "student-46" and each["day"] >= "2025-04-01"
    ]
    assert f"{sum(own)} of {len(own)} films served" in sheet
    assert "At your next exposures: slide the tube" in sheet, "the aim planted in the school"
    assert "No exposure in the log has operator 'nobody'" in refusal(*asked, "--for", "nobody")


def test_the_first_page_sets_the_days_before_beside_these(school: str, tmp_path: Path) -> None:
    asked = ("audit", "report", "--exposures", school, "--out", str(tmp_path))
    said(*asked, "--since", "2025-07-01", "--until", "2025-12-31")
    page = (tmp_path / "audit.html").read_text("utf-8")
    before = [each["decision"] for each in rows_of(school) if each["day"] < "2025-07-01"]
    bad = len(before) - before.count("accepted")
    assert f"2024-12-29 to 2025-06-30: {bad} of {len(before)} (" in page
    assert page.index("Period before") < page.index("What to do") < page.index("Answers")


def rows_of(table: str) -> list[dict[str, str]]:
    with Path(table).open(encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file))


def codes_of_people(folder: Path) -> set[str]:
    """Codes of students and supervisors in a folder's own files."""
    files = [path for path in folder.iterdir() if path.suffix in {".html", ".csv"}]
    assert len(files) > 2
    text = "".join(path.read_text("utf-8-sig") for path in files)
    return set(re.findall(r"\b(?:student|supervisor)-\d+", text))


@pytest.mark.slow
def test_an_operators_scatter_is_written_for_planning(school: str, tmp_path: Path) -> None:
    told = json.loads(said("audit", "aim", "--exposures", school, "--json"))
    check_document(told, "it", schemas={told["format"]: "aims-1.json"})
    biased = next(aim for aim in told["aims"] if aim["parts"][0]["remarked"])
    path = tmp_path / "scatter.json"
    asked = ("--operator", biased["operator"], "--scatter", str(path))
    text = " ".join(said("audit", "aim", "--exposures", school, *asked).split())
    assert "slide the tube about" in text
    scatter = read_scatter(path)
    assert abs(scatter.contact_error_deg) > 4
    assert scatter.contact_error_deg == pytest.approx(biased["parts"][0]["mean"], abs=0.001)


def test_a_small_survey_is_put_in_its_place() -> None:
    text = " ".join(said("audit", "sample", "--most", "4", "--images", "20").split())
    assert "16.4% passes with a chance of 78%" in text
    told = json.loads(said("audit", "sample", "--rate", "0.12", "--to", "0.09", "--json"))
    check_document(told, "it", schemas={told["format"]: "sample-1.json"})
    assert told["images_for_margin"] == 163
    assert told["images_for_change"] == 1638


def test_raters_are_compared(tmp_path: Path) -> None:
    rows = ["image,rater,grade"]
    for k in range(30):
        for rater, shift in (("x", 0), ("y", k % 7 == 0), ("z", k % 5 == 0)):
            rows.append(f"i{k},{rater},{1 + (k % 3 + shift) % 3}")
    path = tmp_path / "grades.csv"
    path.write_text("\n".join(rows), encoding="utf-8")
    told = json.loads(said("audit", "agreement", str(path), "--json"))
    check_document(told, "it", schemas={told["format"]: "agreement-1.json"})
    assert len(told["pairs"]) == 3
    assert told["pairs"][0]["alike"]["count"] == 25
    shown = " ".join(said("audit", "agreement", str(path)).split())
    assert "Fleiss" in shown
    assert "column named patient" in shown
    with_patients = [f"{row},{'patient' if row is rows[0] else row[:2]}" for row in rows]
    path.write_text("\n".join(with_patients), encoding="utf-8")
    assert "column named patient" not in " ".join(said("audit", "agreement", str(path)).split())
    clustered = json.loads(said("audit", "agreement", str(path), "--json"))
    for key in ("kappa", "weighted"):
        plain, wider = told["pairs"][0][key], clustered["pairs"][0][key]
        assert wider["value"] == plain["value"]
        assert wider["high"] - wider["low"] != plain["high"] - plain["low"]


def test_grades_may_be_put_in_order(tmp_path: Path) -> None:
    rows = ["image,rater,grade"]
    pairs = [("good", "good")] * 6 + [("good", "fair")] * 4 + [("poor", "poor")] * 3
    for k, (one, other) in enumerate([*pairs, ("fair", "fair"), ("fair", "poor")]):
        rows += [f"i{k},x,{one}", f"i{k},y,{other}"]
    path = tmp_path / "grades.csv"
    path.write_text("\n".join(rows), encoding="utf-8")

    def weighted(*order: str) -> float:
        told = json.loads(said("audit", "agreement", str(path), "--json", *order))
        return float(told["pairs"][0]["weighted"]["value"])

    assert weighted("--order", "good,fair,poor") > weighted()
    assert "'poor'" in refusal("audit", "agreement", str(path), "--order", "good,fair")


def test_a_schools_own_scheme_has_its_own_targets(tmp_path: Path) -> None:
    scheme = tmp_path / "ours.toml"
    scheme.write_text(OWN_SCHEME, encoding="utf-8")
    grades = ["poor" if k % 5 == 0 else "good" for k in range(400)]
    days = [f"2025-01-{1 + k % 28:02d}" for k in range(400)]
    rows = ["day,decision,rating"]
    rows += [f"{day},accepted,ours:{grade}" for day, grade in zip(days, grades, strict=True)]
    table = tmp_path / "log.csv"
    table.write_text("\n".join(rows), encoding="utf-8")
    told = json.loads(said("audit", "--exposures", str(table), "--scheme", str(scheme), "--json"))
    verdicts = {each["grade"]: each["verdict"] for each in told["targets"]}
    assert verdicts == {"good": "met", "fair": "met", "poor": "missed"}
    scheme.write_text(scheme.read_text("utf-8").replace("0.6", "6"), encoding="utf-8")
    wrong = refusal("audit", "--exposures", str(table), "--scheme", str(scheme))
    assert "a share from 0 to 1" in wrong


def test_two_cycles_are_compared(tmp_path: Path) -> None:
    path = tmp_path / "audit.toml"
    path.write_text(PLAN, encoding="utf-8")
    told = json.loads(said("audit", "cycle", str(path), "--json"))
    check_document(told, "it", schemas={told["format"]: "audit-comparison-1.json"})
    best, _, worst = told["changes"]
    assert best["differs"]
    assert (round(100 * best["low"]), round(100 * best["high"])) == (15, 50)
    assert not worst["differs"]
    assert "clinic lead" in said("audit", "cycle", str(path))
    assert "count the patients" in " ".join(said("audit", "cycle", str(path)).split())
    counted = "\n".join(
        f"{line}\npatients = 10" if line.startswith("grades") else line
        for line in PLAN.splitlines()
    )
    path.write_text(counted, encoding="utf-8")
    wider = json.loads(said("audit", "cycle", str(path), "--json"))["changes"][0]
    assert (wider["low"], wider["high"]) < (best["low"] - 0.05, 1.0)
    assert wider["high"] > best["high"] + 0.05
    assert "count the patients" not in " ".join(said("audit", "cycle", str(path)).split())
    path.write_text(counted.replace("patients = 10", "patients = 51"), encoding="utf-8")
    assert "51 patients and has 50 images" in refusal("audit", "cycle", str(path))


def test_nothing_wrong_is_done_quietly(school: str, tmp_path: Path) -> None:
    given = ("audit", "--exposures", school)
    assert "not both" in refusal(*given, "--store", str(tmp_path / "none.sqlite"))
    assert "none.sqlite" in refusal("audit", "--store", str(tmp_path / "none.sqlite"))
    assert "NAME=LABEL" in refusal(*given, "--filter", "weather=wet")
    assert "attic" in refusal(*given, "--filter", "room=attic")
    assert "YYYY-MM-DD" in refusal(*given, "--since", "last week")
    assert "WHAT" in refusal(*given, "--change", "2025-04-01")
    assert "wider filter" in refusal(*given, "--since", "2031-01-01")
    assert "from 0 to 1" in refusal(*given, "--target", "A=95")
    assert "not known" in refusal(*given, "--scheme", "mine")
    assert "--operator" in refusal("audit", "aim", "--exposures", school, "--scatter", "s.json")
    assert "first day of a month" in refusal(
        "audit", "school", "--out", str(tmp_path / "s.csv"), "--start", "2025-01-15"
    )
    blocked = tmp_path / "file"
    blocked.write_text("", encoding="utf-8")
    report = ("audit", "report", "--exposures", school, "--out", str(blocked / "in"))
    assert "no folder can be made" in refusal(*report)


@pytest.mark.parametrize(
    ("line", "changed"),
    [
        ("grades = { 1 = 10, 2 = 33, 3 = 7 }", "grades = { 1 = 9200000000000000000 }"),
        ("grades = { 1 = 10, 2 = 33, 3 = 7 }", f"grades = {{ 1 = {'9' * 400} }}"),
        ("year = 2001", "year = 2001\ntargets = { 1 = nan }"),
        ('subject = "Bitewings of students"', 'subject = "a\\u0000"'),
    ],
)
def test_an_audit_that_no_school_can_have_is_refused(
    tmp_path: Path, line: str, changed: str
) -> None:
    (tmp_path / "audit.toml").write_text(PLAN.replace(line, changed))
    sentence = refusal("audit", "cycle", str(tmp_path / "audit.toml"))
    assert len(sentence) < 400 + len(str(tmp_path))


def test_half_of_all_films_rejected_reads_like_an_alarm(own_folders: Path) -> None:
    rows = ["day,decision,operator,view,faults"]
    for number in range(180):
        bad = number % 2
        day = f"2025-{1 + number // 15:02d}-{1 + number % 28:02d}"
        end = "rejected,S1,right-molar,cone-cut" if bad else "accepted,S1,right-molar,"
        rows.append(f"{day},{end}")
    table = own_folders / "half.csv"
    table.write_text("\n".join(rows), encoding="utf-8")
    text = " ".join(said("audit", "--exposures", str(table)).split())
    assert "Alarm: 90 of 180 films were rejected !! ━" in text
    assert "More than every third film, chance allowed for" in text
    assert "1. Stop and look now, before all else: 90 of 180 films were rejected" in text
    assert "the rim of the tube: flush with the ring, all round it" in text
    out = own_folders / "report"
    printed = said("audit", "report", "--exposures", str(table), "--out", str(out))
    assert "Alarm: 90 of 180 films were rejected" in printed
    page = " ".join((out / "audit.html").read_text(encoding="utf-8").split())
    alarm, front = page.index("Alarm: 90 of 180 films were rejected</h2>"), page.index("Aim</th>")
    assert alarm < front < page.index("1. Stop and look now")
    assert "more, about 4 months at the pace of this record, show whether" in page
