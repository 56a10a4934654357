"""What a report tells a small practice: to be done on Monday, and no more than was counted."""

import csv
import json
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

from tests.surfaces.test_command_line import refusal, said


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
    assert "with <code>--since DAY</code>: then as many days" in shown
    assert shown.startswith("<!doctype html>")
    by_room = shown.split("<h3>By room</h3>")[1].split("</figure>")[0]
    assert "<svg" not in by_room
    assert "<td>room 5</td><td>0</td><td>10</td>" in by_room


def test_counts_that_lie_near_each_other_name_no_most_frequent_fault(tmp_path: Path) -> None:
    near = answers(practice(tmp_path, ("overlap",) * 6 + ("cone-cut",) * 5))["faults"]
    assert "too near each other to tell surely which is the most frequent" in near["cannot_tell"]
    far = answers(practice(tmp_path, ("overlap",) * 12 + ("cone-cut",) * 2))["faults"]
    assert "most frequent" not in far["cannot_tell"]


def test_a_record_without_a_reject_asks_whether_all_are_logged(tmp_path: Path) -> None:
    path = practice(tmp_path, (), films=120)
    told = answers(path)
    assert told["rate"]["actions"][0].startswith(
        "Ask whether every reject is logged: there is none among 120 films."
    )
    first = "0 of 30 (0.0%)"
    assert told["drift"]["sentence"] == (
        f"No drift beyond chance from {first} in the first 7 weeks with films."
    )
    assert f"{first}, taken as 1.6%" in page(path, tmp_path)


def test_very_few_films_ask_to_go_on_logging(tmp_path: Path) -> None:
    told = answers(table(tmp_path, [("2026-11-20", "accepted", "")]))
    assert told["rate"]["actions"] == [
        "Go on logging every film: 1 film is too few to tell anything by, a rate takes 20."
    ]
    # The table beside it says "too few", and the answer said 0.0%.
    assert told["rate"]["sentence"].startswith("0 of 1: too few to tell a rate (95% interval 0.0")


def test_one_month_is_told_in_words_and_not_drawn(tmp_path: Path) -> None:
    films = [(f"2026-10-{1 + k:02d}", "rejected" if k < 3 else "accepted", "") for k in range(28)]
    told = page(table(tmp_path, films), tmp_path)
    assert "All exposures are of one month, 2026-10, so there is no course over time" in told
    assert "reject rate 3 of 28 (10.7%" in told
    assert "1 month are" not in told
    assert 'aria-label="Reject rate over time' not in told
    assert "Reject rate of 1 month" not in told


def test_a_stretch_with_few_films_says_so_on_its_chart(tmp_path: Path) -> None:
    days = [f"2026-0{month}-{1 + k:02d}" for month in (6, 7, 8, 9) for k in range(28)]
    few = [f"2026-10-{day:02d}" for day in range(1, 20)]
    told = page(table(tmp_path, [(day, "accepted", "") for day in days + few]), tmp_path)
    assert "too few (19)" in told
    assert "Where there are fewer than 20 exposures it tells their number and no rate." in told


def test_of_a_fall_by_chance_no_more_is_promised_than_its_odds(tmp_path: Path) -> None:
    told = page(practice(tmp_path, ("cone-cut",) * 12, films=150), tmp_path)
    assert "four times in five, a smaller one less often" in told
    assert "Rejected: 12 of 150" in told, "as the answers and the charts call them"


def aims(
    folder: Path, *, people: int, films: int, sd_deg: float, error_deg: Callable[[int, int], int]
) -> Path:
    """A table of assessed aims: so many films of each person, off as a function tells."""
    heads = "day,decision,operator,view,contact_error_deg,contact_error_sd_deg"
    rows = [
        f"2026-05-{1 + k:02d},accepted,D{who},right-molar,{error_deg(who, k)},{sd_deg}"
        for who in range(people)
        for k in range(films)
    ]
    path = folder / "aims.csv"
    path.write_text("\n".join([heads, *rows]), encoding="utf-8")
    return path


def test_aims_without_a_remark_are_told_in_a_sentence(tmp_path: Path) -> None:
    path = aims(tmp_path, people=3, films=12, sd_deg=0.8, error_deg=lambda _, k: (k % 3) - 1)
    told = " ".join(said("audit", "aim", "--exposures", str(path)).split())
    assert "Nothing worth a remark of 3 operators. What this could miss: with 12 assessed" in told


def test_whoever_is_perhaps_off_is_told_beside_the_others(tmp_path: Path) -> None:
    path = aims(
        tmp_path,
        people=3,
        films=12,
        sd_deg=1,
        error_deg=lambda who, k: 4 * (who // 2) + 3 * (k % 3 - 1),
    )
    told = " ".join(said("audit", "aim", "--exposures", str(path)).split())
    assert "D2: Perhaps steadily off, not surely: the tube" in told
    assert "Nothing worth a remark of 2 other operators." in told


def test_a_record_without_assessed_aims_says_how_to_get_them(tmp_path: Path) -> None:
    path = table(tmp_path, [("2026-11-20", "accepted", "")])
    assert refusal("audit", "aim", "--exposures", path).startswith(
        "This record has no exposure with an assessed aim: log films with what was measured"
    )


def test_few_faults_are_counted_and_many_told_as_shares(tmp_path: Path) -> None:
    few = page(practice(tmp_path, ("cone-cut",) * 3 + ("overlap",)), tmp_path)
    assert "3 of 4" in few
    assert "so far" not in few.lower()
    many = page(practice(tmp_path, ("cone-cut",) * 9 + ("overlap",) * 3), tmp_path)
    assert "9 (75%), so far 75%" in many


def test_many_who_aim_off_do_not_fill_the_leads_list(tmp_path: Path) -> None:
    path = aims(
        tmp_path,
        people=8,
        films=24,
        sd_deg=0.5,
        error_deg=lambda who, k: 8 * (-1) ** who + k % 3 - 1,
    )
    said("audit", "report", "--exposures", str(path), "--out", str(tmp_path), "--for", "lead")
    lead = " ".join((tmp_path / "lead" / "audit.html").read_text("utf-8").split())
    assert "8 of 8: D0, D1" in lead
    assert "give each of the 8 who aim or place steadily off their private sheet" in lead
    assert "slide the tube" not in lead
    assert "Of 6 diamonds the code would lie over another" in lead
