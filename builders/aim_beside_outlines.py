"""Write how far real crowns' best aim lies from that of outlines of the same crowns.

Run ``python -m builders.aim_beside_outlines --processes N`` in the top folder of the project, with
the shared data beside it or where BITEWRIGHT_SHARED says: ten minutes of one processor. Real crowns
of a population stand in the places of drawn mouths' teeth; the best aim is sought once with their
own overlaps and once with those of outlines of their forms. What a mouth's outlines leave out of
its best aim, no film of it tells.
"""

import argparse
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

import numpy as np

from bitewright.explanation.known_accuracy import view_kind
from bitewright.mouth.population_mouth import population_mouth
from bitewright.quality.views import view
from trials.crowned_films import crowned_view, shared_population
from trials.explained_films import VIEWS
from trials.known_films import Equipment
from trials.needed_swing import azimuth_deg

TOP = Path(__file__).resolve().parents[1]
TABLE = TOP / "src" / "bitewright" / "explanation" / "tables" / "aim_beside_outlines.toml"
FIRST_SEED, MOUTHS = 1000, 60

HEAD = """\
# How far the best swing of the tube for real crowns lies from that for outlines of the same crowns,
# root mean square over {mouths} mouths, by view. [deg]
# Measured on crowns drawn from statistics of some 130 people's scans (Y. Chen, S. Gao, P. Tu,
# X. Chen, IEEE TVCG 2023, doi 10.1109/TVCG.2023.3277914; MIT licence).
# Written by `python -m builders.aim_beside_outlines`: not to be edited by hand.
[swing_deg]
"""


def main() -> None:
    """Measure, write, and say where."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--processes", type=int, default=1)
    asked = [(seed, name) for name in VIEWS for seed in range(FIRST_SEED, FIRST_SEED + MOUTHS)]
    with ProcessPoolExecutor(parser.parse_args().processes) as pool:
        beside = np.array(list(pool.map(_beside_deg, *zip(*asked, strict=True))))
    TABLE.write_text(table(beside.reshape(len(VIEWS), MOUTHS).tolist()), encoding="utf-8")
    print(f"wrote {TABLE}")


def table(beside_deg: Sequence[Sequence[float]]) -> str:
    """The table, from one row of differences for each view."""
    lines = [
        f'"{view_kind(view(name).region)}" = {np.sqrt(np.mean(np.square(each))):.1f}\n'
        for name, each in zip(VIEWS, beside_deg, strict=True)
    ]
    return HEAD.format(mouths=len(beside_deg[0])) + "".join(lines)


def _beside_deg(seed: int, name: str) -> float:
    """Real crowns' best swing less their outlines', of one mouth. [deg]"""
    mouth = population_mouth(seed, may_lack_teeth=False)
    of = crowned_view(shared_population(), mouth, view(name), Equipment.usual(), seed=seed)
    return of.open.best_deg - azimuth_deg(of.plan, of.plan.exposure)


if __name__ == "__main__":
    main()
