"""How often the best possible film answers each question, by receptor and view, and what fails.

Mouths drawn by `drawn_mouth`, seeds that no test uses; the best aim of each view, rated for each
question by UK 2020. ``python -m benchmarks.films_for_questions [mouths] [--out kept.jsonl]``: one
line a film as it is made, and with ``--out`` a run goes on where it was stopped.
"""

import argparse
import json
from collections import Counter
from pathlib import Path
from typing import Any

from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.exposing.exposure import station
from bitewright.mouth.drawn_mouth import drawn_mouth
from bitewright.mouth.outlines import build_outlines
from bitewright.planning.best_aim import best_aim
from bitewright.quality.criteria import Question
from bitewright.quality.findings import findings, not_shown
from bitewright.quality.predicted import asked, predict
from bitewright.quality.questions import OF_NAMED_SURFACES
from bitewright.quality.rating import Outcome
from bitewright.quality.rating_schemes import rating_scheme
from bitewright.quality.views import view
from bitewright.words.ratings import fitness_words

FIRST_SEED = 9000
RECEPTORS = ("sensor-2", "plate-2")
VIEWS = ("right-premolar", "right-molar")
QUESTIONS = tuple(each for each in Question if each not in OF_NAMED_SURFACES)


def main() -> None:
    """Print each film, then the shares."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("mouths", nargs="?", type=int, default=24)
    parser.add_argument("--out", type=Path)
    given = parser.parse_args()
    kept = [json.loads(line) for line in given.out.open()] if _is_there(given.out) else []
    done = {(each["seed"], each["receptor"], each["view"]) for each in kept}
    for seed in range(FIRST_SEED, FIRST_SEED + given.mouths):
        for receptor in RECEPTORS:
            for name in VIEWS:
                if (seed, receptor, name) in done:
                    continue
                row = best_film(seed, receptor, name)
                kept.append(row)
                print(json.dumps(row), flush=True)
                if given.out is not None:
                    with given.out.open("a") as file:
                        file.write(json.dumps(row) + "\n")
    print(table(kept))


def best_film(seed: int, receptor: str, name: str) -> dict[str, Any]:
    """Grade and reason for each question of the best film of one view."""
    known = packaged_catalogue()
    outlines = build_outlines(drawn_mouth(seed))
    of_view = view(name)
    at = station(
        outlines,
        of_view.region,
        known.receptor(receptor),
        known.holder("ring-holder"),
        known.tube("rectangular-300"),
    )
    plan = best_aim(of_view, at)
    row: dict[str, Any] = {"seed": seed, "receptor": receptor, "view": name}
    for question in QUESTIONS:
        prediction = predict(plan.exposure, asked(of_view, at), question=question)
        found = findings(prediction.measurements, prediction.rating, question=question)
        row[question.value] = {
            "grade": prediction.rating.grade(rating_scheme("uk-2020"))[0],
            "failed": [each.criterion.name for each in found if each.outcome is Outcome.FAILED],
            "fitness": fitness_words(question, found, not_shown(prediction.measurements)),
        }
    return row


def table(kept: list[dict[str, Any]]) -> str:
    """Share acceptable by question, receptor and view, with the criteria that fail, as Markdown."""
    lines = [
        "| question | receptor | view | films | acceptable | what fails |",
        "| --- | --- | --- | ---: | ---: | --- |",
    ]
    for question in QUESTIONS:
        for receptor in RECEPTORS:
            for name in VIEWS:
                rows = [
                    row[question.value]
                    for row in kept
                    if (row["receptor"], row["view"]) == (receptor, name)
                ]
                good = sum(row["grade"] == "A" for row in rows)
                failed = Counter(each for row in rows for each in row["failed"])
                what = ", ".join(f"{each} {count}" for each, count in failed.most_common())
                share = f"{good / len(rows):.0%}" if rows else ""
                lines.append(
                    f"| {question.value} | {receptor} | {name} | {len(rows)} | {share} | {what} |"
                )
    return "\n".join(lines)


def _is_there(path: Path | None) -> bool:
    return path is not None and path.exists()


if __name__ == "__main__":
    main()
