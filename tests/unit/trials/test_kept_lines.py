"""Long runs keep a line a case, go on where they were stopped, and outlast a case that fails."""

from pathlib import Path
from typing import Any

from trials.kept_lines import Line, read_lines, run_cases


def run(path: Path | None, cases: list[int], *, minutes: float = 10.0) -> tuple[list[Line], str]:
    """The lines of a run of halves, and what it told."""
    told: list[str] = []
    lines = run_cases(
        path,
        cases,
        halved,
        key=lambda case: case,
        key_of=lambda line: line["case"],
        processes=1,
        told=told.append,
        minutes=minutes,
    )
    return lines, "; ".join(told)


class BelowError(Exception):
    """As many of ours: made of what was given, it says a sentence, and does not unpickle."""

    def __init__(self, *, given: int) -> None:
        super().__init__(f"{given} is below nothing")


def halved(case: int) -> dict[str, Any]:
    if case < -1:
        raise BelowError(given=case)
    if case < 0:
        problem = "below nothing"
        raise ValueError(problem)
    return {"case": case, "half": case / 2.0}


def test_a_run_goes_on_where_it_was_stopped(tmp_path: Path) -> None:
    path = tmp_path / "lines.jsonl"
    path.write_text('{"case": 2, "half": 7.0}\n{"case": 3, "ha', encoding="utf-8")
    lines, told = run(path, [1, 2, 3])
    assert [line["half"] for line in lines] == [0.5, 7.0, 1.5]
    assert told == "1 of 2; 2 of 2"
    assert sorted(line["case"] for line in read_lines(path)) == [1, 2, 3]


def test_a_case_that_fails_is_told_and_tried_again(tmp_path: Path) -> None:
    path = tmp_path / "lines.jsonl"
    lines, told = run(path, [-1, 4])
    assert [line["case"] for line in lines] == [4]
    assert "-1 failed: ValueError: below nothing" in told
    assert "-1 failed" in run(path, [-1, 4])[1]


def test_a_failure_that_another_process_cannot_give_back_ends_no_run() -> None:
    lines, told = run(None, [-2, 4])
    assert [line["case"] for line in lines] == [4]
    assert "-2 failed: BelowError: -2 is below nothing" in told


def test_nothing_is_begun_after_the_time_given(tmp_path: Path) -> None:
    assert run(tmp_path / "lines.jsonl", [1, 2], minutes=0.0) == ([], "")


def test_lines_need_not_be_kept() -> None:
    assert [line["case"] for line in run(None, [3, 1])[0]] == [3, 1]
