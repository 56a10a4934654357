"""One share has one interval on a page, however exposures are told apart."""

import json
import re
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from tests.surfaces.test_command_line import said

PATIENTS, EACH = 125, 4
SHARE_IN_WORDS = re.compile(r"(\d+) of (\d+) \([\d.]+%, 95% interval ([\d.]+) to ([\d.]+)%\)")


@pytest.fixture(scope="module")
def record(tmp_path_factory: pytest.TempPathFactory) -> str:
    """500 films of 125 patients, in one room; a rejected film is graded N, the others A."""
    rng = np.random.default_rng(5)
    rows = ["day,decision,rating,case,room,view,receptor,operator,kind,succeeded,faults"]
    for patient in range(PATIENTS):
        often = rng.beta(0.15, 1.85)
        day = f"2025-{1 + patient % 12:02d}-{1 + patient % 28:02d}"
        for film in range(EACH):
            bad = rng.random() < often
            decision, grade = ("rejected", "N") if bad else ("accepted", "A")
            view = "right-molar" if film % 2 else "left-molar"
            fault = "overlap" if bad else ""
            rows.append(
                f"{day},{decision},uk-2020:{grade},p{patient},room-1,{view},plate-2,"
                f"op-{patient % 4},exposure,,{fault}"
            )
    path = tmp_path_factory.mktemp("record") / "record.csv"
    path.write_text("\n".join(rows), encoding="utf-8")
    return str(path)


def test_a_share_has_one_interval_in_all_of_an_audit(record: str) -> None:
    asked = ("--exposures", record, "--change", "2025-07-01=guide")
    intervals: dict[tuple[Any, ...], set[tuple[float, float]]] = defaultdict(set)
    for by in ("room", "receptor"):
        told = json.loads(said("audit", *asked, "--by", by, "--json"))
        found = list(shares(told))
        for share in found:
            key = (share["count"], share["total"], share["confidence"])
            intervals[key].add((round(share["low"], 4), round(share["high"], 4)))
        rejects, grade_n = told["overall"], told["targets"][-1]
        assert grade_n["grade"] == "N"
        assert (rejects["count"], rejects["low"]) == (grade_n["count"], grade_n["low"])
        assert told["table"]["groups"][0]["low"] == rejects["low"]
    assert len(intervals) >= 4
    twice = {key: ends for key, ends in intervals.items() if len(ends) > 1}
    assert not twice


def test_a_share_has_one_interval_in_the_report_and_on_the_terminal(
    record: str, tmp_path: Path
) -> None:
    out = tmp_path / "audit"
    said("audit", "report", "--exposures", record, "--out", str(out))
    texts = [
        (out / "audit.html").read_text("utf-8"),
        (out / "answers.csv").read_text("utf-8"),
        " ".join(said("audit", "--exposures", record, "--by", "room").split()),
    ]
    ends = defaultdict(set)
    for text in texts:
        plain = re.sub(r"\s+", " ", re.sub(r"<[^>]*>", " ", text))
        for count, total, low, high in SHARE_IN_WORDS.findall(plain):
            ends[count, total].add((low, high))
    assert ends
    assert {len(each) for each in ends.values()} == {1}
    table = (out / "targets.csv").read_text("utf-8")
    for (count, total), ((low, high),) in ((key, tuple(each)) for key, each in ends.items()):
        if f"{count} of {total}" in table:
            assert f"{low} to {high}%" in table


def shares(node: object) -> Iterator[dict[str, Any]]:
    """Every share with an interval in a document."""
    if isinstance(node, dict):
        if {"count", "total", "low", "high", "confidence"} <= node.keys():
            yield node
        for inner in node.values():
            yield from shares(inner)
    elif isinstance(node, list):
        for inner in node:
            yield from shares(inner)
