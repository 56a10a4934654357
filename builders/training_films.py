"""Films to learn from: of drawn mouths, with the places where each film shows its landmarks.

Each mouth is a file of arrays, the same for the same seed. A run that was stopped goes on, for
files that are there are left; `--seconds` ends it early:

    python -m builders.training_films --out FOLDER --mouths 600 --films 40 --processes 32
"""

import argparse
import os
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ProcessPoolExecutor, as_completed
from dataclasses import dataclass
from multiprocessing import get_context
from pathlib import Path
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

from bitewright.equipment.catalogue import packaged_catalogue
from bitewright.errors import BitewrightError
from bitewright.exposing.clear_edge import ClearEdge
from bitewright.exposing.exposure import Exposures, Station, fitting, station
from bitewright.exposing.landmarks import Landmarks
from bitewright.exposing.region import Region
from bitewright.film.film_faults import POSSIBLE, FaultName, FilmFault, clear_edge
from bitewright.film.film_kinds import Handling
from bitewright.film.film_mouth import film_mouth
from bitewright.film.film_parts import Facts, FilmMouth, Piece
from bitewright.film.predicted_film import unlabelled_film
from bitewright.marking.visible_places import seen_off_mm
from bitewright.mouth.outlines import Outlines, build_outlines
from bitewright.quality.criteria import Question
from bitewright.quality.predicted import Asked, asked, predict
from bitewright.quality.views import View, view
from bitewright.tasks.plan.set_exposure import set_exposure
from bitewright.tasks.plan.wanted_setting import WantedSetting, settled
from builders.real_crowns import population_crowned
from builders.training_mouths import is_held_out, side_of, training_mouth

PIXEL_MM = 0.1
RENDERED_MM = (0.05, 0.05, 0.065, 0.08, 0.1)
"""Films learnt from are made as fine as one of these and averaged to the pixels above, as
`bitewright.proposing.square` does with a film that it is given. Those held out are made at once."""

STREAM = 210022
"""Keeps these draws apart from others of the same seed."""

LEARNT_LOOKS = ("plain", "crisp", "contrasty")
OTHER_LOOK, OTHER_RECEPTOR = "soft", "film-2"
"""Never learnt from: a look and a receptor kept to judge by."""

RECEPTORS = ("sensor-2", "plate-2", "sensor-2", "plate-2", "sensor-1", "plate-1")
UPRIGHT, LEARNT_UPRIGHT = 0.2, 0.3
"""Shares of films taken upright: of mouths held out, and of those learnt from."""

HOLDERS, TUBES = ("ring-holder", "ring-holder", "tab"), ("rectangular-300", "round-200")
FAULTY = 0.3
FAULTS = (
    FaultName.CONE_CUT_ROUND,
    FaultName.CONE_CUT_RECTANGULAR,
    FaultName.UNDER_EXPOSURE,
    FaultName.OVER_EXPOSURE,
    FaultName.SCRATCH,
    FaultName.DUST,
    FaultName.WORN_EDGES,
    FaultName.BITE_MARKS,
    FaultName.LIGHT_LEAK,
)
"""Those that leave every landmark where it is projected."""

NOISY = 0.5
TRIES = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """What one mouth's file shall hold."""

    seed: int
    films: int
    out: Path
    pixel_mm: float = PIXEL_MM
    real_crowns: bool = False
    """Whether crowns are drawn from the population's, whose data then has to be there."""

    @property
    def path(self) -> Path:
        """Its file."""
        return self.out / f"mouth-{self.seed:05d}.npz"

    @property
    def is_held_out(self) -> bool:
        """Whether it is never learnt from."""
        return is_held_out(self.seed)


def made(wish: Wish) -> str:
    """Film one mouth into its file, whole or not at all; what became of it, in words."""
    started = time.monotonic()
    try:
        films = list(films_of(wish, population_crowned(wish.seed) if wish.real_crowns else None))
    except BitewrightError as error:
        return f"{wish.seed}: {type(error).__name__}"
    arrays: dict[str, Any] = {f"grey_{n}": film["grey"] for n, film in enumerate(films)}
    for name in ("u_px", "names", "seen", "sure", "other", "front_sign", "absent"):
        for n, film in enumerate(films):
            arrays[f"{name}_{n}"] = film[name]
    beside = wish.path.with_suffix(".part")
    with beside.open("wb") as file:
        np.savez(file, allow_pickle=False, count=len(films), seed=wish.seed, **arrays)
    beside.replace(wish.path)
    return f"{wish.seed}: {len(films)} films, {time.monotonic() - started:.1f} s"


