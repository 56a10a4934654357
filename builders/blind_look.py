"""Shuffled crops of real and rendered films, to be judged by somebody who knows neither.

    python -m builders.blind_look make --real FILM --marks MARKS --out FOLDER [--seed 1]
    python -m builders.blind_look score FOLDER GUESSES.csv

`make` writes numbered pictures and `key.csv` apart from them. A judge writes `number,guess` lines,
guess being `real` or `rendered`. `score` tells the share right by kind of crop, with an exact
binomial interval, against a coin. One real film is all there is, so its crops are few and alike:
a high score may come from learning that film, and a low one says no more than that these passed.
"""

import argparse
import csv
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image
from scipy.stats import binomtest

from bitewright.dentition.drawn_mouth import drawn_mouth
from bitewright.dentition.outlines import build_outlines
from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.files.images import read_image
from bitewright.files.marks_file import read_marks
from bitewright.imaging.exposure import station
from bitewright.imaging.film_faults import FaultName, FilmFault
from bitewright.imaging.film_kinds import Handling
from bitewright.imaging.landmarks import Status
from bitewright.imaging.predicted_film import predicted_film
from bitewright.planning.best_aim import best_aim
from bitewright.quality.predicted import asked, predict
from bitewright.quality.views import view
from bitewright.tasks.film_mouths import station_film_mouth

Places = Mapping[str, tuple[float, float]]
VIEW = "right-premolar"
PIXEL_MM = 0.03
LABEL_PX = 60
"""Cut off every film's lower edge, where a simulated one says so."""

MOLARS = (16, 46)
PAIRS = ((14, 15), (15, 16), (44, 45), (45, 46))
SIZES_MM = {"contact": (9.0, 9.0), "septum": (5.0, 6.5), "molar": (13.0, 13.0)}


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Crop:
    """A piece of a film: what it shows, whether it is real."""

    kind: str
    is_real: bool
    grey: NDArray[np.float64]


def crops(pixels: NDArray[np.uint16], places: Places, *, is_real: bool) -> list[Crop]:
    """Every crop that a film's landmarks allow, whole film first."""
    film = pixels[:-LABEL_PX].astype(np.float64)
    found = [Crop(kind="whole", is_real=is_real, grey=film)]
    for front, back in PAIRS:
        sides = (f"{front}.distal", f"{back}.mesial")
        found += _around(film, places, "contact", sides, is_real=is_real)
        crests = tuple(f"{side}.crest" for side in sides)
        rootward = -2.2 if front < 30 else 2.2
        found += _around(film, places, "septum", crests, is_real=is_real, down_mm=rootward)
    for code in MOLARS:
        sides = (f"{code}.mesial", f"{code}.distal")
        found += _around(film, places, "molar", sides, is_real=is_real)
    return found


def _around(
    film: NDArray[np.float64],
    places: Places,
    kind: str,
    names: Sequence[str],
    *,
    is_real: bool,
    down_mm: float = 0.0,
) -> list[Crop]:
    """The crop round the middle of some landmarks, none where it would leave the film."""
    if any(name not in places for name in names):
        return []
    x, y = np.mean([places[name] for name in names], axis=0)
    y += down_mm / PIXEL_MM
    wide, high = (round(0.5 * size / PIXEL_MM) for size in SIZES_MM[kind])
    top, left = round(y) - high, round(x) - wide
    piece = film[max(top, 0) : top + 2 * high, max(left, 0) : left + 2 * wide]
    whole = piece.shape == (2 * high, 2 * wide)
    return [Crop(kind=kind, is_real=is_real, grey=piece)] if whole else []


def treated(crop: Crop) -> Image.Image:
    """The same treatment for both: darkest and brightest hundredth cut, stretched, one size."""
    low, high = np.percentile(crop.grey, [1.0, 99.0])
    share = np.clip((crop.grey - low) / max(high - low, 1.0), 0.0, 1.0)
    picture = Image.fromarray((255.0 * share).astype(np.uint8))
    width = 900 if crop.kind == "whole" else 450
    height = round(picture.height * width / picture.width)
    return picture.resize((width, height), Image.Resampling.BICUBIC)


