"""Drawn mouths one by one: valid, their solid teeth closed, solids and outlines agreeing, and cost.

What `benchmarks/drawn_mouths.py` runs and `builders/drawn_solids_page.py` writes down.
"""

import time
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from bitewright.mouth.crown_lines import ROW_MM, CrownLines
from bitewright.mouth.mouth_description import mouth_from_description, mouth_to_description
from bitewright.mouth.open_direction import across_beams
from bitewright.mouth.outlines import ContactSite, Outlines, build_outlines
from bitewright.mouth.population_mouth import Regularity, population_mouth
from bitewright.planning.open_fans import overlaps_at_mm
from bitewright.solids.tooth_shells import ToothShells, tooth_shells
from trials.kept_lines import Line

Floats = NDArray[np.float64]
Case = tuple[int, str]
"""Number of a mouth, and its regularity by name."""

REPEATS = 5
SIDES = ((1, 4), (2, 3))
SWINGS_DEG = (-10.0, -8.0, -6.0, 0.0, 6.0, 8.0, 10.0)
FAR_MM, AGREEING_MM = 0.02, 0.03
DEPTHS_MM = (1.5, 2.0, 2.5, 3.0)
BELOW_MM, ABOVE_MM = 2.0, 1.5
"""Between which heights beside a contact its overlap is looked for in solids."""


def cases(count: int, regularity: Regularity) -> list[Case]:
    """The first mouths of a kind."""
    return [(seed, regularity.name) for seed in range(count)]


def key_of(line: Line) -> Case:
    """Which case a line is of."""
    return int(line["seed"]), str(line["regularity"])


