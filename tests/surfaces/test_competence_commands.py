"""`bitewright competence` as a teacher and a student meet it."""

import json
from pathlib import Path

import numpy as np
import pytest
from typer.testing import CliRunner

from bitewright.cli.main import app
from bitewright.competence.attempts import Skill
from bitewright.competence.judging import Judgement
from bitewright.errors import BitewrightError
from bitewright.teaching.fault_names import PlantedFault
from bitewright.words.competence import JUDGED
from bitewright.words.topics import topic_words

run = CliRunner()
STUDENTS = {"S1": 0.99, "S2": 0.3, "S10": 0.8}
"""How often each of an invented class is right."""


@pytest.fixture(autouse=True)
def attempts(own_folders: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A class's answers in the store, by the command."""
    monkeypatch.chdir(own_folders)
    rng = np.random.default_rng(4)
    lines = [
        {
            "student": student,
            "item": f"set/{number}",
            "skill": "name",
            "topic": "overlap" if number % 2 else "cone-cut",
            "score": float(rng.random() < chance),
            "sure": 0.9,
            "answered_at": f"2026-01-{10 + number // 10}T09:{number % 60:02d}:00Z",
        }
        for student, chance in STUDENTS.items()
        for number in range(30)
    ]
    Path("a.jsonl").write_text("\n".join(map(json.dumps, lines)), encoding="utf-8")
    assert "90 attempts kept, of 3 students" in said("add", "a.jsonl")


def said(*arguments: str, code: int = 0) -> str:
    answer = run.invoke(app, ["competence", *arguments])
    assert answer.exit_code == code, answer.output + repr(answer.exception)
    return " ".join(answer.output.split())


def refused(*arguments: str) -> str:
    answer = run.invoke(app, ["competence", *arguments])
    assert isinstance(answer.exception, BitewrightError), answer.output
    return str(answer.exception)


def test_each_answer_agrees_with_its_document() -> None:
    found = {}
    for student in STUDENTS:
        (skill,) = json.loads(said("of", student, "--json"))["skills"]
        found[student] = skill["answer"]
        told = said("of", student)
        assert f"Name what went wrong: {JUDGED[Judgement(skill['answer'])]}" in told
        assert skill["sentence"] in told
        assert ("more exercise" in told) == (skill["answer"] == Judgement.CANNOT_TELL and bool(
            skill["more_items"]))  # fmt: skip
    assert found == {"S1": "can", "S2": "not-yet", "S10": "cannot-tell"}
    assert "Certain: 30 answers, mean score" in said("of", "S2")


def test_a_class_in_order_with_its_misconceptions() -> None:
    told = said("class")
    assert told.index("S2 ") < told.index("S10 ")
    assert "1 = can do it, 1 x not yet, 1 ? cannot be told yet" in told
    document = json.loads(said("class", "--json"))
    assert list(document["students"]) == ["S1", "S2", "S10"]
    assert {each["answers"] for each in document["topics"]} == {45}


def test_a_higher_bar_is_passed_by_fewer() -> None:
    assert "bar of 95%" in said("of", "S1", "--bar", "0.95")
    assert "mean score from 0.05 to 0.95" in refused("class", "--bar", "1")


def test_what_was_missed_is_due() -> None:
    document = json.loads(said("due", "S2", "--on", "2026-12-31", "--json"))
    assert {each["topic"] for each in document["topics"]} == {"overlap", "cone-cut"}
    assert all(each["is_due"] for each in document["topics"])
    assert "Due on 2026-12-31" in said("due", "S2", "--on", "2026-12-31")
    assert "Later" in said("due", "S2", "--on", "2026-01-01")


def test_topics_are_told_by_their_titles_and_never_by_their_codes() -> None:
    for told in (said("of", "S2"), said("class"), said("due", "S2", "--on", "2026-12-31")):
        assert "cone cut" in told.lower()
        assert "cone-cut" not in told
    assert topic_words(Skill.NAME, "tube-too-far-back") == "tube too far to the back"
    assert topic_words(Skill.READ, "surface") == "which surface it is"
    assert topic_words(Skill.READ, "our/own") == "our/own"
    assert all(topic_words(Skill.NAME, fault.value) != fault.value for fault in PlantedFault)


def test_where_nothing_is_kept_the_next_step_is_one_of_competence() -> None:
    for command in (("of", "S1"), ("class",), ("due", "S1"), ("delete", "S1", "--by", "T1")):
        told = refused(*command, "--store", "none-here.sqlite")
        assert "none-here.sqlite" in told
        assert "`bitewright competence add`" in told
        assert "log add" not in told


def test_a_name_is_no_students_code() -> None:
    for command in (("of", "Some Body"), ("due", "Some Body")):
        assert refused(*command) == (
            "'Some Body' cannot be a student's code: give a code of up to 40 letters, digits and "
            ". / + - _, such as S12, and no name."
        )


def test_a_record_is_deleted_and_that_is_told() -> None:
    assert "30 attempts, is deleted" in said("delete", "S2", "--by", "S2")
    assert "No attempts of 'S2'" in refused("of", "S2")
    assert "Record of S2 deleted" in said("class")
    assert "by S2, 30 attempts" in said("class")


def test_films_of_the_log_stand_apart() -> None:
    before = json.loads(said("of", "S1", "--json"))
    assert before["logged_films"] is None
    log = ("log", "add", "--operator", "S1", "--view", "right-molar", "--decision", "rejected")
    assert run.invoke(app, [*log, "--decided-by", "T1"]).exit_code == 0
    after = json.loads(said("of", "S1", "--json"))
    assert (after["logged_films"]["exposures"], after["logged_films"]["rejected"]) == (1, 1)
    assert after["skills"] == before["skills"]
    assert "1 of 1 rejected" in said("of", "S1")
