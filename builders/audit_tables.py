"""Write what docs/audit-methods.md says of simulated records and school years.

Run ``python -m builders.audit_tables --records RECORDS --years YEARS`` in the top folder of the
project, with the files that ``benchmarks/simulated_records.py`` and
``benchmarks/simulated_years.py`` made with ``--out``, or with one of them. It writes their tables
of the page, between the comments that mark them, and keeps what the runs found of their first
records: a test judges these again and fails when the code has changed since.
"""

import argparse
import tomllib
from collections.abc import Mapping
from pathlib import Path

import tomli_w

from benchmarks.simulated_records import (
    CIRCUMSTANCES,
    CORRELATIONS,
    NULL_SIZES,
    SIZES,
    read_blocks,
    totals,
)
from benchmarks.simulated_years import ERROR_BANDS, KINDS, error_words, read_years, together
from bitewright.audit.proportions import share_of
from bitewright.audit.simulated_school import KEPT_OF_N, SchoolPlan, planned_odds
from builders.tables_in_pages import write_tables

TOP = Path(__file__).resolve().parents[1]
PAGE = TOP / "docs" / "audit-methods.md"
FIRST = TOP / "benchmarks" / "audit_first_records.toml"
HEAD = """\
# What the runs behind docs/audit-methods.md said of their first records and years.
# Written by builders/audit_tables.py: not to be edited by hand.

"""
AGAIN = (
    "target 60 0.4 alike",
    "target 500 0.2 alike",
    "coverage 116 0.3 alike",
    "null 180 0.3 alike",
    "null 180 0.3 season-named",
    "null 180 0.3 learning-named",
)
"""Cells whose first block a test judges again: quick ones."""

Counts = Mapping[str, Mapping[str, int]]
WORDS = {
    "alike": "films of a patient alike (correlation 0.3)",
    "independent": "all films independent",
    "wander": "weeks wander by themselves (15%, neighbours correlated 0.6)",
    "season": "a season of 20% either way, not named",
    "season-named": "the same, quarters named as seasons",
    "learning": "everybody learns (a tenth less each time the weeks double), not named",
    "learning-named": "the same, learning named",
}
QUESTIONS = ("unnamed change", "drift", "named change", "chart")
TRUTHS = {
    "new receptors, 10% to 16%: before and after differ": "new receptors: before and after differ",
    "changed technique, 16% to 9%: before and after differ": (
        "changed technique: before and after differ"
    ),
    "any change found when nobody names a day": "any undated change",
    "that of month 4 dated within 3 weeks": "an undated change near month 4 (3 weeks)",
    "that of month 8, beside the closure, within 3 weeks": (
        "an undated change near month 8 (3 weeks)"
    ),
    "within 3 weeks with films, month 4": "an undated change near month 4 (3 open weeks)",
    "within 3 weeks with films, month 8": "an undated change near month 8 (3 open weeks)",
    "somebody who knows all rates: within 3 weeks, month 4": (
        "dated by somebody who knows all rates, month 4 (3 weeks)"
    ),
    "the same, month 8": "dated by somebody who knows all rates, month 8 (3 weeks)",
    "the same within 3 weeks with films, month 4": (
        "dated by somebody who knows all rates, month 4 (3 open weeks)"
    ),
    "the same within 3 weeks with films, month 8": (
        "dated by somebody who knows all rates, month 8 (3 open weeks)"
    ),
    "the range of weeks given holds the day, month 4": (
        "the range of weeks holds the day in month 4"
    ),
    "the range of weeks given holds the day, month 8": (
        "the range of weeks holds the day in month 8"
    ),
    "the first student who aims 6 degrees off": "student 1 with a biased aim",
    "the second": "student 2 with a biased aim",
    "either, standard error of the mean below 0.5 degrees": error_words(ERROR_BANDS[0]),
    "either, 0.5 to 0.6 degrees": error_words(ERROR_BANDS[1]),
    "either, 0.6 degrees or more": error_words(ERROR_BANDS[2]),
    "a student remarked on who was not planted": "a student remarked on who was not planted",
    "a remark on a mean that is truly not worth one": (
        "a remark on a part that is truly within its limit"
    ),
    "an operator beyond the funnel who is not biased": (
        "an operator beyond the funnel who is not biased"
    ),
    "anything at all": "anything at all",
    "anything that is not there": "anything that is not there",
    "95% intervals of means of contact error that hold": "95% intervals of contact_error_deg hold",
    "the same of the two biased students": "95% intervals of the biased students hold",
}


