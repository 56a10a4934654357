"""What is told of audits of few people was measured with the code as it is."""

import tomllib
from pathlib import Path

import pytest

from benchmarks.few_people import counted, lines_of
from builders.few_people import PAGE, RECORD, SAID
from trials.few_people import Question, Trial, trials
from trials.few_people_tables import summed, tables

FIRST = tomllib.loads(RECORD.read_text("utf-8"))["first_records"]
BY_KEY = {trial.key: trial for trial in trials()}
CHANGED = (
    "the audit of few people has changed since the tables of docs/audit-methods.md were measured: "
    "run benchmarks/few_people.py and builders/few_people.py again"
)


def test_every_question_has_its_first_records() -> None:
    assert {BY_KEY[line["key"]].question for line in FIRST} == set(Question)


@pytest.mark.parametrize("line", FIRST, ids=lambda line: BY_KEY[line["key"]].question)
def test_first_records_come_to_the_same_as_in_the_run(line: dict) -> None:
    now = counted(BY_KEY[line["key"]], 0)["sums"]
    assert now == pytest.approx(line["sums"], rel=1e-3), CHANGED


def test_the_page_has_every_table_with_a_row_for_each_kind_of_record() -> None:
    text = PAGE.read_text("utf-8")
    for name in tables({}):
        assert f"<!-- {name}: {SAID} -->" in text
    assert "not run" not in text


def test_chunks_add_up_and_a_line_cut_short_is_drawn_again(tmp_path: Path) -> None:
    trial = Trial(question=Question.KAPPA, people=2, films=20, spread=0.3)
    path = tmp_path / "few.jsonl"
    line = (
        '{"key": "%s", "chunk": %d, "records": 50, "sums": {"asked": 50, "held": 47, "width": 60}}'
    )
    path.write_text("\n".join([line % (trial.key, 0), line % (trial.key, 1), line[:30]]), "utf-8")
    cells = summed(lines_of(path))
    own = {
        "records": 100,
        "asked": 100,
        "held": 94,
        "width": 120,
        "chunks": 2,
        "squares": 2 * 47**2,
    }
    assert cells[trial.key] == own
    assert "94.0% (87.5 to 97.2), 1.20 wide" in tables(cells)["kappa"]
