"""Write the spreads that proposed marks state, from a trained network's films held out and varied.

    python -m builders.proposal_spreads out/network/network-varied.npz

Each is the root mean square error of a coordinate by sort of landmark and by how sure the heat map
is, the largest twentieth of errors cut to its least, times `WIDENED`.
"""

import argparse
from pathlib import Path

import numpy as np

from bitewright.proposing.channels import CHANNEL_COUNT, KINDS, SORTS
from bitewright.proposing.spreads import GATHERED, WIDENED
from bitewright.proposing.square import PIXEL_MM

TABLE = Path("src/bitewright/proposing/tables/spreads.toml")
LEAST_MM, MOST_MM, FEWEST = 0.12, 2.0, 40
"""A mark that may lie further off than the most is faint and doubted anyhow. Our choice."""

SAYS = {
    "edge": "Edges of crowns at contacts.",
    "junction": "Where enamel ends on the root.",
    "crest": "Corners of the bone.",
    "cusp": "Tops of cusps.",
}


def spreads(found: dict[str, np.ndarray]) -> dict[str, list[float]]:
    """By sort, for the three steps of how sure a heat map is. [mm]"""
    off = PIXEL_MM * (found["place"].astype(float) - found["true"])
    proposed = found["seen"] & (found["says"][:, :CHANNEL_COUNT] > 0.5)
    step = np.searchsorted(GATHERED, found["mass"])
    made = {}
    for sort in SAYS:
        own = np.array([SORTS[n % len(KINDS)] == sort for n in range(CHANNEL_COUNT)])
        steps: list[float] = []
        for wanted in (2, 1, 0):
            errors = np.abs(off[proposed & own & (step == wanted)]).ravel()
            if len(errors) < FEWEST:
                steps.append(min(2.0 * steps[-1], MOST_MM) if steps else 1.0)
                continue
            cut = np.minimum(errors, np.quantile(errors, 0.95))
            spread = WIDENED * float(np.sqrt(np.mean(cut**2)))
            spread = min(max(spread, LEAST_MM), MOST_MM)
            steps.append(max(round(spread, 2), steps[-1] if steps else 0.0))
        made[sort] = steps[::-1]
    return made


def main() -> None:
    """Write the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("varied", type=Path)
    given = parser.parse_args()
    with np.load(given.varied, allow_pickle=False) as file:
        made = spreads(dict(file))
    lines = [
        "# Standard deviations to state of proposed marks, by how sure the heat map is: least,",
        "# between, surest. Written by builders/proposal_spreads.py. Do not edit by hand.",
        'source = "our own simulated films"',
        (
            'fitted_to = "films of mouths never learnt from, varied as in training, errors times '
            f'{WIDENED:g}; see docs/proposed-marks.md"'
        ),
        "",
        *(
            f'{sort} = {{ value = {steps}, unit = "mm", says = "{SAYS[sort]}" }}'
            for sort, steps in made.items()
        ),
    ]
    TABLE.write_text("\n".join(lines) + "\n", encoding="utf-8")
    print(f"wrote {TABLE}: {made}")


if __name__ == "__main__":
    main()
