"""Write how wide intervals have to be, from a run of explained films.

Run ``python -m builders.interval_widths FILE`` in the top folder of the project, with the file that
``python -m benchmarks.explain --films 240 --crowns 480 --run 60 --out FILE`` made, the table being
as it was for that run. Films of this run are for fitting alone: accuracy is judged on another.
"""

import argparse
from collections.abc import Sequence
from pathlib import Path

import numpy as np

from bitewright.explanation.correction import COVERAGE, Part
from bitewright.explanation.interval_widths import interval_width
from bitewright.explanation.known_accuracy import view_kind
from bitewright.quality.views import view
from trials.explained_films import VIEWS, ExplainedFilm, Kind, of_kind, read_films

TOP = Path(__file__).resolve().parents[1]
TABLE = TOP / "src" / "bitewright" / "explanation" / "tables" / "interval_widths.toml"
LEAST, LEAST_OF_SWING = 1.0, 0.9
"""No interval is made narrower than so much of the estimate's own; the swing's, which holds besides
what no film tells, may be a little. Our choice: narrower ones that had held nine in ten on one run
held fewer on the next."""

HEAD = f"""\
# How many times as wide as the estimate's own spread intervals are made, by view and movement, so
# that nine in ten hold the truth: of all films of a fitting run, or of those of real crowns alone
# where these need more; at least {LEAST} times as wide as they are, of the swing {LEAST_OF_SWING}.
# Written by `python -m builders.interval_widths`: not to be edited by hand.

"""


def main() -> None:
    """Measure, write, and say where."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("file", type=Path, help="lines of benchmarks/explain.py --out")
    every = read_films(parser.parse_args().file)
    crowns = of_kind(every, Kind.CROWNS)
    both = [*of_kind(every, Kind.OUTLINES), *crowns]
    lines = [HEAD]
    for name in VIEWS:
        region = view(name).region
        lines.append(f'[widths."{view_kind(region)}"]')
        for part in Part:
            needed = max(
                _needed([each for each in films if each.view == name], part)
                for films in (both, crowns)
            )
            least = LEAST_OF_SWING if part is Part.SWING else LEAST
            width = max(least, needed * interval_width(region, part))
            lines.append(f"{part.value} = {width:.2f}")
        lines.append("")
    TABLE.write_text("\n".join(lines), encoding="utf-8")
    print(f"wrote {TABLE}")


def _needed(films: Sequence[ExplainedFilm], part: Part) -> float:
    """How many times wider nine in ten intervals would have to be, at least, to hold the truth."""
    ratios = [abs(each.error[part]) / each.half[part] for each in films]
    return float(np.quantile(ratios, COVERAGE))


if __name__ == "__main__":
    main()
