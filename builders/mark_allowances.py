"""Write how far real crowns' edges and cusps lie from outlines of the same form, for the estimator.

Run ``python -m builders.mark_allowances`` in the top folder of the project, with the shared data
beside it or where BITEWRIGHT_SHARED says: a minute or two. Real crowns of a population are stood in
the places of drawn mouths' teeth, outlines of the crowns' own forms beside them; both are exposed
alike, and where each landmark falls is compared.
"""

import argparse
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from itertools import chain, pairwise
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from bitewright.exposing.landmarks import Landmarks
from bitewright.exposing.project import project
from bitewright.exposing.targets import targets
from bitewright.mouth.population_mouth import population_mouth
from bitewright.quality.views import view
from trials.crowned_films import crowned_view, shared_population
from trials.known_films import Equipment, slipped
from trials.population_crowns import APART_MM
from trials.project_meshes import project_meshes

Floats = NDArray[np.float64]

TOP = Path(__file__).resolve().parents[1]
TABLE = TOP / "src" / "bitewright" / "estimation" / "tables" / "allowances.toml"
FIRST_SEED, MOUTHS, EXPOSURES = 1000, 24, 8
VIEWS = ("right-premolar", "right-molar")
HALF_GAP_MM = 0.5 * APART_MM[0]
"""Crowns here stand apart as scanned neighbours do, which in the mouth may touch: half of that is
taken for the truth, with as much doubt. That a film shows edges apart is taken off before."""

BINS_MM = (-0.2, 0.0, 0.2, 0.5, 1.0, 1.5, 2.5)

CHOSEN = """\
# Our choice, where crowns alone tell nothing: both edges of a contact together along the row, a
# free edge, an edge's height (a person marks an overlap where it is widest or where it is
# clearest), junctions, crests, the lower row's height against the upper, and how heavy tails are
# (degrees of freedom of Student's t).
contact_sd_mm = 0.2
free_edge_sd_mm = 0.3
edge_height_sd_mm = 1.0
cej_sd_mm = 0.3
crest_sd_mm = 0.25
jaw_sd_mm = 0.8
freedom = 4.0
"""

HEAD = """\
# How far real teeth's structures lie from the estimator's, beside a mark's own spread, in mm at the
# receptor.
# Written by `python -m builders.mark_allowances`: not to be edited by hand.
#
# Measured on crowns drawn from statistics of some 130 people's scans (Y. Chen, S. Gao, P. Tu,
# X. Chen, IEEE TVCG 2023, doi 10.1109/TVCG.2023.3277914; MIT licence), set beside outlines of the
# same form, place and exposure: {contacts} contacts and {cusps} cusps of {mouths} mouths.
[marks]
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """Real crowns less outlines on the films of one mouth. [mm at the receptor]

    ``overlaps``: overlap of the real crowns at a contact, and how much more it is. ``cusps``: of
    each tooth's cusps, how far to the front of the crown's own edges, and how far down.
    """

    overlaps: tuple[tuple[float, float], ...]
    cusps: tuple[tuple[tuple[float, float], ...], ...]


def main() -> None:
    """Measure, write, and say where."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--processes", type=int, default=1)
    with ProcessPoolExecutor(parser.parse_args().processes) as pool:
        films = list(pool.map(compared, range(FIRST_SEED, FIRST_SEED + MOUTHS)))
    TABLE.write_text(table(films), encoding="utf-8")
    print(f"wrote {TABLE}")


