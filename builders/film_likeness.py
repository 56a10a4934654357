"""Rendered films beside a real one, figure by figure.

    python -m builders.film_likeness --real FILM --marks MARKS [--films 6] [--first 1]

Every figure comes by one rule from landmarks and levels, the same for both. Rendered films are
plates of worn drawn mouths, each in another view; their median and range stand beside the one real
film, which is one of many that there might be.
"""

import argparse
from collections.abc import Mapping, Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter

from builders.blind_films import rendered_films
from builders.film_areas import Mask, darkest, eroded, flattest, metal, within
from builders.film_edges import edge_of
from builders.marked_films import MarkedFilm, real_film
from builders.tooth_tissues import gap_level, septum, tooth_frame, tooth_levels
from trials.grain_power import grain_power

Floats = NDArray[np.float64]
Figures = Mapping[str, float]

NOISE_PER_MM = (1.0, 2.0, 4.0, 8.0, 12.0)
GRAIN_PER_MM = (0.4, 1.0, 1.6, 2.2, 3.0)
FLAT_MM, FLAT_BLUR_MM = 1.2, 0.15
FLAT_LEVELS = {"cheek": (60.0, 90.0), "teeth": (130.0, 205.0)}
"""Where noise is judged; levels alone tell cheek from teeth."""

PLACES = (4, 5, 6, 7)


def figures(film: MarkedFilm) -> dict[str, float]:
    """Everything that is compared, by name; NaN where the film does not show it."""
    bright = metal(film)
    usable = within(film) & ~bright
    return {
        **levels(film, usable, bright),
        **noise(film, usable, bright),
        **septa(film, usable),
        **edges(film, bright),
    }


def levels(film: MarkedFilm, usable: Mask, bright: Mask) -> dict[str, float]:
    """Median grey of tissues, by place in the row where a tooth's is meant."""
    found: dict[str, list[float]] = {
        f"{tissue} of {place}": [] for tissue in ("enamel", "dentine") for place in PLACES
    }
    for code in range(11, 49):
        frame = tooth_frame(film, code) if code % 10 in PLACES else None
        if frame is None:
            continue
        own = tooth_levels(film, usable, frame)
        for tissue, value in own.items():
            if tissue in ("enamel", "dentine"):
                found[f"{tissue} of {code % 10}"].append(value)
        found.setdefault("enamel less dentine", []).append(own["enamel"] - own["dentine"])
        found.setdefault("neck less crown's dentine", []).append(own["neck"] - own["dentine"])
        found.setdefault("pulp less neck's dentine", []).append(own["pulp"] - own["neck"])
    for front, back in pairs():
        found.setdefault("between necks", []).append(gap_level(film, usable, front, back))
    inner = eroded(bright, 0.45, film.pixel_mm)
    return {
        "air": float(np.median(darkest(film).of(film.grey))),
        **{name: middle(values) for name, values in found.items()},
        "metal": float(np.median(film.grey[inner])) if inner.any() else float("nan"),
    }


def pairs() -> list[tuple[int, int]]:
    """Neighbours from the canine back, all quadrants."""
    return [
        (10 * quadrant + place, 10 * quadrant + place + 1)
        for quadrant in (1, 2, 3, 4)
        for place in (3, 4, 5, 6, 7)
    ]


def noise(film: MarkedFilm, usable: Mask, bright: Mask) -> dict[str, float]:
    """Power of the flattest places of cheek, teeth and metal. [grey2 mm2]"""
    smooth = gaussian_filter(film.grey, FLAT_BLUR_MM / film.pixel_mm)
    where = {
        name: usable & (smooth > low) & (smooth < high) for name, (low, high) in FLAT_LEVELS.items()
    }
    where["metal"] = eroded(bright, 0.3, film.pixel_mm)
    found = {}
    for name, mask in where.items():
        patch = flattest(film, mask, FLAT_MM)
        powers = (
            np.full(len(NOISE_PER_MM), np.nan)
            if patch is None
            else grain_power(patch.of(film.grey), film.pixel_mm, NOISE_PER_MM)
        )
        for per_mm, power in zip(NOISE_PER_MM, powers, strict=True):
            found[f"noise of {name} at {per_mm:g} per mm"] = float(power)
    return found


def septa(film: MarkedFilm, usable: Mask) -> dict[str, float]:
    """Level of septa and geometric mean of their texture's power, by jaw. [grey2 mm2]"""
    found = {}
    for jaw, quadrants in (("upper", (1, 2)), ("lower", (3, 4))):
        patches = [
            patch.of(film.grey)
            for front, back in pairs()
            if front // 10 in quadrants and (patch := septum(film, usable, front, back)) is not None
        ]
        powers = [grain_power(patch, film.pixel_mm, GRAIN_PER_MM) for patch in patches]
        found[f"septa, {jaw}"] = middle([float(np.median(patch)) for patch in patches])
        mean = np.exp(np.log(powers).mean(axis=0)) if powers else np.full(5, np.nan)
        for per_mm, power in zip(GRAIN_PER_MM, mean, strict=True):
            found[f"grain of {jaw} septa at {per_mm:g} per mm"] = float(power)
    return found


def edges(film: MarkedFilm, bright: Mask) -> dict[str, float]:
    """Width and overshoot of metal's edge. [mm], shares of the rise"""
    edge = edge_of(film, bright)
    return {
        "metal's edge, 10 to 90 %, mm": edge.width_mm,
        "metal's edge, overshoot": edge.overshoot,
        "metal's edge, undershoot": edge.undershoot,
    }


def middle(values: Sequence[float]) -> float:
    """The median of what was seen."""
    finite = [value for value in values if np.isfinite(value)]
    return float(np.median(finite)) if finite else float("nan")


def table(real: Figures, rendered: Sequence[Figures]) -> list[str]:
    """Lines of a Markdown table: real, the rendered films' median and range."""
    lines = ["| figure | real | rendered | least to most | ratio |", "| --- |" + " --- |" * 4]
    for name, value in real.items():
        own = np.array([each[name] for each in rendered])
        seen = own[np.isfinite(own)]
        if not seen.size:
            lines.append(f"| {name} | {said(value)} | - | - | - |")
            continue
        ratio = float(np.median(seen)) / value
        lines.append(
            f"| {name} | {said(value)} | {said(float(np.median(seen)))} | "
            f"{said(float(seen.min()))} to {said(float(seen.max()))} | {ratio:.2f} |"
        )
    return lines


def said(value: float) -> str:
    """Three figures at most."""
    return f"{value:.0f}" if abs(value) >= 10.0 else f"{value:.2g}"


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    for name in ("--real", "--marks"):
        parser.add_argument(name, type=Path, required=True)
    parser.add_argument("--films", type=int, default=6)
    parser.add_argument("--first", type=int, default=1)
    asked = parser.parse_args()
    films = rendered_films(range(asked.first, asked.first + asked.films))
    real = figures(real_film(asked.real, asked.marks))
    print("\n".join(table(real, [figures(film) for film in films])))


if __name__ == "__main__":
    main()
