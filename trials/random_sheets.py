"""How random sheets come in: `python -m trials.random_sheets --count 100`.

Each is drawn from a number (`trials.sheet_layouts`), its questions answered from its exposures as
in `trials.sheet_answers`, five at most. Told: sheets wholly right, exposures right, those that
came in wrong without a fault being told, and which traits go with failing. That a sheet of one's
own drawing comes in says little of one that somebody else keeps.
"""

import argparse
from collections import Counter

from trials.messy_sheets import Outcome, outcome_of
from trials.sheet_layouts import random_sheet


def main() -> None:
    """Print what came of them."""
    asked = argparse.ArgumentParser(prog="python -m trials.random_sheets")
    asked.add_argument("--count", type=int, default=40)
    asked.add_argument("--first", type=int, default=1)
    asked.add_argument("--odd", type=float, default=0.15, help="chance of words of no table")
    asked.add_argument("--all", action="store_true", help="what went wrong with each sheet")
    given = asked.parse_args()
    told: list[tuple[Outcome, dict[str, str]]] = []
    for seed in range(given.first, given.first + given.count):
        drawn = random_sheet(seed, given.odd)
        found = outcome_of(drawn.workbook, f"{seed}", drawn.expected)
        told.append((found, drawn.traits))
        if given.all and not found.is_right:
            print(f"{seed}: {found.right} of {found.expected}, {drawn.traits}")
            print(f"      {'; '.join(found.said)[:300]}")
            print(f"      {found.refused} {dict(found.differences)} open {found.open}")
            for line in [*found.examples[:3], *found.missed[:3], *found.extra[:2]]:
                print(f"        {line[:170]}")
    _print_traits(told)
    right = sum(each.right for each, _ in told)
    wrong = sum(each.taken - each.right + len(each.extra) for each, _ in told)
    expected = sum(each.expected for each, _ in told)
    print(
        f"{sum(each.is_right for each, _ in told)} of {len(told)} sheets wholly right, {right} of "
        f"{expected} exposures ({right / max(1, expected):.1%}), {wrong} came in wrong, "
        f"{sum(each.answers for each, _ in told) / max(1, len(told)):.1f} answers each"
    )


def _print_traits(told: list[tuple[Outcome, dict[str, str]]]) -> None:
    """Traits with the share of their sheets that are right, the worst first."""
    there, right = Counter[str](), Counter[str]()
    for found, traits in told:
        for name in (f"{trait} {value}" for trait, value in traits.items()):
            there[name] += 1
            right[name] += found.is_right
    worst = sorted(there, key=lambda name: right[name] / there[name])
    for name in worst[:12]:
        if there[name] >= 3:
            print(f"  {name}: {right[name]} of {there[name]}")


if __name__ == "__main__":
    main()
