"""What is told of invented learners was measured with the code as it is."""

import json

import numpy as np
import pytest

from benchmarks.learners import one_class
from builders.learners import PAGE, RECORD, SAID
from trials.geometric_learners import SKILLS, Learner, items, scores
from trials.judged_learners import LOOKS
from trials.learner_tables import learner_tables

FIRST = json.loads(RECORD.read_text("utf-8"))
CHANGED = (
    "what is said of a skill has changed since the tables of docs/competence.md were measured: run "
    "benchmarks/learners.py and builders/learners.py again"
)


def test_every_skill_has_its_first_class() -> None:
    assert {line["skill"] for line in FIRST} == {skill.value for skill in SKILLS}


@pytest.mark.slow
@pytest.mark.parametrize("line", FIRST, ids=lambda line: line["skill"])
def test_first_classes_come_to_the_same_as_in_the_run(line: dict) -> None:
    now = one_class(line["seed"], line["number"], line["skill"], line["way"])
    for name in ("true", "low", "high", "level", "chance"):
        assert np.allclose(now[name], line[name], atol=2e-3), CHANGED
    assert now["answer"] == line["answer"], CHANGED


def test_the_page_has_every_table() -> None:
    text = PAGE.read_text("utf-8")
    for name in learner_tables(FIRST):
        assert f"<!-- {name}: {SAID} -->\n\n| skill" in text


def test_what_is_promised_holds_in_the_tables() -> None:
    """The 90% interval holds 85 to 95 times of 100; five in a hundred are wrongly told they can."""
    tables = PAGE.read_text("utf-8")
    for row in rows(tables, "intervals"):
        if row[0] == "all":
            assert all(85.0 <= float(cell.partition("%")[0]) <= 95.0 for cell in row[1:])
    for row in rows(tables, "judgements"):
        if row[0] == "all":
            assert float(row[1].partition("%")[0]) <= 5.0


def rows(text: str, name: str) -> list[list[str]]:
    """Cells of a table's rows, its head left out."""
    table = text.partition(f"<!-- {name}: ")[2].partition("<!-- end -->")[0]
    lines = [line for line in table.splitlines() if line.startswith("|")]
    return [[cell.strip() for cell in line.strip("|").split("|")] for line in lines[2:]]


def test_tables_count_by_hand() -> None:
    last = len(LOOKS)
    line = {
        "skill": "name",
        "way": "one set",
        "true": [0.5, 0.9],
        "low": [[0.4] * last, [0.95] * last],
        "high": [[0.6] * last, [0.99] * last],
        "answer": [["can"] * last, ["cannot-tell"] * last],
    }
    made = learner_tables([line])
    assert "50.0% (9.5 to 90.5), 12 points wide" in made["intervals"]
    assert "| name what went wrong, one set | 100.0%" in made["judgements"]
    assert made["judgements"].splitlines()[2].endswith(f"| {LOOKS[0]} |")


@pytest.mark.slow
def test_a_steady_hand_does_better_than_a_shaky_one() -> None:
    rng = np.random.default_rng(3)
    good = Learner(hand=1.5, bias_deg=0.0, eye=0.1, confuses=0.0, wrong_way=0.0, size_error=0.1)
    bad = Learner(hand=10.0, bias_deg=3.0, eye=2.5, confuses=0.6, wrong_way=0.5, size_error=0.8)
    for skill in SKILLS:
        given = items(skill, rng, 150)
        means = [scores(who, skill, given, rng).mean() for who in (good, bad)]
        assert means[0] > means[1] + 0.1, skill
