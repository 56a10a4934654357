"""Film mouths for a station: from the cache where they were built before, else built and kept.

Kept too is each piece in axes of its own, under all it hangs on: a tooth, a quadrant's bone. So
another view of a side, a filling in one tooth, or a tooth that is turned, moved or resized builds
only what it changes.
"""

import hashlib
import json
from collections.abc import Callable
from dataclasses import replace
from functools import lru_cache, partial
from importlib.metadata import version
from importlib.resources import files
from importlib.resources.abc import Traversable

from bitewright import __version__
from bitewright.exposing.exposure import Station
from bitewright.files.film_cache import keep_film_mouth, read_film_mouth
from bitewright.film.film_parts import (
    IN_MOUTH,
    NO_HINGE_MM,
    Facts,
    FilmMouth,
    one_film_mouth,
    placed_piece,
)
from bitewright.mouth.mouth_description import mouth_to_description
from bitewright.steps import Begin, Expect, uncounted, unwatched

LIBRARIES = ("manifold3d", "numba", "numpy", "scikit-image", "scipy")
RECIPE_PACKAGES = ("bitewright.mouth", "bitewright.solids", "bitewright.space")
RECIPE_FILES = (
    "exposing/region.py",
    "exposing/region_frame.py",
    "figure_tables.py",
    "film/cheek.py",
    "film/film_mouth.py",
    "film/film_parts.py",
    "film/shells.py",
    "film/tables/cheek.toml",
    "film/tables/thinning.toml",
    "film/thinned_mouth.py",
)


def station_film_mouth(
    at: Station, begin: Begin = unwatched, *, expect: Expect = uncounted
) -> FilmMouth:
    """The film mouth of a station's mouth and region.

    Parameters
    ----------
    at : Station
    begin : Begin
        Told each step, should it be built.
    expect : callable
        Told how many steps there will be.

    Raises
    ------
    StoppedError
        If `begin` stopped it while it was built; nothing is kept then.
    """
    return _kept(at, "whole", lambda: _built(at, begin, expect))


def station_thinned_mouth(at: Station, whole: Callable[[], FilmMouth]) -> FilmMouth:
    """The same with fewer triangles, for moving films, made from the whole one if need be."""
    return _kept(at, "thinned", lambda: _thinned(whole()))


def _built(at: Station, begin: Begin, expect: Expect) -> FilmMouth:
    from bitewright.film.film_mouth import (  # noqa: PLC0415  slow, often not needed
        film_mouth,
        film_mouth_steps,
    )

    expect(film_mouth_steps(at.outlines, at.region))
    return film_mouth(at.outlines, at.region, begin=begin, piece=_kept_piece)


def _kept_piece(facts: Facts, build: Callable[[], FilmMouth]) -> FilmMouth:
    """A piece as `film_mouth` asks for it, from the cache or built and kept."""
    return _kept_under(_digest(kind="piece", facts=facts), build)


def _thinned(mouth: FilmMouth) -> FilmMouth:
    """Each part thinned, or known from another mouth or view that has the same."""
    from bitewright.film.thinned_mouth import thinned_mouth  # noqa: PLC0415  as above

    thin = []
    for part in mouth.parts:
        piece = FilmMouth(parts=(replace(part, standing=IN_MOUTH),), hinge_mm=NO_HINGE_MM)
        made = _kept_under(_thinned_key(piece), partial(thinned_mouth, piece))
        thin.append(placed_piece(made, part.standing))
    return replace(mouth, parts=one_film_mouth(thin, mouth.hinge_mm).parts)


def _thinned_key(piece: FilmMouth) -> str:
    """A digest of one part's own surface."""
    (part,) = piece.parts
    surface = hashlib.sha256(part.own.vertices_mm.tobytes())
    surface.update(part.own.triangles.tobytes())
    return _digest(
        kind="thinned part", group=part.group.name, lower=part.is_lower, surface=surface.hexdigest()
    )


def _kept(at: Station, kind: str, build: Callable[[], FilmMouth]) -> FilmMouth:
    return _kept_under(film_key(at, kind), build)


def _kept_under(key: str, build: Callable[[], FilmMouth]) -> FilmMouth:
    found = read_film_mouth(key)
    if found is None:
        found = build()
        keep_film_mouth(key, found)
    return found


def film_key(at: Station, kind: str) -> str:
    """Everything a film mouth hangs on, its recipe's source and libraries too, as one digest."""
    region = at.region
    where = [region.side.value, region.zone.value, region.format.value]
    return _digest(kind=kind, mouth=mouth_to_description(at.outlines.mouth), region=where)


def _digest(**facts: object) -> str:
    content = {
        "version": __version__,
        "recipe": _recipe(),
        "libraries": {name: version(name) for name in LIBRARIES},
        **facts,
    }
    return hashlib.sha256(json.dumps(content, sort_keys=True).encode()).hexdigest()


@lru_cache(maxsize=1)
def _recipe() -> str:
    """A digest of the source that builds film mouths, so that a changed recipe is built anew."""
    digest = hashlib.sha256()
    sources = [item for package in RECIPE_PACKAGES for item in _sources(files(package))]
    ours = files("bitewright")
    for item in [*sources, *(ours / name for name in RECIPE_FILES)]:
        digest.update(item.read_bytes())
    return digest.hexdigest()


def _sources(folder: Traversable) -> list[Traversable]:
    """Python files and tables of a package, in order."""
    found = []
    for item in sorted(folder.iterdir(), key=lambda each: each.name):
        if item.is_dir() and item.name == "tables":
            found += _sources(item)
        elif item.name.endswith((".py", ".toml", ".csv")):
            found.append(item)
    return found


__all__ = ["film_key", "station_film_mouth", "station_thinned_mouth"]