def compared(seed: int) -> Compared:
    """Expose one mouth's real crowns and its outlines alike, several times."""
    generator = np.random.default_rng([9, seed])
    mouth = population_mouth(seed, may_lack_teeth=False)
    asked = view(VIEWS[seed % len(VIEWS)])
    of = crowned_view(shared_population(), mouth, asked, Equipment.usual(), seed=seed)
    outlined = targets(of.plan.station.outlines, asked.region)
    overlaps: list[tuple[float, float]] = []
    cusps: list[tuple[tuple[float, float], ...]] = []
    for _ in range(EXPOSURES):
        exposure = slipped(of.plan, generator)
        real, model = (
            _places(each)
            for each in (project_meshes(exposure, of.targets), project(exposure, outlined)[0])
        )
        overlaps += _overlaps(real, model, of.targets.pairs)
        cusps += _cusps(real, model, tuple(of.targets.crowns))
    return Compared(overlaps=tuple(overlaps), cusps=tuple(cusps))


def _places(marks: Landmarks) -> dict[str, Floats]:
    """To the front and down, by name. [mm]"""
    points = marks.points_receptor[0] * [marks.front_sign, 1.0]
    return dict(zip(marks.names, points, strict=True))


def _overlaps(
    real: dict[str, Floats], model: dict[str, Floats], pairs: tuple[tuple[int, int], ...]
) -> Iterator[tuple[float, float]]:
    for front, back in pairs:
        names = f"{back}.mesial", f"{front}.distal"
        if all(name in real for name in names):
            own, outlined = (each[names[0]][0] - each[names[1]][0] for each in (real, model))
            yield float(own), float(own - outlined)


def _cusps(
    real: dict[str, Floats], model: dict[str, Floats], codes: tuple[int, ...]
) -> Iterator[tuple[tuple[float, float], ...]]:
    for code in codes:
        edges = [real[name] - model[name] for name in (f"{code}.mesial", f"{code}.distal")]
        middle = np.mean(edges, axis=0)
        tips = [
            real[name] - model[name]
            for name in real
            if name.startswith(str(code)) and name.endswith(".cusp") and name in model
        ]
        if tips:
            down = float(np.mean([tip[1] for tip in tips]))
            yield tuple((float(tip[0] - middle[0]), float(tip[1]) - down) for tip in tips)


def table(films: list[Compared]) -> str:
    """The table: robust deviations, since tails are modelled besides."""
    overlap, more = np.array(list(chain.from_iterable(each.overlaps for each in films))).T
    middles, spreads = [], []
    for low, high in pairwise(BINS_MM):
        inside = (overlap >= low) & (overlap < high)
        middles.append(max(float(overlap[inside].mean()), 0.0))
        spreads.append(_spread(more[inside]))
    share, least = np.polyfit(middles, spreads, 1)
    apart = [-np.median([more for _, more in each.overlaps]) for each in films]
    teeth = [np.array(tips) for each in films for tips in each.cusps]
    many = [tips for tips in teeth if len(tips) > 1]
    alone = np.concatenate([tips[:, 0] - tips[:, 0].mean() for tips in many])
    freed = np.sqrt(np.mean([len(tips) / (len(tips) - 1) for tips in many]))
    heights = np.concatenate([tips[:, 1] for tips in many])
    together = np.array([tips[:, 0].mean() for tips in teeth])
    measured = {
        "overlap_sd_mm": float(least),
        "overlap_share": float(share),
        "edges_apart_mm": float(np.median(apart)) - HALF_GAP_MM,
        "edges_apart_sd_mm": float(np.hypot(np.std(apart, ddof=1), HALF_GAP_MM)),
        "cusp_sd_mm": float(freed) * _spread(alone),
        "cusps_sd_mm": _spread(together),
        "cusp_height_sd_mm": float(freed) * _spread(heights),
    }
    head = HEAD.format(contacts=len(more), cusps=sum(map(len, teeth)), mouths=len(films))
    lines = [f"{name} = {value:.2f}\n" for name, value in measured.items()]
    return f"{head}{''.join(lines)}\n{CHOSEN}"


def _spread(values: Floats) -> float:
    """The robust deviation, as 1.48 times the median distance from the median."""
    return 1.4826 * float(np.median(np.abs(values - np.median(values))))


if __name__ == "__main__":
    main()
