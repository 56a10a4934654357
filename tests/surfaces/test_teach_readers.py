"""`bitewright teach readers`: agreement set against statsmodels, and what is not told."""

import json
from base64 import b64encode
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from statsmodels.stats.inter_rater import aggregate_raters, cohens_kappa, fleiss_kappa

from bitewright.files.json_documents import check_document
from tests.surfaces.test_command_line import refusal, said

CHOICES = ["A", "B", "at none of them"]
COUNT = 24
FILM = b64encode(b"\x89PNG\r\n\x1a\n" + b"0" * 40).decode()


class ASet:
    """A set of so many films on which contacts overlap, and some on which the front is asked."""

    def __init__(self, folder: Path, fronts: int = 4) -> None:
        generator = np.random.default_rng(8)
        self.folder = folder
        self.truth = [int(k) for k in generator.integers(0, 3, COUNT)]
        self.ids = [f"{k:012x}" for k in range(COUNT + fronts)]
        items = [("At which?", CHOICES, [right]) for right in self.truth]
        items += [("Which end?", ["the left end", "the right end"], [0])] * fronts
        given = [
            {"id": mark, "kind": "read", "question": asked, "choices": choices, "film": FILM}
            for mark, (asked, choices, _) in zip(self.ids, items, strict=True)
        ]
        kept = [
            {
                "id": mark,
                "kind": "read",
                "topic": "tube-too-high",
                "choices": choices,
                "key": key,
                "explanation": ["So it is."],
                "mouth": "standard",
                "view": "left-molar",
                "slip": {},
                "best_film": FILM,
            }
            for mark, (_, choices, key) in zip(self.ids, items, strict=True)
        ]
        whole = {"set": "0" * 16, "title": "A set"}
        page = {"format": "bitewright.exercise-set/1", **whole, "items": given}
        key = {"format": "bitewright.exercise-key/1", **whole, "seed": 1, "items": kept}
        self.page, self.key = folder / "exercises.html", folder / "key.json"
        self.page.write_text(
            f'<script type="application/json" id="set">{json.dumps(page)}</script>', "utf-8"
        )
        self.key.write_text(json.dumps(key), "utf-8")

    def answered(self, name: str, code: str, chosen: list[int]) -> str:
        """A file of answers."""
        told = [{"id": mark, "chosen": k} for mark, k in zip(self.ids, chosen, strict=False)]
        document = {"format": "bitewright.exercise-answers/1", "set": "0" * 16, "answers": told}
        path = self.folder / f"{name}.json"
        path.write_text(json.dumps(document | ({"student": code} if code else {})), "utf-8")
        return str(path)

    def told(self, *answers: str) -> dict[str, Any]:
        """What is told, as data."""
        asked = ("teach", "readers", str(self.page), *answers, "--key", str(self.key))
        found: dict[str, Any] = json.loads(said(*asked, "--json"))
        check_document(found, "it", schemas={"bitewright.readers/1": "readers-1.json"})
        return found

    def words(self, *answers: str) -> str:
        """The same in words."""
        asked = ("teach", "readers", str(self.page), *answers, "--key", str(self.key))
        return " ".join(said(*asked).split())


@pytest.fixture(scope="module")
def of(tmp_path_factory: pytest.TempPathFactory) -> ASet:
    return ASet(tmp_path_factory.mktemp("readers"))


def wrong(chosen: list[int], every: int, to: int) -> list[int]:
    """The same, every so many-th said to be something else."""
    return [to if k % every == 0 else each for k, each in enumerate(chosen)]


def two_way(first: list[int], second: list[int]) -> np.ndarray[Any, Any]:
    table = np.zeros((3, 3))
    np.add.at(table, (first, second), 1)
    return table


def test_kappas_are_those_of_statsmodels(of: ASet) -> None:
    first, again = wrong(of.truth, 5, 0), wrong(of.truth, 7, 1)
    other = wrong(of.truth, 3, 2)
    third = wrong(of.truth, 4, 1)
    files = [
        of.answered("one", "R1", first),
        of.answered("two", "R2", other),
        of.answered("again", "R1", again),
        of.answered("three", "R3", third),
    ]
    told = of.told(*files)
    assert told["readings"] == [["R1", 2], ["R2", 1], ["R3", 1]]
    rows = {row["who"]: row for row in told["criteria"][0]["rows"]}
    for who, table in (
        ("R1, first and second reading", two_way(first, again)),
        ("R1 and R2", two_way(first, other)),
        ("R2 and the truth", two_way(other, of.truth)),
    ):
        assert rows[who]["items"] == COUNT
        assert rows[who]["kappa"]["value"] == pytest.approx(cohens_kappa(table).kappa, abs=1e-4)
        assert rows[who]["kappa"]["low"] < rows[who]["kappa"]["value"] < rows[who]["kappa"]["high"]
    table, _ = aggregate_raters(np.array([first, other, third]).T)
    assert rows["all 3 readers (Fleiss)"]["kappa"]["value"] == pytest.approx(
        fleiss_kappa(table), abs=1e-4
    )
    differing = {item["number"] - 1 for item in told["differing"]}
    same = [len({first[k], again[k], other[k], third[k]}) == 1 for k in range(COUNT)]
    assert differing == {k for k in range(COUNT) if not same[k]}


def test_who_says_overlapped_more_often_is_told_with_its_interval(of: ASet) -> None:
    eager = [1 if right == 2 else right for right in of.truth]
    said_words = of.words(of.answered("eager", "R1", eager), of.answered("right", "R2", of.truth))
    true = sum(right != 2 for right in of.truth)
    points = round(100 * (COUNT - true) / COUNT)
    start = f"R1 said on {COUNT} of {COUNT} that crowns overlap, where it is so on {true}: "
    assert f"{start}{points} points more often (" in said_words
    assert "more than chance makes" in said_words.partition(start)[2][:60]
    right = f"R2 said on {true} of {COUNT} that crowns overlap, where it is so on {true}: as often"
    assert right in said_words
    assert "How steady a reader is cannot be told: give a second reading" in said_words


def test_too_few_readings_say_how_many_more(of: ASet) -> None:
    alone = of.words(of.answered("few", "R1", of.truth[:4]))
    assert "give the answers of one more reader" in alone
    assert "too few: 6 more exercises needed" in alone
    assert "Nobody differs" in alone
    with_fronts = [*of.truth, 0, 0, 1, 0]
    rows = of.told(of.answered("whole", "R1", with_fronts))["criteria"]
    assert [row["criterion"] for row in rows] == ["overlap", "front"]
    assert rows[1]["rows"][0]["missing"] == 6
    assert rows[1]["rows"][0]["kappa"] is None
    same = of.told(*[of.answered(name, name, [2] * COUNT) for name in ("a", "b")])
    assert same["criteria"][0]["rows"][0]["says"] == "all answers the same: no kappa"


def test_what_cannot_be_compared_is_refused(of: ASet) -> None:
    asked = ("teach", "readers", str(of.page), "--key", str(of.key))
    assert "have no code" in refusal(*asked, of.answered("nobody", "", of.truth))
    assert "from 0 to 2" in refusal(*asked, of.answered("beyond", "R1", [7] * COUNT))
