"""Shuffled crops of real and rendered films, to be judged by somebody who knows neither.

    python -m builders.blind_look make --real FILM --marks MARKS --out FOLDER --key KEY.csv
    python -m builders.blind_look score KEY.csv GUESSES.csv

`make` writes numbered pictures into a folder that tells nothing else, and the key outside it. A
judge writes `number,guess` lines, guess being `real` or `rendered`. `score` tells the share right
by kind of crop, with an exact binomial interval, against a coin. One real film is all there is, so
its crops are few and alike: a high score may come from learning that film, and a low one says no
more than that these passed.
"""

import argparse
import csv
from collections import Counter
from collections.abc import Mapping, Sequence
from pathlib import Path

import numpy as np
from PIL import Image
from scipy.stats import binomtest

from bitewright.errors import BitewrightError
from builders.blind_crops import Crop, PlainFilm, crops, plain_film
from builders.blind_films import rendered_films
from builders.marked_films import real_film

FILMS = 4
ENLARGED = {"whole": 1, "molar": 2, "premolar": 2, "contact": 3, "septum": 3}


class KeyPlaceError(BitewrightError):
    """The key would lie where the judge looks."""

    def __init__(self, key: Path, folder: Path) -> None:
        self.key = key
        super().__init__(
            f"The key {key.name} would lie in {folder}, which the judge sees: give --key a place "
            "outside that folder."
        )


class FullFolderError(BitewrightError):
    """The folder for the pictures holds something already."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        super().__init__(
            f"{folder} holds files already; a set needs an empty or new folder. Give another --out."
        )


class GuessError(BitewrightError):
    """A guess is neither of the two words."""

    def __init__(self, number: str, guess: str) -> None:
        self.number = number
        super().__init__(
            f"The guess for picture {number} is {guess[:40]!r}; it must be real or rendered."
        )


def chosen(films: Sequence[PlainFilm], generator: np.random.Generator) -> list[Crop]:
    """Shuffled crops of all films, of each kind as many real as rendered."""
    every = [crop for film in films for crop in crops(film, generator)]
    shuffled = [every[i] for i in generator.permutation(len(every))]
    numbers = Counter((crop.kind, crop.is_real) for crop in shuffled)
    taken: Counter[tuple[str, bool]] = Counter()
    kept = []
    for crop in shuffled:
        least = min(numbers[crop.kind, True], numbers[crop.kind, False])
        taken[crop.kind, crop.is_real] += 1
        if taken[crop.kind, crop.is_real] <= least:
            kept.append(crop)
    return kept


def check_places(out: Path, key: Path) -> None:
    """Refuse a folder that would show the judge the key or an older set.

    Raises
    ------
    KeyPlaceError, FullFolderError
    """
    if out.resolve() in key.resolve().parents:
        raise KeyPlaceError(key, out)
    if out.exists() and any(out.iterdir()):
        raise FullFolderError(out)


def write(pieces: Sequence[Crop], out: Path, key: Path) -> None:
    """Numbered pictures into a folder, and the key apart from it.

    Raises
    ------
    KeyPlaceError, FullFolderError
    """
    check_places(out, key)
    out.mkdir(parents=True, exist_ok=True)
    with key.open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file)
        writer.writerow(["number", "kind", "truth"])
        for number, crop in enumerate(pieces, start=1):
            picture = Image.fromarray(crop.grey)
            size = (ENLARGED[crop.kind] * picture.width, ENLARGED[crop.kind] * picture.height)
            picture.resize(size, Image.Resampling.BICUBIC).save(out / f"{number:02d}.png")
            writer.writerow([number, crop.kind, "real" if crop.is_real else "rendered"])


def read_guesses(path: Path) -> dict[str, str]:
    """Guesses by picture's number, from lines of `number,guess` below a heading.

    Raises
    ------
    GuessError
    """
    with path.open(encoding="utf-8") as file:
        rows = [(row["number"].strip().lstrip("0"), row["guess"]) for row in csv.DictReader(file)]
    guesses = {number: guess.strip().lower() for number, guess in rows}
    for number, guess in guesses.items():
        if guess not in ("real", "rendered"):
            raise GuessError(number, guess)
    return guesses


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
    for name in ("--real", "--marks", "--out", "--key"):
        making.add_argument(name, type=Path, required=True)
    making.add_argument("--seed", type=int, default=1)
    scoring = commands.add_parser("score")
    scoring.add_argument("key", type=Path)
    scoring.add_argument("guesses", type=Path)
    asked_for = parser.parse_args()
    if asked_for.command == "make":
        seed = asked_for.seed
        check_places(asked_for.out, asked_for.key)
        real = real_film(asked_for.real, asked_for.marks)
        films = [real, *rendered_films(range(seed, seed + FILMS))]
        pieces = chosen([plain_film(film) for film in films], np.random.default_rng(seed))
        write(pieces, asked_for.out, asked_for.key)
        print(f"{len(pieces)} pictures in {asked_for.out}; keep {asked_for.key} from the judge")
        return
    with asked_for.key.open(encoding="utf-8") as file:
        key = list(csv.DictReader(file))
    print("\n".join(score(key, read_guesses(asked_for.guesses))))


if __name__ == "__main__":
    main()
