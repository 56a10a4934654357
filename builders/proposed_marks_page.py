"""Judge the network that proposes marks, and write the tables of docs/proposed-marks.md.

    python -m builders.proposed_marks_page --lines out/judged.jsonl --mouths 50 --processes 2

Films are of mouths never learnt from, six of each mouth, and of mouths with real crowns (drawn from
a population, an atlas', a scanned person's) where the folder of real data is there. On each, wrong
proposals are planted too. The lines are kept, so that a run that was stopped goes on.
``--trained out/network/network.json`` also writes what the training said. Where the folder of real
data is there, the one real film is judged too.
"""

import argparse
import hashlib
import json
from functools import partial
from pathlib import Path
from typing import Any

import numpy as np

from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.files.marks_file import read_marks
from bitewright.tasks.assess.decoded_film import read_film
from bitewright.tasks.propose.propose_marks import propose_marks
from builders.judged_films import REAL, judged_mouth, numbers_here
from builders.real_crowns import shared_folder
from builders.tables_in_pages import write_tables
from trials.blurred_films import blur_table
from trials.kept_lines import run_cases
from trials.planted_proposals import caught_table
from trials.proposed_films import beside_truth, figures

TOP = Path(__file__).resolve().parents[1]
PAGE = TOP / "docs" / "proposed-marks.md"
WEIGHTS = TOP / "src/bitewright/network/weights/marks.onnx"
SOURCES = ("src/bitewright/proposing", "src/bitewright/tasks/propose", "src/bitewright/network")
REAL_MARKS = TOP / "tests/realdata/open-bitewing.marks.json"
SORTS = {"edge": "edge of a crown", "junction": "junction", "crest": "crest"}


def fingerprint() -> str:
    """Of the weights and of the code that reads them."""
    digest = hashlib.sha256(WEIGHTS.read_bytes())
    for folder in SOURCES:
        for path in sorted((TOP / folder).rglob("*")):
            if path.suffix in {".py", ".toml"}:
                digest.update(path.read_bytes())
    return digest.hexdigest()[:16]


def groups(lines: list[dict[str, Any]]) -> dict[str, list[dict[str, Any]]]:
    """Films by what they have in common."""
    real = {each.kind: [line for line in lines if line["kind"] == each.kind] for each in REAL}
    lines = [line for line in lines if line["kind"] not in real]
    usual = [line for line in lines if not line["is_other"]]
    kinds = sorted({line["kind"] for line in usual})
    return {
        "all below together": usual,
        **{kind: [line for line in usual if line["kind"] == kind] for kind in kinds},
        "of these, a tooth lost": [line for line in usual if _has_lost(line)],
        "of these, upright": [line for line in usual if line["is_upright"]],
        "a look and a receptor never learnt from": [line for line in lines if line["is_other"]],
        **real,
    }


def _has_lost(line: dict[str, Any]) -> bool:
    return any(code % 10 < 8 for code in line["lacks"])


def whole_table(of: dict[str, dict[str, Any]]) -> str:
    """Of whole films: refused, numbers, contacts."""
    rows = [
        (
            "| films | how many | refused | every number right | a wrong number without a doubt | "
            "films doubted | marks missed | marks too many |"
        ),
        "| --- | ---: | ---: | ---: | ---: | ---: | ---: | ---: |",
    ]
    for name, told in of.items():
        rows.append(
            f"| {name} | {told['films']} | {told['refused']} | {told['numbers_right']:.1%} | "
            f"{told['numbers_wrong_unflagged']:.1%} | {told['film_doubted']:.1%} | "
            f"{told['missing']:.1%} | {told['surplus']:.1%} |"
        )
    return "\n".join(rows)


def run_table(lines: list[dict[str, Any]]) -> str:
    """What was judged here."""
    rows = ["| of this run | |", "| --- | ---: |"]
    kinds = {each.kind for each in REAL}
    real = {line["seed"] for line in lines if line["kind"] in kinds}
    rows.append(f"| mouths never learnt from | {len({line['seed'] for line in lines} - real)} |")
    rows.append(f"| mouths with real crowns | {len(real)} |")
    rows.append(f"| films | {len(lines)} |")
    rows.append(f"| fingerprint of weights and code | `{fingerprint()}` |")
    return "\n".join(rows)


def corrections_table(of: dict[str, dict[str, Any]]) -> str:
    """Of a person's work: marks to look at one by one, and to correct."""
    rows = [
        (
            "| films | marks proposed, median | to look at one by one, median | to correct, "
            "median | to correct, 90% below | to correct of sure places, median |"
        ),
        "| --- | ---: | ---: | ---: | ---: | ---: |",
    ]
    for name, told in of.items():
        median, high = told["corrections"]
        rows.append(
            f"| {name} | {told['marks']:.0f} | {told['looked_at']:.0f} | {median:.0f} | "
            f"{high:.0f} | {told['sure_corrections'][0]:.0f} |"
        )
    return "\n".join(rows)


def errors_table(of: dict[str, dict[str, Any]]) -> str:
    """Of places: errors by sort of landmark."""
    rows = [
        (
            "| films | landmark | marks | median | 95% below | along the row, median | 95% below | "
            "within the stated 90%, along the row | in height |"
        ),
        "| --- | --- | ---: | ---: | ---: | ---: | ---: | ---: | ---: |",
    ]
    for name, told in of.items():
        for sort, title in SORTS.items():
            if sort not in told:
                continue
            own = told[sort]
            along, down = own["in_90"]
            rows.append(
                f"| {name} | {title} | {own['count']} | {own['median_mm']:.2f} mm | "
                f"{own['p95_mm']:.2f} mm | {own['along_median_mm']:.2f} mm | "
                f"{own['along_p95_mm']:.2f} mm | {along:.0%} | {down:.0%} |"
            )
    return "\n".join(rows)


