"""Write how wide the contacts of a film overlap together, before anything is marked.

Run ``python -m builders.film_overlaps`` in the top folder of the project: four minutes of one core.
Films of drawn mouths are exposed in hands from very steady to a learner's, as
`trials/marked_films.py` does in other mouths, which judge what is fitted here; their contacts'
overlaps are told apart into a few kinds of film, as likely as can be (expectation and
maximisation).
"""

import argparse
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq
from scipy.special import digamma

from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.exposing.exposure import expose, station
from bitewright.marking.film_overlaps import FIRST_AHEAD, LAST_AHEAD, OverlapKinds
from bitewright.mouth.outlines import build_outlines
from bitewright.planning.best_aim import best_aim
from bitewright.quality.criteria import Question
from bitewright.quality.measure import not_seen
from bitewright.quality.predicted import asked, predict
from bitewright.quality.questions import needs
from bitewright.quality.views import view
from bitewright.quality.wanted import edges
from trials.best_films import KINDS, RECEPTORS, VIEWS, mouth_of
from trials.marked_films import SLIPS, SPREADS, about

Floats = NDArray[np.float64]

TOP = Path(__file__).resolve().parents[1]
TABLE = TOP / "src" / "bitewright" / "marking" / "tables" / "film_overlaps.toml"
FIRST_SEED, MOUTHS, FILMS = 30000, 240, 24
LEAST_MM, HARDLY_MM = -0.05, 0.01
"""The least overlap that is told apart, and how far above it those below it are taken to lie."""

KINDS_OF_FILM, STARTS, ROUNDS = 4, 3, 150
LEAST_SHAPE, MOST_SHAPE = 0.2, 500.0
PULL = 4.0
"""So many contacts as wide as its kind's others are added to each place of a kind. Our choice."""

HEAD = """\
# How wide the contacts of one film overlap, before anything is marked: in kinds of film, of which
# each is as many films as its share. Within a kind each contact lies above the least overlap as a
# gamma distribution of its shape tells, with these means at the contacts 3-4, 4-5, 5-6, 6-7, 7-8.
# Written by `python -m builders.film_overlaps`: not to be edited by hand.
# Fitted to the true overlaps of {films} films of {mouths} drawn mouths (seeds from {seed}), a third
# as the standard mouth, a third from the population of real crowns, a third from it with calmer
# rows. How often the chances that follow came true on other mouths: docs/ratings.md.
source = "our choice"
least_mm = {least}
"""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sums:
    """Of N films by place of the contact (N, 5): how many, their overlaps' and logarithms' sums."""

    count: Floats
    above: Floats
    logarithm: Floats


