"""Write what docs/explain-accuracy.md and our sentences say of a run of explained films.

Run ``python -m builders.explain_accuracy FILE`` in the top folder of the project, with the file
that ``python -m benchmarks.explain --out FILE`` made; with ``--next FILE`` the tables of next films
are of another run's. It writes the tables of the page, between the
comments that mark them, and the packaged table that sentences quote. That table also keeps what
the run found of its first films, one of each view: a test explains them again and fails when the
code has changed since.
"""

import argparse
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import tomli_w

from bitewright.explanation.correction import Part
from bitewright.explanation.known_accuracy import view_kind
from bitewright.quality.views import view
from builders.tables_in_pages import write_tables
from trials.explained_films import (
    VIEWS,
    Case,
    ExplainedFilm,
    Kind,
    of_kind,
    read_films,
    with_one_fault,
)
from trials.explained_tables import (
    confusion_table,
    direction_sentences,
    errors_table,
    failures_table,
    faults_table,
    held_table,
    kinds_table,
    marks_table,
    part_errors,
    told_table,
)
from trials.next_film_tables import every_next_film_table, next_film_table

TOP = Path(__file__).resolve().parents[1]
PAGE = TOP / "docs" / "explain-accuracy.md"
TABLE = TOP / "src" / "bitewright" / "explanation" / "tables" / "accuracy.toml"
RENEWED_BY = "benchmarks/explain.py and builders/explain_accuracy.py"
HEAD = f"""\
# How explanations of simulated films of real crowns did, of known exposures in mouths not known.
# Written by {RENEWED_BY}: not to be edited by hand.
# held: films whose 90% interval held the true movement; median_error in degrees or mm.

"""
DECIMALS = 4
SAID = "written by builders/explain_accuracy.py"


def main() -> None:
    """Write the page's tables and the packaged table, and say where."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("file", type=Path, help="lines of benchmarks/explain.py --out")
    parser.add_argument("--next", type=Path, help="another run's lines, for the next films alone")
    given = parser.parse_args()
    every = read_films(given.file)
    followed = read_films(given.next) if given.next else every
    tables = {
        "kinds": kinds_table(every),
        "faults": faults_table(with_one_fault(every)),
        "confusion": confusion_table(with_one_fault(every)),
        "marks": marks_table(every),
        "errors of beyond": errors_table(of_kind(every, Kind.BEYOND)),
        "held of beyond": held_table(of_kind(every, Kind.BEYOND)),
    }
    for kind in (Kind.OUTLINES, Kind.CROWNS):
        own = of_kind(every, kind)
        tables |= {
            f"errors of {kind.value}": errors_table(own),
            f"held of {kind.value}": held_table(own),
            f"told of {kind.value}": told_table(own),
            f"direction of {kind.value}": direction_sentences(own),
            f"failures of {kind.value}": failures_table(own),
            f"next films of {kind.value}": next_film_table(of_kind(followed, kind)),
            f"every next film of {kind.value}": every_next_film_table(of_kind(followed, kind)),
        }
    write_tables(PAGE, tables, said=SAID)
    TABLE.parent.mkdir(exist_ok=True)
    TABLE.write_text(HEAD + tomli_w.dumps(table(every)), encoding="utf-8")
    print(f"wrote {PAGE} and {TABLE}")


def table(every: Sequence[ExplainedFilm]) -> dict[str, Any]:
    """The packaged table: figures by kind of view and movement, and what the first films gave.

    Figures are those of real crowns, which are nearest to what people mark; the first films are of
    outlines, which need no shared data.
    """
    crowns = of_kind(every, Kind.CROWNS)
    by_kind = {
        view_kind(view(name).region): [each for each in crowns if each.view == name]
        for name in VIEWS
    }
    return {
        "accuracy": {
            kind: {part.value: figures(own, part) for part in Part} for kind, own in by_kind.items()
        },
        "first_films": [
            trace(each) for each in of_kind(every, Kind.OUTLINES) if each.number < len(VIEWS)
        ],
    }


def figures(films: Sequence[ExplainedFilm], part: Part) -> dict[str, float]:
    """What is kept of one movement in one kind of view."""
    found = part_errors(films, part)
    return {
        "films": found.films,
        "held": sum(each.covered[part] for each in films),
        "median_error": found.median,
    }


def trace(film: ExplainedFilm) -> dict[str, Any]:
    """What the explanation of one film came to, told so that any change of the code shows."""
    return {
        "run": film.run,
        "number": film.number,
        "view": film.view,
        "marks": film.marks,
        "misfit": round(film.misfit, DECIMALS),
        "true": {part.value: round(film.true[part], DECIMALS) for part in Part},
        "error": {part.value: round(film.error[part], DECIMALS) for part in Part},
        "covered": {part.value: film.covered[part] for part in Part},
    }


def case_of(entry: dict[str, Any]) -> Case:
    """The case a trace is of."""
    return Case(run=entry["run"], number=entry["number"])


if __name__ == "__main__":
    main()
