"""What a film mouth is made of, however it was built: closed surfaces and what fills them."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

import numpy as np

from bitewright.dentition.spongiosa import SpongiosaField
from bitewright.imaging.shells import ShellGroup
from bitewright.space import ClosedMesh


@dataclass(frozen=True, slots=True, kw_only=True)
class FilmPart:
    """One closed surface in the mouth frame, jaws closed."""

    mesh: ClosedMesh
    group: ShellGroup
    is_lower: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class FilmMouth:
    """All parts that can cast a shadow on a film of one region."""

    parts: tuple[FilmPart, ...]
    hinge_mm: tuple[float, float]
    spongiosa: tuple[SpongiosaField, ...] = ()


Piece = Callable[[str, tuple[int, ...], Callable[[], FilmMouth]], FilmMouth]
"""Asked for a piece of a film mouth by its name, the teeth whose fillings, caries and the like it
shows, and what builds it; may know it from before."""


def built_anew(_name: str, _teeth: tuple[int, ...], build: Callable[[], FilmMouth]) -> FilmMouth:
    """A piece nobody knows from before."""
    return build()


def joined(pieces: Iterable[FilmMouth], hinge_mm: tuple[float, float]) -> FilmMouth:
    """One film mouth of several pieces."""
    pieces = tuple(pieces)
    return FilmMouth(
        parts=tuple(part for piece in pieces for part in piece.parts),
        hinge_mm=hinge_mm,
        spongiosa=tuple(field for piece in pieces for field in piece.spongiosa),
    )


def film_part(mesh: ClosedMesh, group: ShellGroup, *, is_lower: bool) -> FilmPart:
    """A part with places rounded as they are kept, to float32: so kept and new are the same."""
    kept = mesh.vertices_mm.astype(np.float32).astype(np.float64)
    return FilmPart(mesh=ClosedMesh(kept, mesh.triangles), group=group, is_lower=is_lower)


__all__ = ["FilmMouth", "FilmPart", "Piece", "built_anew", "film_part", "joined"]
