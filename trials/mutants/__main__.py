"""Plants every bug, or those of the packages named, and says which the tests do not catch."""

import argparse
import os

from trials.mutants.drawing import DRAWN, mutants
from trials.mutants.page import PAGE, bug, page
from trials.mutants.reach import reach_of_tests, refresh_base
from trials.mutants.trial import tried


def run() -> None:
    """Plants the bugs; takes up again where it was stopped."""
    parser = argparse.ArgumentParser(prog="python -m trials.mutants", description=__doc__)
    parser.add_argument("packages", nargs="*", metavar="PACKAGE", help=", ".join(DRAWN))
    parser.add_argument("--workers", type=int, default=min(os.cpu_count() or 1, 4))
    given = parser.parse_args()
    unknown = set(given.packages) - set(DRAWN)
    if unknown:
        parser.error(f"no such package: {', '.join(unknown)}; there are {', '.join(DRAWN)}")
    planted = mutants()
    wanted = [each for each in planted if each.package in (given.packages or DRAWN)]
    refresh_base()
    found = []
    for mutant, verdict, is_known in tried(wanted, reach_of_tests(given.workers), given.workers):
        found.append((mutant, verdict))
        if not is_known:
            said = f"caught by {verdict.by}" if verdict.by else "NOT CAUGHT"
            where = f"{mutant.module}:{mutant.function}"
            print(f"{len(found)}/{len(wanted)} {where} {bug(mutant)}: {said}", flush=True)
    order = {mutant.name: place for place, mutant in enumerate(planted)}
    text = page(sorted(found, key=lambda each: order[each[0].name]))
    if not given.packages:
        PAGE.write_text(text, "utf-8")
    print(text)


if __name__ == "__main__":
    run()