class FilmedMouth(Protocol):
    """A mouth as it is filmed: what casts shadows, and where a film shows its landmarks."""

    @property
    def outlines(self) -> Outlines:
        """Of its teeth, or of such as stand where they do."""

    def film_mouth(self, region: Region, piece: Piece) -> FilmMouth:
        """All that casts a shadow on films of a region."""

    def landmarks(self, exposure: Exposures, of: Asked, cut: ClearEdge | None) -> Landmarks:
        """Where one exposure shows them."""

    def is_sure(self, name: str) -> bool:
        """Whether the place of a landmark is to be learnt from."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class OwnMouth:
    """A mouth of this project's own teeth, its edges where the outlines have them."""

    outlines: Outlines

    def film_mouth(self, region: Region, piece: Piece) -> FilmMouth:
        """All that casts a shadow on films of a region."""
        return film_mouth(self.outlines, region, piece=piece)

    def landmarks(self, exposure: Exposures, of: Asked, cut: ClearEdge | None) -> Landmarks:
        """Where one exposure shows them."""
        return predict(exposure, of, cut=cut).landmarks

    def is_sure(self, name: str) -> bool:  # noqa: ARG002  all of them are
        """Whether the place of a landmark is to be learnt from."""
        return True


def films_of(wish: Wish, filmed: FilmedMouth | None = None) -> Iterator[dict[str, Any]]:
    """The films of one mouth, drawn if none is given: grey, places, and what is seen."""
    own = np.random.default_rng([STREAM, wish.seed])
    filmed = filmed or OwnMouth(outlines=build_outlines(training_mouth(wish.seed)))
    outlines = filmed.outlines
    side = side_of(wish.seed).value
    known, pieces = packaged_catalogue(), dict[Facts, FilmMouth]()

    def piece(facts: Facts, build: Callable[[], FilmMouth]) -> FilmMouth:
        key = repr(facts)
        if key not in pieces:
            pieces[key] = build()
        return pieces[key]

    whole = dict[str, FilmMouth]()
    stations = []
    for zone in ("premolar", "molar"):
        chosen = list(own.permutation(RECEPTORS)[:2])
        if wish.is_held_out:
            chosen.append(OTHER_RECEPTOR)
        for receptor in chosen:
            share = UPRIGHT if wish.is_held_out else LEARNT_UPRIGHT
            upright = "-vertical" if own.random() < share else ""
            of_view = view(f"{side}-{zone}{upright}")
            at = station(
                outlines,
                of_view.region,
                known.receptor(str(receptor)),
                known.holder(str(own.choice(HOLDERS))),
                known.tube(str(own.choice(TUBES))),
            )
            if of_view.name not in whole:
                whole[of_view.name] = filmed.film_mouth(of_view.region, piece)
            stations.append((of_view, at, asked(of_view, at, every_contact=True)))
    for number in range(wish.films):
        of_view, at, of = stations[number % len(stations)]
        rendered_mm = wish.pixel_mm if wish.is_held_out else float(own.choice(RENDERED_MM))
        found = _film(
            own,
            of_view,
            at,
            of,
            whole[of_view.name],
            filmed,
            rendered_mm=rendered_mm,
            pixel_mm=wish.pixel_mm,
        )
        if found is not None:
            yield found


def carries_real_crowns(seed: int, share: float) -> bool:
    """Whether a seed's mouth is among so large a share of those learnt from."""
    return not is_held_out(seed) and np.random.default_rng([STREAM, seed, 1]).random() < share


def _film(
    own: np.random.Generator,
    of_view: View,
    at: Station,
    of: Asked,
    mouth: FilmMouth,
    filmed: FilmedMouth,
    *,
    rendered_mm: float,
    pixel_mm: float,
) -> dict[str, Any] | None:
    is_other = at.receptor.name == OTHER_RECEPTOR
    faults = ()
    if own.random() < FAULTY:
        can = [each for each in FAULTS if at.receptor.kind in POSSIBLE[each]]
        faults = (FilmFault(name=can[own.integers(len(can))], size=float(own.uniform(0.3, 1.0))),)
    look = OTHER_LOOK if is_other else str(own.choice(LEARNT_LOOKS))
    for _ in range(TRIES):
        try:
            setting = settled(_wanted(own, of_view), of_view, at, of, question=Question.ENAMEL)
            exposure = fitting(set_exposure(at, setting).exposure)
            break
        except BitewrightError:
            continue
    else:
        return None
    landmarks = filmed.landmarks(exposure, of, clear_edge(faults, at))
    noise = np.random.default_rng(int(own.integers(1 << 30))) if own.random() < NOISY else None
    film = unlabelled_film(
        exposure,
        mouth,
        pixel_mm=rendered_mm,
        handling=Handling(look=look, faults=faults),
        generator=noise,
    )
    grey = film.pixels // 257
    shown_mm = film.pixel_mm
    if rendered_mm != pixel_mm:
        grey, shown_mm = averaged(grey, shown_mm / pixel_mm), pixel_mm
    rows, columns = grey.shape
    seen_mm = landmarks.points_receptor[0] + seen_off_mm(landmarks.names, landmarks.front_sign)
    there = set(at.outlines.codes)
    return {
        "grey": grey.astype(np.uint8),
        "u_px": (seen_mm / shown_mm + 0.5 * np.array([columns, rows])).astype(np.float32),
        "names": np.array(landmarks.names),
        "seen": landmarks.status[0] == 0,
        "sure": np.array([filmed.is_sure(name) for name in landmarks.names]),
        "other": is_other,
        "front_sign": landmarks.front_sign,
        "view": of_view.name,
        "absent": np.array(
            [
                10 * q + p
                for q in at.region.quadrants
                for p in range(3, 9)
                if 10 * q + p not in there
            ],
            dtype=np.int8,
        ),
    }