def main() -> None:
    """Expose, fit, write, and say where."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--processes", type=int, default=1)
    with ProcessPoolExecutor(parser.parse_args().processes) as pool:
        films = [film for mouth in pool.map(films_of, range(MOUTHS)) for film in mouth]
    sums = sums_of(films)
    kinds, _ = max((fitted(sums, start) for start in range(STARTS)), key=lambda found: found[1])
    TABLE.write_text(table(kinds, len(films)), encoding="utf-8")
    print(f"wrote {TABLE}")


def films_of(number: int) -> list[dict[int, list[float]]]:
    """Overlaps of one mouth's films, by the place of the tooth ahead. [mm]

    Films that do not show all that caries in enamel needs are left out: their grade is settled.
    """
    generator = np.random.default_rng([FIRST_SEED, number])
    known, of_view = packaged_catalogue(), view(VIEWS[number // len(KINDS) % len(VIEWS)])
    at = station(
        build_outlines(mouth_of(KINDS[number % len(KINDS)], FIRST_SEED + number)),
        of_view.region,
        known.receptor(RECEPTORS[number // (len(KINDS) * len(VIEWS)) % len(RECEPTORS)]),
        known.holder("ring-holder"),
        known.tube("rectangular-300"),
    )
    best, of = best_aim(of_view, at).setting, asked(of_view, at)
    spread = np.array(SPREADS)[generator.integers(len(SPREADS), size=FILMS)]
    slip = {name: spread * generator.normal(0.0, sd, FILMS) for name, sd in SLIPS.items()}
    placement, aim = about(best, slip)
    measured = predict(expose(at, placement, aim), of).measurements
    need = needs(Question.ENAMEL, of.wanted)
    needed = np.array([bool(need.surfaces & set(edges(pair))) for pair in of.wanted.contacts])
    gone = not_seen(measured.contact_status)
    films = []
    for overlaps, lost in zip(measured.overlap_mm, gone, strict=True):
        if (lost & needed).any():
            continue
        by_place: dict[int, list[float]] = {}
        for pair, overlap, is_lost in zip(of.wanted.contacts, overlaps, lost, strict=True):
            if not is_lost:
                by_place.setdefault(pair[0] % 10, []).append(float(overlap))
        films.append(by_place)
    return films


def sums_of(films: Sequence[dict[int, list[float]]]) -> Sums:
    """What a fit needs of films."""
    places = range(FIRST_AHEAD, LAST_AHEAD + 1)
    above = [
        [np.maximum(np.array(film.get(place, [])) - LEAST_MM, HARDLY_MM) for place in places]
        for film in films
    ]
    return Sums(
        count=np.array([[float(len(each)) for each in film] for film in above]),
        above=np.array([[each.sum() for each in film] for film in above]),
        logarithm=np.array([[np.log(each).sum() for each in film] for film in above]),
    )


def fitted(sums: Sums, start: int) -> tuple[OverlapKinds, float]:
    """Kinds of film from one start, and how likely they make the films."""
    generator, places = np.random.default_rng(start), sums.count.shape[1]
    usual = np.geomspace(0.12, 0.6, KINDS_OF_FILM)[:, None] * np.exp(
        generator.normal(0.0, 0.3, (KINDS_OF_FILM, places))
    )
    shapes = np.full(KINDS_OF_FILM, 1.7)
    shares = np.full(KINDS_OF_FILM, 1.0 / KINDS_OF_FILM)
    likely = float("-inf")
    for _ in range(ROUNDS):
        kinds = OverlapKinds(least_mm=LEAST_MM, shares=shares, shapes=shapes, usual_mm=usual)
        of_kind = log_likelihoods(sums, kinds)
        top = of_kind.max(axis=1, keepdims=True)
        weight = np.exp(of_kind - top)
        total = weight.sum(axis=1, keepdims=True)
        likely = float((np.log(total) + top).mean())
        weight /= total
        shares = weight.mean(axis=0)
        count, above = weight.T @ sums.count, weight.T @ sums.above
        own = above.sum(axis=1) / count.sum(axis=1)
        usual = (above + PULL * own[:, None]) / (count + PULL)
        logs = (count * np.log(usual)).sum(axis=1) - (weight.T @ sums.logarithm).sum(axis=1)
        shapes = np.array([_shape(each) for each in logs / count.sum(axis=1)])
    return kinds, likely


def log_likelihoods(sums: Sums, kinds: OverlapKinds) -> Floats:
    """Of N films under each of K kinds with its share, (N, K)."""
    # A gamma's logarithm is linear in how many, the sum and the sum of logarithms.
    one = np.stack(
        [kinds.log_densities(np.ones(1), place)[:, 0] for place in range(sums.count.shape[1])],
        axis=1,
    )
    rate = kinds.shapes[:, None] / kinds.usual_mm
    linear = sums.logarithm @ np.repeat(kinds.shapes[:, None] - 1.0, one.shape[1], axis=1).T
    return np.asarray(
        linear - sums.above @ rate.T + sums.count @ (one + rate).T + np.log(kinds.shares)
    )


def _shape(less: float) -> float:
    """A gamma's shape, from the logarithm of its mean less the mean of logarithms."""
    return float(
        brentq(lambda k: np.log(k) - digamma(k) - max(less, 1e-4), LEAST_SHAPE, MOST_SHAPE)
    )


def table(kinds: OverlapKinds, films: int) -> str:
    """The table's text, the kind of most films first."""
    lines = [HEAD.format(films=films, mouths=MOUTHS, seed=FIRST_SEED, least=LEAST_MM)]
    for k in np.argsort(-kinds.shares):
        means = ", ".join(f"{each:.3f}" for each in kinds.usual_mm[k])
        lines.append(
            f"[[kinds]]\nshare = {kinds.shares[k]:.3f}\nshape = {kinds.shapes[k]:.2f}\n"
            f"usual_mm = [{means}]\n"
        )
    return "\n".join(lines)


if __name__ == "__main__":
    main()
