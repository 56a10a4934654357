"""What fills each closed surface, and what it displaces.

A tooth is three surfaces one inside the other: the outer one filled with enamel, the dentine's
inside it, the pulp's inside that. A ray's length in enamel is then its length inside the outer
surface less its length inside the dentine's, and so on: a fixed matrix of +1 and -1 that folds
into the attenuation coefficients, so nested surfaces cost nothing per pixel. Figures:
``tables/shells.toml``.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import IntEnum
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from bitewright.figure_tables import figures_of
from bitewright.physics.attenuation import mu_per_cm
from bitewright.physics.materials import Material, material, mixed_by_volume
from bitewright.solids.caries_fields import LAYER_LEVELS


class ShellGroup(IntEnum):
    """The surfaces of a mouth that are summed together, in the order of `mouth_shells`."""

    TOOTH = 0
    """Outer surface of crowns and roots."""
    DENTINE = 1
    """Outer surface of the dentine; on the root the same as the tooth's."""
    PULP = 2
    SOFT_TISSUE = 3
    """Cheek, lips, tongue and gum; the gum holds the bone, no teeth lie inside."""
    BONE = 4
    """Outer surface of the cortex, cut back round the roots by the periodontal space."""
    SPONGIOSA = 5
    """What cortex and lamina dura leave within the bone."""
    FILLING = 6
    """Fillings and crowns of metal, whole."""
    FILLING_IN_DENTINE = 7
    """The part of each filling that lies inside the dentine's surface."""
    COMPOSITE = 8
    """Fillings of composite, whole."""
    CARIOUS_ENAMEL = 9
    """Layers of lesions inside one another, the length in each added up: loss grows inward."""
    CARIOUS_DENTINE = 10
    CALCULUS = 11
    ROOT_FILLING = 12
    BITE_BLOCK = 13


@dataclass(frozen=True, slots=True, kw_only=True)
class Shell:
    """What lies inside a group of closed surfaces and what would lie there without them.

    Parameters
    ----------
    filled_with : Material or None
        None for air, whose attenuation is neglected.
    host : Material or None
        The surrounding material displaced; None for air.
    """

    filled_with: Material | None
    host: Material | None = None


def mouth_shells() -> tuple[Shell, ...]:
    """One shell for each `ShellGroup`, in order, with the packaged materials.

    Our model: pulp is soft tissue, cementum is dentine, metal fillings are amalgam, bite blocks
    polypropylene; in the middle of a lesion enamel and dentine have lost much of their volume to
    soft tissue, an equal share in each of its layers. A filling is set against enamel and its inner
    part against dentine.

    Returns
    -------
    tuple of Shell
    """
    enamel_lost = FILLED.enamel_lost_share / len(LAYER_LEVELS)
    dentine_lost = FILLED.dentine_lost_share / len(LAYER_LEVELS)
    in_calculus = FILLED.calculus_dentine_share
    enamel, dentine, soft = material("enamel"), material("dentine"), material("soft_tissue")
    cortex, spongiosa = material("cortical_bone"), material("mandible_spongiosa")
    by_group = {
        ShellGroup.TOOTH: Shell(filled_with=enamel),
        ShellGroup.DENTINE: Shell(filled_with=dentine, host=enamel),
        ShellGroup.PULP: Shell(filled_with=soft, host=dentine),
        ShellGroup.SOFT_TISSUE: Shell(filled_with=soft),
        ShellGroup.BONE: Shell(filled_with=cortex, host=soft),
        ShellGroup.SPONGIOSA: Shell(filled_with=spongiosa, host=cortex),
        ShellGroup.FILLING: Shell(filled_with=material("amalgam"), host=enamel),
        ShellGroup.FILLING_IN_DENTINE: Shell(filled_with=enamel, host=dentine),
        ShellGroup.COMPOSITE: Shell(filled_with=material("resin_composite"), host=enamel),
        ShellGroup.CARIOUS_ENAMEL: Shell(
            filled_with=_partly_lost("carious_enamel", enamel, enamel_lost),
            host=enamel,
        ),
        ShellGroup.CARIOUS_DENTINE: Shell(
            filled_with=_partly_lost("carious_dentine", dentine, dentine_lost),
            host=dentine,
        ),
        ShellGroup.CALCULUS: Shell(
            filled_with=mixed_by_volume("calculus", {dentine: in_calculus, soft: 1.0 - in_calculus})
        ),
        ShellGroup.ROOT_FILLING: Shell(filled_with=material("root_filling"), host=soft),
        ShellGroup.BITE_BLOCK: Shell(filled_with=material("polypropylene")),
    }
    return tuple(by_group[group] for group in ShellGroup)


def _partly_lost(name: str, sound: Material, share: float) -> Material:
    return mixed_by_volume(name, {sound: 1.0 - share, material("soft_tissue"): share})


def material_from_shell(
    shells: Sequence[Shell],
) -> tuple[tuple[Material, ...], NDArray[np.float64]]:
    """Materials, and the matrix from lengths in shells to lengths in them.

    Returns
    -------
    materials : tuple of Material
    matrix : (materials, shells) float array
        +1 where the shell is filled with the material, -1 where it displaces it, 0 elsewhere.
    """
    named = [part for shell in shells for part in (shell.filled_with, shell.host) if part]
    materials = tuple(dict.fromkeys(named))
    matrix = np.zeros((len(materials), len(shells)))
    for column, shell in enumerate(shells):
        if shell.filled_with:
            matrix[materials.index(shell.filled_with), column] += 1.0
        if shell.host:
            matrix[materials.index(shell.host), column] -= 1.0
    return materials, matrix


def mu_of_shells_per_mm(
    shells: Sequence[Shell], energies_kev: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Attenuation added by a millimetre inside each shell. [1/mm]

    Parameters
    ----------
    shells : sequence of Shell
    energies_kev : (energies,) float array
        [keV]

    Returns
    -------
    (energies, shells) float array
        [1/mm]
    """
    materials, matrix = material_from_shell(shells)
    mu = np.empty((len(energies_kev), len(materials)))
    for column, part in enumerate(materials):
        mu[:, column] = mu_per_cm(part, energies_kev) / 10.0
    return mu @ matrix


class FilledShells(NamedTuple):
    """What fills surfaces that no packaged material fills alone."""

    enamel_lost_share: float
    dentine_lost_share: float
    calculus_dentine_share: float


FILLED = figures_of(FilledShells, "bitewright.film", "shells")

__all__ = ["Shell", "ShellGroup", "material_from_shell", "mouth_shells", "mu_of_shells_per_mm"]
