"""Write the tables that mouths are drawn from, measured on a population of real crowns.

Run ``python -m builders.population_tables`` in the top folder of the project, with the shared data
beside it or where BITEWRIGHT_SHARED says: some minutes. Only derived figures are written.
"""

import os
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from bitewright.mouth.outlines import Outlines, build_outlines
from bitewright.mouth.population_table import forget_table
from bitewright.mouth.standard_mouth import standard_mouth
from trials.crown_forms import FIELDS, crown_forms
from trials.crown_population import FOLDER, PLACES, CrownPopulation, read_population
from trials.population_contacts import mean_open_deg

Floats = NDArray[np.float64]

TOP = Path(__file__).resolve().parents[1]
TABLE = TOP / "src" / "bitewright" / "mouth" / "tables" / "population.toml"
SHARED = Path(os.environ.get("BITEWRIGHT_SHARED") or TOP.parent / "shared")
DRAWS = 150
SEED = 2023
HALVES = {"maxilla": (10, 20), "mandible": (40, 30)}

Kind = tuple[str, int]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class MeasuredCrowns:
    """Crowns of one kind: mean (7,) and directions (W, 7), in `FIELDS`, and mean width. [mm]"""

    mean: Floats
    directions: Floats
    width_mm: float


ROUNDS, STEP = 6, 0.6
"""How often flanks and arches are corrected, and by what share of what is left."""

OPENING = """\
# Crowns and places of a population of real dentitions, in the outlines' terms.
# Written by `python -m builders.population_tables`; do not edit by hand.
#
# Measured on statistics of some 130 people's scans (orthodontic patients: more irregular than
# people in general) of the repository SJTUzhou/3D-Teeth-Reconstruction-from-Five-Intra-oral-Images,
# commit 4754279, folder ssm: Y. Chen, S. Gao, P. Tu, X. Chen, "Automatic 3D Teeth Reconstruction
# from Five Intra-oral Photos Using Parametric Teeth Model", IEEE TVCG 2023,
# doi 10.1109/TVCG.2023.3277914. MIT licence, its notice at the end of this file.
# Figures alone, of no person. Both sides are taken together. Teeth 1 to 7 from the midline.
format = "bitewright.population/1"
"""

NOTICE = Path(FOLDER) / "LICENSE"


def main() -> None:
    """Measure, write, and say where."""
    population = read_population(SHARED / FOLDER)
    crowns = {
        (arch, place): measured_crowns(population, place, halves)
        for arch, halves in HALVES.items()
        for place in PLACES
    }
    larger = dict.fromkeys(HALVES, 1.0)
    for turn in range(ROUNDS):
        _write(population, crowns, larger)
        forget_table()
        standard_mouth.cache_clear()
        middle = build_outlines(standard_mouth())
        worst = _turned_open(population, middle, crowns)
        _enlarged(population, middle, crowns, larger)
        print(f"round {turn + 1}: arches {larger}, worst contact {worst:.2f} degrees", flush=True)
    _write(population, crowns, larger)
    print(f"wrote {TABLE}")


def _write(
    population: CrownPopulation, crowns: dict[Kind, MeasuredCrowns], larger: dict[str, float]
) -> None:
    lines = [OPENING, *_sizes(population)]
    for arch, halves in HALVES.items():
        lines += ["", f"[{arch}]", *_arch(population, arch, larger[arch])]
        lines += _places(population, halves)
        for place in PLACES:
            lines += ["", f"[{arch}.crowns.{place}]", *_crowns(crowns[arch, place])]
    lines += ["", *(f"# {line}".rstrip() for line in (SHARED / NOTICE).read_text().splitlines())]
    TABLE.write_text("\n".join(lines) + "\n", encoding="utf-8")


def _turned_open(
    population: CrownPopulation, middle: Outlines, crowns: dict[Kind, MeasuredCrowns]
) -> float:
    """Turn flanks so that mean outlines are open as mean crowns; the worst still off. [deg]

    Sections are not quite the crowns' own outlines; what is left is given to both flanks.
    """
    worst = 0.0
    for arch, (right, left) in HALVES.items():
        for place in PLACES[:-1]:
            pairs = [(half + place, half + place + 1) for half in (right, left)]
            wanted = np.mean([mean_open_deg(population, pair) for pair in pairs])
            given = np.mean([middle.site[pair].open_azimuth_deg for pair in pairs])
            crowns[arch, place].mean[3] += STEP * float(wanted - given)
            crowns[arch, place + 1].mean[2] += STEP * float(wanted - given)
            worst = max(worst, abs(float(wanted - given)))
    return worst


def _enlarged(
    population: CrownPopulation,
    middle: Outlines,
    crowns: dict[Kind, MeasuredCrowns],
    larger: dict[str, float],
) -> None:
    """Give crowns their measured widths, and arches the room that teeth need which touch.

    Mean crowns at mean places reach into one another: in crowded arches teeth stand side by side.
    """
    for (arch, place), crown in crowns.items():
        row = middle.row[HALVES[arch][1] + place]
        local = middle.flanks_mouth[row].reshape(-1, 3) @ middle.axes_mouth[row, 0]
        crown.mean[0] *= crown.width_mm / float(np.ptp(local))
    for arch, (_, left) in HALVES.items():
        wanted = population.middles(upper=arch == "maxilla")
        given = np.array([middle.crown_middle_mouth(left + place)[:2] for place in PLACES])
        long = [float(np.hypot(*np.diff(line, axis=0).T).sum()) for line in (given, wanted)]
        larger[arch] *= (long[0] / (long[1] * larger[arch])) ** 0.8


