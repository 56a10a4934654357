"""What a film mouth is made of, however it was built: closed surfaces and what fills them."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from bitewright.film.shells import ShellGroup
from bitewright.solids.spongiosa import SpongiosaField
from bitewright.space import ClosedMesh, Pose


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Standing:
    """Where axes of a part's own stand in the mouth; left-handed ones mirror it.

    Parameters
    ----------
    axes_mouth, origin_mouth : (3, 3) and (3,) float arrays
        Axes as rows; their origin. [mm]
    """

    axes_mouth: NDArray[np.float64] = field(default_factory=lambda: np.eye(3))
    origin_mouth: NDArray[np.float64] = field(default_factory=lambda: np.zeros(3))

    @classmethod
    def of(cls, pose: Pose) -> "Standing":
        """Where a pose takes the axes of the frame it comes from."""
        return cls(axes_mouth=pose.rotation.T, origin_mouth=pose.shift_mm)

    @property
    def moves_nothing(self) -> bool:
        """Whether these are the mouth's own axes."""
        return bool((self.axes_mouth == np.eye(3)).all() and not self.origin_mouth.any())


IN_MOUTH = Standing()


@dataclass(frozen=True, slots=False, kw_only=True, eq=False)
class FilmPart:
    """One closed surface, as it was built in axes of its own, and where these stand.

    A part that merely stands elsewhere is the same surface, so it is kept, known again and thinned
    in its own axes.
    """

    own: ClosedMesh
    group: ShellGroup
    is_lower: bool
    standing: Standing = IN_MOUTH

    @cached_property
    def mesh(self) -> ClosedMesh:
        """The surface in the mouth frame, jaws closed. [mm]"""
        if self.standing.moves_nothing:
            return self.own
        return self.own.in_axes(self.standing.axes_mouth, self.standing.origin_mouth)


@dataclass(frozen=True, slots=True, kw_only=True)
class FilmMouth:
    """All parts that can cast a shadow on a film of one region."""

    parts: tuple[FilmPart, ...]
    hinge_mm: tuple[float, float]
    spongiosa: tuple[SpongiosaField, ...] = ()


Facts = Mapping[str, object]
Piece = Callable[[Facts, Callable[[], FilmMouth]], FilmMouth]
"""Asked for a piece of a film mouth in axes of its own by everything it hangs on, numbers and words
alone, and what builds it; may know it from before."""

NO_HINGE_MM = (0.0, 0.0)
"""Of a piece: only a whole mouth opens."""


def built_anew(_facts: Facts, build: Callable[[], FilmMouth]) -> FilmMouth:
    """A piece nobody knows from before."""
    return build()


def one_film_mouth(pieces: Iterable[FilmMouth], hinge_mm: tuple[float, float]) -> FilmMouth:
    """One film mouth of several pieces."""
    pieces = tuple(pieces)
    return FilmMouth(
        parts=tuple(part for piece in pieces for part in piece.parts),
        hinge_mm=hinge_mm,
        spongiosa=tuple(each for piece in pieces for each in piece.spongiosa),
    )


def placed_piece(piece: FilmMouth, where: Standing) -> FilmMouth:
    """A piece's surfaces where axes of its own stand."""
    return replace(piece, parts=tuple(replace(part, standing=where) for part in piece.parts))


def film_part(own: ClosedMesh, group: ShellGroup, *, is_lower: bool) -> FilmPart:
    """A part with places rounded as they are kept, to float32: so kept and new are the same."""
    kept = own.vertices_mm.astype(np.float32).astype(np.float64)
    return FilmPart(own=ClosedMesh(kept, own.triangles), group=group, is_lower=is_lower)


__all__ = [
    "IN_MOUTH",
    "NO_HINGE_MM",
    "Facts",
    "FilmMouth",
    "FilmPart",
    "Piece",
    "Standing",
    "built_anew",
    "film_part",
    "one_film_mouth",
    "placed_piece",
]