def rendered_films(seeds: Sequence[int]) -> list[tuple[NDArray[np.uint16], Places]]:
    """Plates of drawn mouths at the real film's pixel size, some scratched and dusty as it is."""
    known = packaged_catalogue()
    made = []
    for seed in seeds:
        at = station(
            build_outlines(drawn_mouth(seed)),
            view(VIEW).region,
            known.receptor("plate-2"),
            known.holder("ring-holder"),
            known.tube("rectangular-300"),
        )
        exposure = best_aim(view(VIEW), at).exposure
        faults = tuple(
            FilmFault(name=name, size=0.6) for name in (FaultName.SCRATCH, FaultName.DUST)
        )
        film = predicted_film(
            exposure,
            station_film_mouth(at),
            pixel_mm=PIXEL_MM,
            handling=Handling(faults=faults if seed % 2 else ()),
            generator=np.random.default_rng(seed),
        )
        landmarks = predict(exposure, asked(view(VIEW), at, every_contact=True)).landmarks
        rows, columns = film.pixels.shape
        places = {
            name: (u / PIXEL_MM + 0.5 * columns, v / PIXEL_MM + 0.5 * rows)
            for name, (u, v), status in zip(
                landmarks.names, landmarks.points_receptor[0], landmarks.status[0], strict=True
            )
            if status == Status.SEEN
        }
        made.append((film.pixels, places))
    return made


def make(real: Path, marks: Path, out: Path, seed: int) -> int:
    """Write the set; how many pictures it holds, as many rendered as real of each kind."""
    film = read_marks(marks)
    places = {
        name: (mark.x_px, mark.y_px)
        for name, mark in film.marks.items()
        if mark.x_px is not None and mark.y_px is not None
    }
    real_crops = crops(read_image(real).pixels, places, is_real=True)
    drawn = [
        crop
        for pixels, there in rendered_films(range(seed, seed + 4))
        for crop in crops(pixels, there, is_real=False)
    ]
    generator = np.random.default_rng(seed)
    chosen = list(real_crops)
    for kind in {crop.kind for crop in real_crops}:
        count = sum(crop.kind == kind for crop in real_crops)
        others = [crop for crop in drawn if crop.kind == kind]
        chosen += [others[i] for i in generator.permutation(len(others))[:count]]
    order = generator.permutation(len(chosen))
    out.mkdir(parents=True, exist_ok=True)
    with (out / "key.csv").open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file)
        writer.writerow(["number", "kind", "truth"])
        for number, index in enumerate(order, start=1):
            crop = chosen[index]
            treated(crop).save(out / f"{number:02d}.png")
            writer.writerow([number, crop.kind, "real" if crop.is_real else "rendered"])
    return len(chosen)


def score(key: Sequence[Mapping[str, str]], guesses: Mapping[str, str]) -> list[str]:
    """Lines that tell the share right, by kind and in all, with 95 % exact intervals."""
    lines = []
    kinds = ["all", *dict.fromkeys(row["kind"] for row in key)]
    for kind in kinds:
        rows = [r for r in key if kind in ("all", r["kind"]) and r["number"] in guesses]
        if not rows:
            continue
        right = sum(guesses[row["number"]] == row["truth"] for row in rows)
        told = binomtest(right, len(rows), 0.5)
        interval = told.proportion_ci(0.95, method="exact")
        lines.append(
            f"{kind:8s} {right} of {len(rows)} right, {100 * right / len(rows):.0f} % "
            f"({100 * interval.low:.0f} to {100 * interval.high:.0f}); a coin as good or better: "
            f"p {binomtest(right, len(rows), 0.5, alternative='greater').pvalue:.3f}"
        )
    return lines


def main() -> None:
    """Make a set, or score guesses of one."""
    parser = argparse.ArgumentParser(description=__doc__)
    commands = parser.add_subparsers(dest="command", required=True)
    making = commands.add_parser("make")
    for name in ("--real", "--marks", "--out"):
        making.add_argument(name, type=Path, required=True)
    making.add_argument("--seed", type=int, default=1)
    scoring = commands.add_parser("score")
    scoring.add_argument("folder", type=Path)
    scoring.add_argument("guesses", type=Path)
    asked_for = parser.parse_args()
    if asked_for.command == "make":
        count = make(asked_for.real, asked_for.marks, asked_for.out, asked_for.seed)
        print(f"{count} pictures in {asked_for.out}; keep key.csv from the judge")
        return
    with (asked_for.folder / "key.csv").open(encoding="utf-8") as file:
        key = list(csv.DictReader(file))
    with asked_for.guesses.open(encoding="utf-8") as file:
        guesses = {row["number"]: row["guess"].strip() for row in csv.DictReader(file)}
    print("\n".join(score(key, guesses)))


if __name__ == "__main__":
    main()