def main() -> None:
    """Write the tables and the first records, and say where."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--records", type=Path, help="of simulated_records; left out: as before")
    parser.add_argument("--years", type=Path, help="of simulated_years; left out: as before")
    given = parser.parse_args()
    tables = {"odds": odds_table()}
    first = tomllib.loads(FIRST.read_text(encoding="utf-8"))
    if given.records:
        blocks = read_blocks(given.records)
        found = totals(blocks)
        tables["targets"] = targets_table(found)
        tables["coverage"] = coverage_table(found)
        tables["nothing"] = nothing_table(found)
        first["records"] = {name: dict(blocks[name, 0]) for name in AGAIN}
    if given.years:
        years = read_years(given.years)
        tables["school"] = school_table({kind: together(years, kind) for kind in KINDS})
        first["years"] = {kind: dict(years[kind, 0]) for kind in KINDS}
    write_tables(PAGE, tables, said="written by builders/audit_tables.py")
    FIRST.write_text(HEAD + tomli_w.dumps(first), encoding="utf-8")
    print(f"wrote {PAGE} and {FIRST}")


def targets_table(found: Counts) -> str:
    """Targets met exactly: how often each verdict is given all the same."""
    head = ["films a year", *(f"correlation {each:g}" for each in CORRELATIONS)]
    rows = [
        [str(films), *(_verdicts(found[f"target {films} {each:g} alike"]) for each in CORRELATIONS)]
        for films in SIZES
    ]
    return table(head, rows)


def _verdicts(counts: Mapping[str, int]) -> str:
    said = [percent(counts[name], counts["records"]) for name in ("missed", "met")]
    return f"missed {said[0]}; met {said[1]}"


def coverage_table(found: Counts) -> str:
    """Intervals of a rate of 12% that hold it."""
    names = [name for name in found if name.startswith("coverage ")]
    sizes = sorted({int(name.split()[1]) for name in names})
    correlations = sorted({float(name.split()[2]) for name in names})
    head = ["films", "patients", *(f"correlation {each:g}" for each in correlations)]
    rows = []
    for films in sizes:
        cells = [found[f"coverage {films} {each:g} alike"] for each in correlations]
        shown = [percent(cell["held"], cell["records"]) for cell in cells]
        rows.append([str(films), f"about {films // 4}", *shown])
    return table(head, rows)


def nothing_table(found: Counts) -> str:
    """What is said of records in which nothing changed, each question alone at 5%."""
    head = ["what moves the rate", "films a year", *QUESTIONS[:3], "any point of the chart"]
    rows = []
    for name in CIRCUMSTANCES:
        correlation = 0.0 if name == "independent" else 0.3
        for films in NULL_SIZES:
            counts = found[f"null {films} {correlation:g} {name}"]
            shown = [percent(counts[each], counts["records"]) for each in QUESTIONS]
            if not counts["charted"]:
                shown[-1] = "no chart"
            rows.append([WORDS[name], str(films), *shown])
    return table(head, rows)


def school_table(found: Counts) -> str:
    """What is found in school years with and without what is planted."""
    head = ["", *(f"{kind} ({found[kind]['years']} years)" for kind in KINDS)]
    rows = []
    for words, name in TRUTHS.items():
        cells = [_of_years(found[kind], name) for kind in KINDS]
        rows.append([words, *cells])
    return table(head, rows)


def _of_years(counts: Mapping[str, int], name: str) -> str:
    if name not in counts:
        return ""
    return percent(counts[name], counts.get(f"of {name}", counts["years"]))


def odds_table() -> str:
    """The planner's odds for an unbiased student beside the school's own rates."""
    odds, plan = planned_odds(), SchoolPlan(first_day=0)
    middle = odds["means_deg"].index(0.0)
    head = ["", "planner: some criterion fails", "school: graded N", "school: rejected"]
    rows = []
    for title, receptor, rate in (
        ("plates, before the new receptors", "plate-2", plan.rate_at_first),
        ("rigid sensors, the new receptors", "sensor-2", plan.rate_with_new_receptors),
    ):
        views = odds[receptor]
        shown = ", ".join(
            f"{name.removeprefix('right-')} {each[middle]:.0%}" for name, each in views.items()
        )
        rows.append([title, shown, f"{rate / (1.0 - KEPT_OF_N):.1%}", f"{rate:.1%}"])
    return table(head, rows)


def percent(count: int, among: int) -> str:
    """A share of simulated records with its own 95% interval (Wilson)."""
    share = share_of(count, among)
    return f"{share.share:.1%} ({100 * share.low:.1f} to {100 * share.high:.1f})"


def table(head: list[str], rows: list[list[str]]) -> str:
    """A table in Markdown."""
    lines = [head, ["---"] * len(head), *rows]
    return "\n".join(f"| {' | '.join(line)} |" for line in lines)


if __name__ == "__main__":
    main()
