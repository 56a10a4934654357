"""What a film mouth is made of, however it was built: closed surfaces and what fills them."""

from dataclasses import dataclass

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


__all__ = ["FilmMouth", "FilmPart"]