def averaged(grey: NDArray[Any], shrunk: float) -> NDArray[np.uint8]:
    """A film (rows, columns) in larger pixels about the same middle; each takes its parts' mean.

    ``shrunk``: how many of the new pixels one of the old ones takes, at most 1. What is left of a
    pixel at the border is cut off.
    """
    down, across = (_means(count, shrunk) for count in grey.shape)
    return np.asarray((down @ grey.astype(np.float64) @ across.T).round(), dtype=np.uint8)


def _means(count: int, shrunk: float) -> NDArray[np.float64]:
    """How much of each new pixel each old one covers, (new, old)."""
    cells = np.arange(int(count * shrunk + 1e-6))
    edges = 0.5 * len(cells) + shrunk * (np.arange(count + 1) - 0.5 * count)
    high = np.minimum(edges[None, 1:], cells[:, None] + 1.0)
    return np.asarray(np.clip(high - np.maximum(edges[None, :-1], cells[:, None]), 0.0, None))


def _wanted(own: np.random.Generator, of_view: View) -> WantedSetting:
    """A hand's setting, half of them within two degrees of open, the rest far and wide."""
    near = own.random()
    error = (
        own.uniform(-2, 2)
        if near < 0.5
        else own.normal(0, 5)
        if near < 0.8
        else own.uniform(-15, 15)
    )
    middle = 3.0 if of_view.region.zone == "molar" else -3.0
    return WantedSetting(
        forward_mm=float(np.clip(own.normal(middle, 4.5), -11, 11)),
        lingual_mm=None if own.random() < 0.5 else float(own.uniform(3, 12)),
        height_mm=float(own.normal(0, 2)),
        turn_deg=float(own.normal(0, 4)),
        tilt_deg=float(own.normal(0, 4)),
        roll_deg=float(own.normal(0, 4)),
        contact_error_deg=float(error),
        vertical_deg=float(own.uniform(-8, 10)),
        tube_forward_mm=float(own.normal(0, 2.5)),
        tube_up_mm=float(own.normal(0, 1.5)),
    )


def main() -> None:
    """Film the mouths that are still missing."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--mouths", type=int, default=600)
    parser.add_argument("--films", type=int, default=40, help="of each mouth")
    parser.add_argument("--first", type=int, default=1, help="the first mouth's seed")
    parser.add_argument("--processes", type=int, default=1)
    parser.add_argument("--seconds", type=float, help="begin no further mouth after so long")
    parser.add_argument(
        "--real-crowns",
        type=float,
        default=0.0,
        help="so large a share of the mouths learnt from carries crowns of the population",
    )
    given = parser.parse_args()
    given.out.mkdir(parents=True, exist_ok=True)
    for name in ("NUMBA_NUM_THREADS", "OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS"):
        os.environ[name] = "1"
    wishes = [
        Wish(
            seed=seed,
            films=given.films,
            out=given.out,
            real_crowns=carries_real_crowns(seed, given.real_crowns),
        )
        for seed in range(given.first, given.first + given.mouths)
    ]
    left = [wish for wish in wishes if not wish.path.exists()]
    started = time.monotonic()
    with ProcessPoolExecutor(given.processes, mp_context=get_context("spawn")) as pool:
        running = [pool.submit(_in_time, wish, started, given.seconds) for wish in left]
        for number, each in enumerate(as_completed(running), start=1):
            print(f"{number} of {len(left)}, {each.result()}", flush=True)


def _in_time(wish: Wish, started: float, seconds: float | None) -> str:
    if seconds is not None and time.monotonic() - started > seconds:
        return f"{wish.seed}: left out, the time is up"
    return made(wish)


if __name__ == "__main__":
    main()