def _arch(population: CrownPopulation, arch: str, larger: float) -> list[str]:
    form = population.arches[arch == "maxilla"].form
    fields = ("width_mm", "depth_mm", "canine_width_mm", "canine_depth_mm")
    return [
        "# The polynomial arch nearest the mean crowns' middles, larger by as much as teeth that",
        f"# touch need more room: {larger:.3f} times. [mm]",
        *(f"{field} = {larger * getattr(form, field):.2f}" for field in fields),
    ]


def _places(population: CrownPopulation, halves: tuple[int, int]) -> list[str]:
    """How teeth stand: mean distance from the arch, and every spread."""
    both = [[half + place for half in halves] for place in PLACES]
    out = [np.mean([population.stands(code).out_of_line_mm for code in pair]) for pair in both]
    lines = [
        "# Mean distance of the crowns' middles from that arch, to the cheek. [mm]",
        _row("out_of_line_mm", out),
        "# Standard deviations about their means, with what whole arches share. [degrees, mm]",
    ]
    spreads = [[population.place_deviations(code) for code in pair] for pair in both]
    for field in spreads[0][0]:
        square = [np.mean([each[field] ** 2 for each in pair]) for pair in spreads]
        lines.append(_row(f"{field.replace('_', '_sd_')}", np.sqrt(square)))
    return lines


def _sizes(population: CrownPopulation) -> list[str]:
    """Sizes as shares: what all teeth of a mouth have together, a kind on both sides, a tooth."""
    order = [half + place for half in (10, 40, 20, 30) for place in PLACES]
    rows = [population.codes.index(code) for code in order]
    own = population.sizes[np.ix_(rows, rows)]
    within = 0.5 * (own[:14, :14] + own[14:, 14:])
    across = 0.5 * (own[:14, 14:] + own[14:, :14])
    shared = 0.5 * (within + across)
    loading = _one_factor(shared)
    alike = np.maximum(np.diag(across) - loading**2, 0.0)
    lines = [
        "",
        "# Standard deviations of crown sizes, as shares: what a whole mouth has together, what a",
        "# kind has on both sides beyond that, and what a tooth has alone.",
        "[sizes]",
    ]
    for start, arch in ((0, "maxilla"), (7, "mandible")):
        part = slice(start, start + 7)
        alone = np.maximum(np.diag(within) - np.diag(across), 0.0)
        lines += [
            _row(f"{arch}_together", loading[part]),
            _row(f"{arch}_both_sides", np.sqrt(alike)[part]),
            _row(f"{arch}_alone", np.sqrt(alone)[part]),
        ]
    return lines


def _one_factor(covariance: Floats) -> Floats:
    """Loadings (n,) whose products are nearest a covariance (n, n) beside its diagonal."""
    own = covariance.copy()
    for _ in range(200):
        values, vectors = np.linalg.eigh(own)
        loading = vectors[:, -1] * np.sqrt(values[-1])
        np.fill_diagonal(own, loading**2)
    return np.asarray(np.abs(loading))


def measured_crowns(
    population: CrownPopulation, place: int, halves: tuple[int, int]
) -> MeasuredCrowns:
    """Mean form of a kind and the directions in which its crowns differ."""
    samples = []
    for half in halves:
        code = half + place
        scores = np.random.default_rng([SEED, code]).standard_normal((DRAWS, 30))
        mean = population.crowns_tooth(code, np.zeros((1, 30)))[0]
        samples.append(
            crown_forms(code, population.crowns_tooth(code, scores), mean).in_fields(code)
        )
    means = np.mean([each.mean(axis=0) for each in samples], axis=0)
    spread = np.mean([np.cov(_with_shares(each).T) for each in samples], axis=0)
    values, vectors = np.linalg.eigh(spread / np.outer(_UNITS, _UNITS))
    ways = (vectors * np.sqrt(np.maximum(values, 0.0))).T[::-1] * _UNITS
    print(f"place {place} measured", flush=True)
    return MeasuredCrowns(mean=means, directions=ways, width_mm=float(means[0]))


def _crowns(crowns: MeasuredCrowns) -> list[str]:
    named = ("md_mm", "bl_mm", *FIELDS[2:])
    return [
        *(f"{field} = {mean:.3f}" for field, mean in zip(named, crowns.mean, strict=True)),
        f"# Each row moves {', '.join(FIELDS)} by one standard deviation.",
        "directions = [",
        *(f"  [{', '.join(f'{value:.4f}' for value in way)}]," for way in crowns.directions),
        "]",
    ]


def _with_shares(crowns: Floats) -> Floats:
    """The same with widths and breadths as logarithms of their share of the mean."""
    shares = np.log(crowns[:, :2] / crowns[:, :2].mean(axis=0))
    return np.column_stack([shares, crowns[:, 2:]])


_UNITS = np.array([0.05, 0.05, 4.0, 4.0, 0.2, 0.4, 0.4])
"""Usual sizes of deviations, so that directions are found among figures of one size."""


def _row(name: str, values: Iterable[float]) -> str:
    return f"{name} = [{', '.join(f'{value:.3f}' for value in values)}]"


if __name__ == "__main__":
    main()
