"""Whether what is said of a skill holds, for learners who act by geometry.

Every class is kept as a line of JSON as soon as it is done, and a run that was stopped goes on with
the same file:

    python -m benchmarks.learners --seed 2 --processes 2 --out FILE
    python -m builders.learners FILE

Limits were set on the learners of seed 1; those of seed 2 judge them. 200 learners at four skills,
given items in two ways, take some ten minutes of two cores.
"""

import argparse
import json
from concurrent.futures import ProcessPoolExecutor, as_completed
from pathlib import Path

from benchmarks.few_people import lines_of
from bitewright.competence.attempts import Skill
from trials.geometric_learners import SKILLS
from trials.judged_learners import CLASS, ONE_SET, OWN, judged_class


def main() -> None:
    """Run what is left to do."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--learners", type=int, default=200)
    parser.add_argument("--seed", type=int, default=2)
    parser.add_argument("--processes", type=int, default=1)
    parser.add_argument("--out", type=Path, required=True)
    given = parser.parse_args()
    done = {
        (line["seed"], line["number"], line["skill"], line["way"]) for line in lines_of(given.out)
    }
    left = [
        (given.seed, number, skill.value, way)
        for number in range(-(-given.learners // CLASS))
        for skill in SKILLS
        for way in (ONE_SET, OWN)
        if (given.seed, number, skill.value, way) not in done
    ]
    with (
        ProcessPoolExecutor(given.processes) as pool,
        given.out.open("a", encoding="utf-8") as file,
    ):
        running = [pool.submit(one_class, *each) for each in left]
        for count, each in enumerate(as_completed(running), start=1):
            line = each.result()
            file.write(json.dumps(line) + "\n")
            file.flush()
            print(
                f"{count}/{len(left)} class {line['number']} {line['skill']} {line['way']}",
                flush=True,
            )


def one_class(seed: int, number: int, skill: str, way: str) -> dict[str, object]:
    """A class, with what tells it from the others."""
    found = judged_class(seed, number, Skill(skill), way)
    return {"seed": seed, "number": number, "skill": skill, "way": way, **found}


if __name__ == "__main__":
    main()
