"""Count how steep films are at borders that are marked: what that tells of a mark's place.

    python -m builders.picture_borders --mouths 12

Films are of mouths of the network's makers, whose places are known; the mouths that
``builders.marks_off_border`` judges by are others.
"""

import argparse
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from bitewright.marking.picture_borders import (
    KINDS,
    PLACES_MM,
    kind_seen,
    outward_in_picture,
    slopes_beside,
)
from bitewright.mouth.tooth_forms import is_upper
from bitewright.quality.views import view
from builders.judged_films import judged_films
from trials.proposed_films import JudgedFilm

Floats = NDArray[np.float64]

TOP = Path(__file__).resolve().parents[1]
TABLE = TOP / "src" / "bitewright" / "marking" / "tables" / "picture_borders.toml"

FIRST_MOUTH = 100
"""The first mouth that is counted; `builders.proposed_marks_page` judges by earlier ones."""

MARK_SD_MM = 0.15
NEAR_MM, FAR_MM = 0.11, 0.3
"""A slope as near to the place is the border's, one further off than the second is not. [mm]"""

LIMITS = np.array([-9.0, -1.0, -0.3, 0.0, *np.arange(0.3, 4.4, 0.4), 9.0])
AT_LEAST = 2.0
"""Added to every count, so that what was never seen is not held impossible."""

HEAD = """\
# How much likelier a slope of the picture is at a border that a person marks than elsewhere within
# 1.5 mm of it: logarithms of ratios, by the slope over the root mean square of slopes there.
# Written by `python -m builders.picture_borders`: not to be edited by hand.
#
"""


def slopes_of(
    film: JudgedFilm, generator: np.random.Generator
) -> Iterator[tuple[str, Floats, float]]:
    """Of each mark set with a reader's noise: what it is, slopes beside it, and its true place.

    The place is along the way of looking, from the mark. [mm]
    """
    of_view = view(film.view)
    for name, place in film.places_mm.items():
        kind = kind_seen(name)
        if kind is None:
            continue
        off = generator.normal(0.0, MARK_SD_MM, 2)
        outward = outward_in_picture(name, of_view, mirrored=False)
        rootward = -1.0 if is_upper(int(name[:2])) else 1.0
        x, y = (place + off) / film.pixel_mm
        found = slopes_beside(
            film.pixels,
            (float(x), float(y)),
            pixel_mm=film.pixel_mm,
            kind=kind,
            outward=outward,
            rootward=rootward,
        )
        if found is not None:
            true = -rootward * off[1] if KINDS[kind] == "crest" else -outward * off[0]
            yield KINDS[kind], found, float(true)


def counted(films: Sequence[JudgedFilm]) -> dict[str, tuple[Floats, Floats]]:
    """Middles of slopes and logarithms of ratios, by what is marked."""
    generator = np.random.default_rng(0)
    at: dict[str, list[float]] = {}
    elsewhere: dict[str, list[float]] = {}
    for film in films:
        for kind, slopes, true in slopes_of(film, generator):
            away = np.abs(PLACES_MM - true)
            at.setdefault(kind, []).append(float(slopes[away <= NEAR_MM].max()))
            elsewhere.setdefault(kind, []).extend(slopes[away > FAR_MM])
    return {kind: _ratios(np.array(at[kind]), np.array(elsewhere[kind])) for kind in at}


def _ratios(at: Floats, elsewhere: Floats) -> tuple[Floats, Floats]:
    shares = []
    for values in (at, elsewhere):
        count = np.histogram(values, LIMITS)[0] + AT_LEAST
        shares.append(count / count.sum())
    middles = 0.5 * (LIMITS[1:] + LIMITS[:-1])
    middles[[0, -1]] = LIMITS[1] - 0.3, LIMITS[-2] + 0.3
    return middles, np.log(shares[0] / shares[1])


def written(tables: dict[str, tuple[Floats, Floats]], about: str) -> str:
    """The table as text."""
    lines = [HEAD + f"# {about}"]
    for kind in KINDS.values():
        slope, ratio = tables[kind]
        lines.append(f"[{kind}]")
        lines.append(f"slope = [{', '.join(f'{each:.2f}' for each in slope)}]")
        lines.append(f"log_ratio = [{', '.join(f'{each:.2f}' for each in ratio)}]\n")
    return "\n".join(lines)


def main() -> None:
    """Film, count, write, and say where."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--mouths", type=int, default=12)
    parser.add_argument("--processes", type=int, default=1)
    given = parser.parse_args()
    numbers = range(FIRST_MOUTH, FIRST_MOUTH + given.mouths)
    with ProcessPoolExecutor(given.processes) as pool:
        films = [film for own in pool.map(judged_films, numbers) for film in own]
    about = f"Counted on {len(films)} films of {given.mouths} mouths.\n"
    TABLE.write_text(written(counted(films), about), encoding="utf-8")
    print(f"wrote {TABLE}")


if __name__ == "__main__":
    main()