def overlap_table(of: dict[str, dict[str, Any]]) -> str:
    """Of contacts: overlap proposed less overlap true."""
    rows = [
        (
            "| films | contacts | off, median | 95% below | open or overlapped told right from "
            "0.3 mm on | mean where truly open | touching | overlapped | within the stated 90% | "
            "surely open or overlapped by that | of these, told wrong |"
        ),
        f"| --- |{' ---: |' * 10}",
    ]
    for name, told in of.items():
        own = told.get("contacts")
        if own is None:
            continue
        bias = " | ".join(
            "" if mean is None else f"{mean:+.2f} mm ({count})"
            for count, mean in own["bias_mm"].values()
        )
        rows.append(
            f"| {name} | {own['count']} | {own['median_abs_mm']:.2f} mm | "
            f"{own['p95_abs_mm']:.2f} mm | {own['sign_right']:.1%} of {own['far']} | {bias} | "
            f"{own['in_90']:.0%} | {own['sure']} | {own['sure_wrong']} |"
        )
    return "\n".join(rows)


def trained_table(said: dict[str, Any]) -> str:
    """What the network was trained on, and how."""
    names = (
        "mouths learnt from",
        "films learnt from",
        "mouths held out",
        "processes, one a GPU",
        "seconds",
    )
    names += ("batch",)
    rows = ["| of the training | |", "| --- | ---: |"]
    rows += [f"| {name} | {said[name]:,} |" for name in (*names, "rate", "seed")]
    rows.append(f"| weights | {WEIGHTS.stat().st_size / 1e6:.1f} MB |")
    return "\n".join(rows)


def network_table(said: dict[str, Any]) -> str:
    """Of the network alone: errors of what it finds, before any rule."""
    rows = [
        "| films | how many | landmark | median | 95% below | over 1 mm | along the row, median |",
        "| --- | ---: | --- | ---: | ---: | ---: | ---: |",
    ]
    for name in ("held out", "held out, varied", "other look and receptor", "learnt from"):
        for sort, title in SORTS.items():
            median, high, far = said[name][sort]
            rows.append(
                f"| {name} | {said[name]['films']} | {title} | {median:.2f} mm | {high:.2f} mm | "
                f"{far:.1%} | {said[name][f'{sort} along']:.2f} mm |"
            )
    return "\n".join(rows)


def real_line() -> dict[str, Any] | None:
    """The one real film beside its readers' marks; None where it is not there."""
    path = shared_folder() / "real/bitewing_single_mit/bitewing.png"
    if not path.exists():
        return None
    marks, film = read_marks(REAL_MARKS), read_film(path)
    pixel_mm = marks.pixel_mm or 0.03
    places = {
        name: pixel_mm * np.array([mark.x_px, mark.y_px])
        for name, mark in marks.marks.items()
        if mark.x_px is not None and not name.endswith("cusp")
    }
    told = beside_truth(propose_marks(film, packaged_catalogue()), places, pixel_mm=pixel_mm)
    return {"seconds": 0.0, **told}


def real_table(line: dict[str, Any]) -> str:
    """Contact by contact on the real film."""
    rows = [
        "| contact | overlap by the readers' marks | by proposed marks | spread stated of it |",
        "| --- | ---: | ---: | ---: |",
    ]
    rows += [
        f"| {name} | {true:+.2f} mm | {found:+.2f} mm | {sd:.2f} mm |"
        for name, true, found, sd in line["contacts"]
    ]
    return "\n".join(rows)


def main() -> None:
    """Judge what is left to judge, and write the tables."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--lines", type=Path, required=True)
    parser.add_argument("--mouths", type=int, default=50)
    parser.add_argument("--processes", type=int, default=1)
    parser.add_argument("--trained", type=Path, help="what builders/train_network.py said")
    given = parser.parse_args()
    mouths = run_cases(
        given.lines,
        numbers_here(given.mouths),
        judged_mouth,
        key=int,
        key_of=lambda line: line["mouth"],
        processes=given.processes,
        told=partial(print, flush=True),
    )
    lines = [film for mouth in mouths for film in mouth["films"]]
    of = {name: figures(own) for name, own in groups(lines).items() if own}
    tables = {
        "this run": run_table(lines),
        "whole films": whole_table(of),
        "corrections": corrections_table(of),
        "planted": caught_table(lines),
        "places": errors_table(of),
        "contacts": overlap_table(of),
        "blur": blur_table(lines),
    }
    if given.trained is not None:
        said = json.loads(given.trained.read_text(encoding="utf-8"))
        tables |= {"training": trained_table(said), "the network alone": network_table(said)}
    real = real_line()
    if real is not None:
        alone = {"one real film": figures([real])}
        tables |= {"the real film": errors_table(alone), "its contacts": real_table(real)}
        print(real["doubts"], real["wrong_numbers"], real["missing"], real["surplus"])
    for table in tables.values():
        print(table, "\n")
    write_tables(PAGE, tables, said="written by builders/proposed_marks_page.py")


if __name__ == "__main__":
    main()
