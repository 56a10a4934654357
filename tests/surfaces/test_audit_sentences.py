"""What a report tells a small practice: to be done on Monday, and no more than was counted."""

import csv
import json
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from tests.surfaces.test_command_line import said


def table(tmp_path: Path, rows: Iterable[tuple[str, str, str]]) -> str:
    """A record: day, decision and faults of each film; graded A where kept, N where not."""
    path = tmp_path / "log.csv"
    with path.open("w", encoding="utf-8", newline="") as file:
        out = csv.writer(file)
        out.writerow(("day", "decision", "faults", "rating", "operator", "view", "room"))
        for number, (day, decision, faults) in enumerate(rows):
            rating = "uk-2020:A" if decision == "accepted" else "uk-2020:N"
            room = f"room {number % 6}"
            out.writerow((day, decision, faults, rating, f"D{number % 3}", "right-molar", room))
    return str(path)


def practice(tmp_path: Path, faults: tuple[str, ...], films: int = 60) -> str:
    """A year of a small practice; the first films are rejected for these faults."""
    return table(
        tmp_path,
        (
            (
                f"2025-{1 + 12 * number // films:02d}-{1 + number % 28:02d}",
                "rejected" if number < len(faults) else "accepted",
                faults[number] if number < len(faults) else "",
            )
            for number in range(films)
        ),
    )


def answers(path: str, *more: str) -> dict[str, Any]:
    told = json.loads(said("audit", "--exposures", path, "--json", *more))
    assert len({each["question"] for each in told["answers"]}) == len(told["answers"])
    return {each["topic"]: each for each in told["answers"]}


def page(path: str, tmp_path: Path) -> str:
    said("audit", "report", "--exposures", path, "--out", str(tmp_path / "audit"))
    return " ".join((tmp_path / "audit" / "audit.html").read_text("utf-8").split())


def test_what_is_as_frequent_is_named_beside_the_first(tmp_path: Path) -> None:
    faults = ("cone-cut", "overlap", "cone-cut", "overlap", "movement")
    told = answers(practice(tmp_path, faults))["faults"]
    assert told["sentence"] == (
        "Cone cut on 2 and overlap on 2 of the 5 rejected films: 4 of the 5 faults noted on them."
    )
    assert told["actions"][0].startswith(
        "Begin with cone cut, noted on 2 of the 5 rejected films. Overlap is noted as often. Lay "
        "this list at the chair"
    )
    assert "fewer than 10 it cannot be told which is the most frequent" in told["cannot_tell"]


def test_of_many_faults_the_share_is_told_by_films_and_by_faults(tmp_path: Path) -> None:
    faults = ("overlap",) * 7 + ("overlap|overlap", "cone-cut", "movement", "movement")
    told = answers(practice(tmp_path, faults))["faults"]
    assert told["sentence"] == (
        "Overlap on 8 of the 11 rejected films: 9 of the 12 faults noted on them (75.0%)."
    )
    assert "as often" not in told["actions"][0]
    assert "cannot be told which" not in told["cannot_tell"]


def test_the_two_sides_of_one_target_are_one_question(tmp_path: Path) -> None:
    path = practice(tmp_path, ("overlap",) * 9)
    told = json.loads(said("audit", "--exposures", path, "--json"))
    asked = [each["question"] for each in told["answers"] if each["topic"] == "target"]
    assert asked == ["Is grade A at least 95% (UK 2020)?"]
    assert [each["grade"] for each in told["targets"]] == ["A", "N"], "the table has both"
    own = json.loads(said("audit", "--exposures", path, "--json", "--target", "A=0.9"))
    asked = [each["question"] for each in own["answers"] if each["topic"] == "target"]
    assert len(asked) == 2, "at least 90% and at most 5% are two questions"


def test_too_few_films_say_so_in_plain_words(tmp_path: Path) -> None:
    shown = page(practice(tmp_path, ("cone-cut", "overlap", "movement")), tmp_path)
    assert "too few films to tell whether the target is met" in shown
    assert "a year are too few to show that fewer are rejected" in shown
    assert shown.count("Counts alone: no room has the 20 exposures that a rate takes.") == 1
    assert "With <code>--since DAY</code>, as many" in shown
    assert shown.startswith("<!doctype html>")
    by_room = shown.split("<h3>By room</h3>")[1].split("</figure>")[0]
    assert "<svg" not in by_room
    assert "<td>room 5</td><td>0</td><td>10</td>" in by_room
