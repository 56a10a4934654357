"""What a film mouth is made of, however it was built: closed surfaces and what fills them."""

from dataclasses import dataclass

from bitewright.dentition.jaws import opened
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

    def opened(self, opening_deg: float) -> list[ClosedMesh]:
        """The parts' meshes with the mandible open."""
        return [
            ClosedMesh(
                opened(part.mesh.vertices_mm, self.hinge_mm, opening_deg), part.mesh.triangles
            )
            if part.is_lower
            else part.mesh
            for part in self.parts
        ]

    @property
    def groups(self) -> list[int]:
        """The shell group of every part."""
        return [int(part.group) for part in self.parts]


__all__ = ["FilmMouth", "FilmPart"]
