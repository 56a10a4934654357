"""What teeth, bone, tissue, filters and fillings are made of."""

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from types import MappingProxyType

from bitewright.errors import BitewrightError

FRACTION_SUM_TOLERANCE = 0.002
"""Mass fractions sum to 1 within this: published compositions are rounded to 0.001."""


class UnknownMaterialError(BitewrightError):
    """A material was asked for by a name the packaged table does not hold."""

    def __init__(self, name: str, known: tuple[str, ...]) -> None:
        self.name = name
        self.known = known
        super().__init__(
            f"There is no material named {name!r}; the table holds {', '.join(known)}. "
            "Choose one of these or make a Material with its density and mass fractions."
        )


class ImpossibleMaterialError(BitewrightError):
    """A density or a composition no substance can have."""

    def __init__(self, name: str, density_g_cm3: float, fraction_sum: float) -> None:
        self.name = name
        self.density_g_cm3 = density_g_cm3
        self.fraction_sum = fraction_sum
        super().__init__(
            f"Material {name!r} was given density {density_g_cm3:g} g/cm3 and mass fractions "
            f"summing to {fraction_sum:.4f}; the density must be positive and the fractions must "
            f"be positive and sum to 1 within {FRACTION_SUM_TOLERANCE}. Correct the composition."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """A homogeneous substance.

    Parameters
    ----------
    name : str
    density_g_cm3 : float
        Mass density. [g/cm3]
    mass_fractions : tuple of (str, float)
        Element symbol and fraction by mass; the fractions sum to 1.
    source : str
        Where the composition comes from.

    Raises
    ------
    ImpossibleMaterialError
        If the density or a fraction is not positive, or the fractions do not sum to 1.
    """

    name: str
    density_g_cm3: float
    mass_fractions: tuple[tuple[str, float], ...]
    source: str

    def __post_init__(self) -> None:
        fractions = [fraction for _, fraction in self.mass_fractions]
        positive = self.density_g_cm3 > 0 and all(fraction > 0 for fraction in fractions)
        if not (positive and abs(sum(fractions) - 1.0) <= FRACTION_SUM_TOLERANCE):
            raise ImpossibleMaterialError(self.name, self.density_g_cm3, sum(fractions))


def material(name: str) -> Material:
    """The material of this name from the packaged table.

    Raises
    ------
    UnknownMaterialError
        If the table holds no such name.
    """
    table = packaged_materials()
    if name not in table:
        raise UnknownMaterialError(name, tuple(table))
    return table[name]


@lru_cache(maxsize=1)
def packaged_materials() -> Mapping[str, Material]:
    """Every material of the packaged table, by name, read once."""
    text = files("bitewright.physics").joinpath("tables/materials.toml").read_text("utf-8")
    rows = tomllib.loads(text)["material"]
    return MappingProxyType(
        {
            name: Material(
                name=name,
                density_g_cm3=row["density_g_cm3"],
                mass_fractions=tuple(row["mass_fractions"].items()),
                source=row["source"],
            )
            for name, row in rows.items()
        }
    )


def mixed_by_volume(name: str, volume_fractions: Mapping[Material, float]) -> Material:
    """A mixture whose parts keep their own densities, for example bone with marrow.

    Model: volumes add, so density is the volume-weighted mean and each part's mass fraction is
    its volume fraction times its density over that mean.

    Parameters
    ----------
    name : str
    volume_fractions : mapping of Material to float
        Shares of the volume; any positive numbers, scaled to sum to 1.

    Raises
    ------
    ImpossibleMaterialError
        If a share is not positive.
    """
    total = sum(volume_fractions.values())
    masses = {
        part: part.density_g_cm3 * share / total if share > 0 else -1.0
        for part, share in volume_fractions.items()
    }
    density_g_cm3 = sum(masses.values())
    elements: dict[str, float] = {}
    for part, mass in masses.items():
        for symbol, fraction in part.mass_fractions:
            elements[symbol] = elements.get(symbol, 0.0) + fraction * mass / density_g_cm3
    parts = ", ".join(
        f"{share / total:.3f} {part.name}" for part, share in volume_fractions.items()
    )
    return Material(
        name=name,
        density_g_cm3=density_g_cm3,
        mass_fractions=tuple(elements.items()),
        source=f"mixed by volume: {parts}",
    )


__all__ = [
    "ImpossibleMaterialError",
    "Material",
    "UnknownMaterialError",
    "material",
    "mixed_by_volume",
    "packaged_materials",
]