def judged_mouth(case: Case) -> Line:
    """One mouth: what is wrong with it, how far solids lie from outlines, and what it cost."""
    seed, regularity = case
    mouth = population_mouth(seed, regularity=Regularity[regularity])
    outlines = build_outlines(mouth)
    started = time.process_time()
    for _ in range(REPEATS):
        build_outlines(mouth)
    outlines_ms = 1e3 * (time.process_time() - started) / REPEATS
    gaps = [abs(site.gap_mm - mouth.contacts[site.pair].gap_mm) for site in outlines.sites]
    codes = tuple(code for code in outlines.codes if code // 10 in SIDES[seed % 2])
    started = time.process_time()
    shells = tooth_shells(outlines, codes)
    side_s = time.process_time() - started
    return {
        "seed": seed,
        "regularity": regularity,
        "teeth": len(outlines.codes),
        "allowed": mouth_from_description(mouth_to_description(mouth)).teeth == mouth.teeth,
        "finite": bool(np.isfinite(outlines.flanks_mouth).all()),
        "worst_gap_mm": round(max(gaps), 4),
        "unclosed": unclosed(shells),
        "solids": [
            [name, round(off, 3), round(below, 2)]
            for name, off, below in solids_beside_outlines(outlines, shells, right=seed % 2 == 0)
        ],
        "outlines_ms": round(outlines_ms, 2),
        "side_s": round(side_s, 2),
    }


def unclosed(shells: Sequence[ToothShells]) -> list[str]:
    """Surfaces of teeth that are open or wound inward."""
    found = []
    for each in shells:
        for name in ("outer", "dentine", "pulp"):
            mesh = getattr(each, name)
            if mesh.unmatched_edge_count() or mesh.volume_mm3 <= 0.0:
                found.append(f"{each.code} {name}")
    return found


def solids_beside_outlines(
    outlines: Outlines, shells: Sequence[ToothShells], *, right: bool
) -> list[tuple[str, float, float]]:
    """Each contact from canines back: its name, and two lengths in mm.

    By how much solids overlap more than outlines where they differ most, in level parallel beams up
    to 10 degrees off the open direction; and how far the contact lies below the nearer top of its
    two crowns.
    """
    lines = {each.code: CrownLines.of_mesh(each.outer) for each in shells if each.code % 10 >= 3}
    found = []
    for site in outlines.sites:
        if not set(site.pair) <= set(lines):
            continue
        front, back = (lines[code] for code in site.pair)
        azimuths = site.open_azimuth_deg + np.array(SWINGS_DEG)
        expected = overlaps_at_mm(outlines, site, azimuths, vertical_deg=0.0)
        off = [
            solid_overlap_mm(front, back, site, along) - other
            for along, other in zip(across_beams(azimuths, right=right), expected, strict=True)
        ]
        below = min(_below_top_mm(outlines, site, code) for code in site.pair)
        found.append((site.name, float(off[int(np.abs(off).argmax())]), below))
    return found


def _below_top_mm(outlines: Outlines, site: ContactSite, code: int) -> float:
    row = outlines.row[code]
    height = (site.point_mouth - outlines.origins_mouth[row]) @ outlines.axes_mouth[row, 2]
    return float(outlines.cusps.tips_tooth[row, :, 2].max() - height)


def solid_overlap_mm(
    front: CrownLines, back: CrownLines, site: ContactSite, along: Floats
) -> float:
    """Widest overlap of two solids over level cuts near their contact, along (3,). [mm]"""
    height = site.point_mouth[2]
    lowest = int(np.floor((height - BELOW_MM - 0.5) / ROW_MM))
    ends = []
    for lines, sign in ((front, -1.0), (back, 1.0)):
        points = lines.between(height - BELOW_MM, height + ABOVE_MM).level_points_mouth()
        row = np.rint(points[:, 2] / ROW_MM).astype(int) - lowest
        best = np.full(60, -np.inf)
        np.maximum.at(best, row, sign * (points @ along))
        ends.append(best)
    return float((ends[0] + ends[1]).max())


def mouths_table(lines: Sequence[Line]) -> str:
    """What was found of all mouths, as a Markdown table."""
    gaps, build, side = (
        np.array([line[name] for line in lines])
        for name in ("worst_gap_mm", "outlines_ms", "side_s")
    )
    off = np.abs([off for line in lines for _, off, _ in line["solids"]])
    valid = sum(line["allowed"] and line["finite"] for line in lines)
    closed = sum(not line["unclosed"] for line in lines)
    rows = [
        ("mouths drawn", f"{len(lines):,}"),
        ("within a mouth file's limits, outlines built", f"{valid:,}"),
        (f"no gap off by more than {FAR_MM} mm", f"{int((gaps <= FAR_MM).sum()):,}"),
        ("worst gap off by", f"{gaps.max():.3f} mm"),
        ("every surface of one side's solid teeth closed, wound outward", f"{closed:,}"),
        ("contacts of solids beside outlines'", f"{len(off):,}"),
        (f"of these overlap agrees within {AGREEING_MM} mm", f"{_share(off <= AGREEING_MM)}"),
        ("within 0.06 mm", _share(off <= 0.06)),
        ("within 0.10 mm", _share(off <= 0.10)),
        ("outlines, processor time, median", f"{np.median(build):.1f} ms"),
        ("outlines, 95 of 100 below", f"{np.quantile(build, 0.95):.1f} ms"),
        ("a side of solid teeth, median", f"{np.median(side):.1f} s"),
        ("a side of solid teeth, longest", f"{side.max():.1f} s"),
    ]
    bad = [f"{line['seed']} ({', '.join(line['unclosed'])})" for line in lines if line["unclosed"]]
    text = "| what | found |\n| --- | ---: |\n"
    text += "\n".join(f"| {name} | {value} |" for name, value in rows)
    return text + (f"\n\nNot closed: {'; '.join(bad)}." if bad else "")


def agreement_table(lines: Sequence[Line]) -> str:
    """How far solids and outlines agree by kind of contact and by its depth, in Markdown."""
    kinds: dict[str, list[float]] = {}
    depths: dict[str, list[float]] = {}
    for line in lines:
        for name, off, below in line["solids"]:
            jaw = "upper" if name[0] in "12" else "lower"
            kinds.setdefault(f"{jaw} {name[1]}-{int(name[1]) + 1}", []).append(off)
            depths.setdefault(_depth_words(below), []).append(off)
    groups = {name: kinds[name] for name in sorted(kinds, key=lambda kind: (kind[0] != "u", kind))}
    groups |= {name: depths[name] for name in sorted(depths)}
    text = f"| contact | how many | within {AGREEING_MM} mm | mean | worst |\n"
    text += "| --- | ---: | ---: | ---: | ---: |"
    for name, values in groups.items():
        off = np.array(values)
        worst = off[int(np.abs(off).argmax())]
        text += (
            f"\n| {name} | {len(off):,} | {_share(np.abs(off) <= AGREEING_MM)} "
            f"| {off.mean():+.3f} | {worst:+.2f} |"
        )
    return text


def _depth_words(below_mm: float) -> str:
    low = max((edge for edge in DEPTHS_MM if edge <= below_mm), default=0.0)
    high = min((edge for edge in DEPTHS_MM if edge > below_mm), default=None)
    return f"{low:.1f} mm or more below a top" if high is None else f"{low:.1f} to {high:.1f} mm"


def _share(which: NDArray[np.bool_]) -> str:
    return f"{100.0 * which.mean():.1f}%"


__all__ = [
    "agreement_table",
    "cases",
    "judged_mouth",
    "key_of",
    "mouths_table",
    "solid_overlap_mm",
    "solids_beside_outlines",
    "unclosed",
]
