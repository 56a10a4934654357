"""A thousand drawn mouths: are they valid, are their teeth closed, and what do they cost?

``python -m benchmarks.drawn_mouths`` draws a few dozen of the population and prints a minute or two
later how far the worst gap is from what it shall be, how long outlines and a side of solid teeth
take (processor time), and which teeth are not closed or not wound outward. With ``--out FILE`` each
mouth is kept as a line of JSON as soon as it is done; started again with the same file, a run that
was stopped goes on. The run behind what the docs say is

    python -m benchmarks.drawn_mouths --mouths 1000 --processes 16 --out FILE
"""

import argparse
import json
import time
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path
from typing import Any

import numpy as np

from bitewright.mouth.outlines import Outlines, build_outlines
from bitewright.mouth.population_mouth import Regularity, population_mouth
from bitewright.solids.tooth_shells import tooth_shells

REPEATS = 5
FAR_MM = 0.02
SIDES = ((1, 4), (2, 3))


def main() -> None:
    """Run what is left to do, and print the summary of all."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--mouths", type=int, default=24)
    parser.add_argument("--processes", type=int, default=1)
    parser.add_argument("--calm", action="store_true", help="calm mouths in their place")
    parser.add_argument("--out", type=Path, help="where lines are kept, and read from if there")
    given = parser.parse_args()
    regularity = Regularity.CALM if given.calm else Regularity.POPULATION
    lines = _read(given.out)
    done = {line["seed"] for line in lines}
    left = [(seed, regularity) for seed in range(given.mouths) if seed not in done]
    with ProcessPoolExecutor(given.processes) as pool:
        for line in pool.map(judged, left):
            lines.append(line)
            if given.out:
                with given.out.open("a", encoding="utf-8") as kept:
                    kept.write(json.dumps(line) + "\n")
            if len(lines) % 20 == 0:
                print(f"{len(lines)} mouths", flush=True)
    print(summary(lines))


def judged(case: tuple[int, Regularity]) -> dict[str, Any]:
    """One mouth: its worst gap, its unclosed teeth, and what it cost."""
    seed, regularity = case
    mouth = population_mouth(seed, regularity=regularity)
    outlines = build_outlines(mouth)
    started = time.process_time()
    for _ in range(REPEATS):
        build_outlines(mouth)
    outlines_ms = 1e3 * (time.process_time() - started) / REPEATS
    gaps = [abs(site.gap_mm - mouth.contacts[site.pair].gap_mm) for site in outlines.sites]
    started = time.process_time()
    unclosed = _unclosed(outlines, SIDES[seed % 2])
    return {
        "seed": seed,
        "worst_gap_mm": round(max(gaps), 4),
        "outlines_ms": round(outlines_ms, 2),
        "side_s": round(time.process_time() - started, 2),
        "unclosed": unclosed,
    }


def _unclosed(outlines: Outlines, quadrants: tuple[int, int]) -> list[str]:
    """Surfaces of one side's teeth that are open or wound inward."""
    codes = tuple(code for code in outlines.codes if code // 10 in quadrants)
    found = []
    for shells in tooth_shells(outlines, codes):
        for name in ("outer", "dentine", "pulp"):
            mesh = getattr(shells, name)
            if mesh.unmatched_edge_count() or mesh.volume_mm3 <= 0.0:
                found.append(f"{shells.code} {name}")
    return found


def summary(lines: list[dict[str, Any]]) -> str:
    """The figures of all mouths in a few lines."""
    gaps, build, side = (
        np.array([line[name] for line in lines])
        for name in ("worst_gap_mm", "outlines_ms", "side_s")
    )
    bad = [f"{line['seed']}: {', '.join(line['unclosed'])}" for line in lines if line["unclosed"]]
    far = int((gaps > FAR_MM).sum())
    return "\n".join(
        [
            f"{len(lines)} mouths, gaps off by {gaps.max():.3f} mm at most, {far} by over {FAR_MM}",
            f"outlines: median {np.median(build):.1f} ms, 95 % {np.quantile(build, 0.95):.1f}",
            f"a side of solid teeth: median {np.median(side):.1f} s, most {side.max():.1f}",
            f"mouths with a surface that is not closed: {len(bad)}",
            *bad,
        ]
    )


def _read(path: Path | None) -> list[dict[str, Any]]:
    if path is None or not path.is_file():
        return []
    return [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()]


if __name__ == "__main__":
    main()
