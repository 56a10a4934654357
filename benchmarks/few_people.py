"""What an audit says of each of few people: how often it holds, and who is found.

Every kind of record of `trials.few_people`, drawn so often, in chunks; each chunk is kept as a line
of JSON as soon as it is done, and a run that was stopped goes on with the same file:

    python -m benchmarks.few_people --records 2000 --processes 2 --out FILE
    python -m builders.few_people FILE

With 2000 records it takes some two hours of one core.
"""

import argparse
import json
import tempfile
import zlib
from collections import Counter
from concurrent.futures import ProcessPoolExecutor, as_completed
from pathlib import Path

import numpy as np

from trials.few_people import Question, Trial, judged, trials

CHUNK = 50
OF_POWER = 600
"""Records at most where what is counted is not near 5%."""


def main() -> None:
    """Run what is left to do."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--records", type=int, default=50, help="of each kind")
    parser.add_argument("--processes", type=int, default=1)
    parser.add_argument("--out", type=Path, help="where lines are kept, and read from if there")
    parser.add_argument("--question", choices=list(Question), action="append", help="these alone")
    given = parser.parse_args()
    wanted = tuple(given.question or Question)
    with tempfile.TemporaryDirectory() as folder:
        run(given.out or Path(folder) / "few.jsonl", wanted, given.records, given.processes)


def run(path: Path, questions: tuple[Question, ...], records: int, processes: int) -> None:
    """Draw and judge what a file does not hold yet."""
    done = {(line["key"], line["chunk"]) for line in lines_of(path)}
    left = [
        (trial, chunk)
        for trial in trials()
        if trial.question in questions
        for chunk in range(chunks_of(trial, records))
        if (trial.key, chunk) not in done
    ]
    with (
        ProcessPoolExecutor(processes) as pool,
        path.open("a", encoding="utf-8") as file,
    ):
        running = [pool.submit(counted, trial, chunk) for trial, chunk in left]
        for number, each in enumerate(as_completed(running), start=1):
            line = each.result()
            file.write(json.dumps(line) + "\n")
            file.flush()
            print(f"{number}/{len(left)} {line['key']}: {line['sums']}", flush=True)


def chunks_of(trial: Trial, records: int) -> int:
    """Chunks of records of one kind."""
    power = trial.question in {Question.RATE_POWER, Question.AIM_POWER}
    return -(-min(records, OF_POWER if power else records) // CHUNK)


def counted(trial: Trial, chunk: int) -> dict[str, object]:
    """One chunk of records, their seeds made of the kind and the number of the chunk."""
    sums: Counter[str] = Counter()
    for record in range(CHUNK):
        seed = [zlib.crc32(trial.key.encode()), chunk, record]
        sums.update(judged(trial, np.random.default_rng(seed)))  # type: ignore[arg-type]  # sums
    return {"key": trial.key, "chunk": chunk, "records": CHUNK, "sums": dict(sums)}


def lines_of(path: Path) -> list[dict[str, object]]:
    """What a file holds already, a line cut short left out."""
    found = []
    if path.exists():
        for line in path.read_text("utf-8").splitlines():
            try:
                found.append(json.loads(line))
            except json.JSONDecodeError:
                continue
    return found


if __name__ == "__main__":
    main()
