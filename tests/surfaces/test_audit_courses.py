"""Seasons and learning named to an audit, and what each answer says it cannot tell."""

import json
from pathlib import Path

import numpy as np
import pytest

from tests.surfaces.test_command_line import refusal, said


@pytest.fixture(scope="module")
def record(tmp_path_factory: pytest.TempPathFactory) -> str:
    """A year of 6000 films of 12 people, twice as many rejected in July and August."""
    rng = np.random.default_rng(2)
    rows = ["day,decision,operator"]
    for day in range(365):
        date = str(np.datetime64("2025-01-01") + day)
        rate = 0.20 if date[5:7] in {"07", "08"} else 0.10
        for _ in range(16):
            decision = "rejected" if rng.random() < rate else "accepted"
            rows.append(f"{date},{decision},p{rng.integers(12)}")
    path = tmp_path_factory.mktemp("record") / "record.csv"
    path.write_text("\n".join(rows), encoding="utf-8")
    return str(path)


def answers(*asked: str) -> dict[str, dict[str, str]]:
    told = json.loads(said("audit", *asked, "--json"))
    return {each["topic"]: each for each in told["answers"]}


def test_a_named_season_is_allowed_for(record: str) -> None:
    plain = answers("--exposures", record)
    assert plain["unnamed change"]["found"] == "found"
    cannot_tell = plain["unnamed change"]["cannot_tell"]
    assert "a season or people learning would look the same" in cannot_tell
    assert "can be named" in cannot_tell
    asked = ("--exposures", record, "--season", "7-8=summer", "--learning")
    named = answers(*asked)
    assert named["unnamed change"]["found"] == "not found"
    assert named["drift"]["found"] == "not found"
    told = json.loads(said("audit", *asked, "--json"))
    assert told["allowed_for"] == ["the season 'summer'", "people learning"]
    text = " ".join(said("audit", *asked).split())
    assert "Allowed for wherever change is asked about: the season 'summer' and people" in text


def test_a_change_beside_a_named_season_is_told_by_its_odds(record: str) -> None:
    asked = ("--exposures", record, "--change", "2025-07-01=new staff")
    plain = answers(*asked)["change"]
    assert plain["found"] == "found"
    assert "'new staff', whatever else changed that day, a season" in plain["cannot_tell"]
    named = answers(*asked, "--season", "7-8=summer")["change"]
    assert named["found"] == "not found"
    assert "With what is allowed for taken out, the odds are" in named["sentence"]


def test_records_without_patients_say_so_in_the_report_too(record: str, tmp_path: Path) -> None:
    said("audit", "report", "--exposures", record, "--out", str(tmp_path), "--season", "7-8=summer")
    page = " ".join((tmp_path / "audit.html").read_text("utf-8").split())
    assert "does not say which films are of one patient" in page
    assert "Allowed for wherever change is asked about: the season" in page
    assert "does not say which films" in " ".join(said("audit", "--exposures", record).split())


def test_seasons_and_beginners_are_refused_in_words(record: str) -> None:
    given = ("audit", "--exposures", record)
    assert "FIRST-LAST=NAME" in refusal(*given, "--season", "summer")
    assert "FIRST-LAST=NAME" in refusal(*given, "--season", "7-13=summer")
    assert "FIRST-LAST=NAME" in refusal(*given, "--season", "7-8")
    assert "OPERATOR=YYYY-MM-DD" in refusal(*given, "--began", "p1")
    assert "YYYY-MM-DD" in refusal(*given, "--began", "p1=spring")
    assert "operator 'nobody'" in refusal(*given, "--began", "nobody=2024-09-01")
    assert answers("--exposures", record, "--began", "p1=2024-09-01")["drift"]
