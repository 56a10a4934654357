"""The film while a hand moves tube or receptor: small, quick, without noise and bone's texture.

Made once for a station; then each exposure costs milliseconds. It is the predicted film in all
else: the same surfaces (thinned), spectrum (at a few energies), veil, blur, field edge and tone.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from bitewright.exposing.exposure import Exposures, Station
from bitewright.film.beam_mask import beam_mask
from bitewright.film.bite_block import bite_block
from bitewright.film.develop import develop
from bitewright.film.film_kinds import USUAL, Handling, exposing, film_settings
from bitewright.film.film_parts import FilmMouth
from bitewright.film.film_settings import FilmSettings
from bitewright.film.predicted_film import (
    DETECTORS,
    TOOTH_DEPTH_MM,
    poses_of_jaws,
)
from bitewright.film.receptor_grid import ReceptorGrid
from bitewright.film.shell_stack import ShellStack, path_lengths_of_stack
from bitewright.film.shells import ShellGroup, mouth_shells
from bitewright.film.spectrum_nodes import SpectrumNodes, spectrum_nodes
from bitewright.film.transmission import transmission_at_nodes
from bitewright.physics.detector import detector
from bitewright.physics.penumbra import geometric_unsharpness_mm
from bitewright.physics.spectrum import tube_spectrum
from bitewright.space import Pose

WITHOUT_METAL = {
    ShellGroup.TOOTH,
    ShellGroup.DENTINE,
    ShellGroup.PULP,
    ShellGroup.SOFT_TISSUE,
    ShellGroup.BONE,
    ShellGroup.SPONGIOSA,
    ShellGroup.BITE_BLOCK,
}
FEWEST_NODES = 9
"""Energies that keep -ln of the signal within 0.0005 where there is no metal."""

MOST_NODES = 16
"""Energies that keep it so with fillings."""

COLUMNS = 325
"""Pixels along the receptor's longer side, if nothing else is asked."""

GREY_LEVELS = 257
"""From 16-bit grey to 8-bit: 65535 becomes 255."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class MovingFilm:
    """One station's surfaces and spectrum, ready to be filmed again and again.

    Parameters
    ----------
    station : Station
    grid : ReceptorGrid
    shells : ShellStack
        Upper jaw, lower jaw and bite block in frames of their own, jaws closed. [mm]
    nodes : SpectrumNodes
    settings : FilmSettings
    exposure : float
        Receptor dose over the right one.
    """

    station: Station
    grid: ReceptorGrid
    shells: ShellStack
    nodes: SpectrumNodes
    settings: FilmSettings
    exposure: float = 1.0

    def handled(self, handling: Handling) -> "MovingFilm":
        """The same, exposed, displayed and handled so.

        Raises
        ------
        ImpossibleMasError, UnknownLookError, FaultNotPossibleError
        """
        if handling == USUAL:
            return self
        at = self.station
        dose = exposing(
            at.tube, at.receptor, end_to_receptor_mm=at.holder.ring_to_receptor_mm, mas=handling.mas
        )
        settings = film_settings(at.receptor, quanta_per_mm2=dose.quanta_per_mm2, handling=handling)
        return replace(self, settings=settings, exposure=dose.exposure)

    def picture(self, exposures: Exposures) -> NDArray[np.uint8]:
        """The first exposure's film, (rows, columns) grey from 0 to 255; any thread may ask."""
        at = self.station
        upper, lower = poses_of_jaws(exposures)
        lengths = (
            path_lengths_of_stack(
                self.shells,
                upper.points(exposures.beam.sources_mouth[0]),
                self.grid,
                poses=(upper, lower, Pose.identity()),
            )
            .checked()
            .lengths_mm
        )
        film = develop(
            transmission_at_nodes(lengths, self.nodes.exponents_per_mm, self.nodes.weights),
            pixel_mm=self.grid.pixel_mm,
            beam_mask=beam_mask(exposures, self.grid),
            exposure=self.exposure,
            unsharpness_mm=geometric_unsharpness_mm(
                focal_spot_mm=at.tube.focal_spot_mm,
                source_receptor_mm=at.tube.source_to_end_mm + at.holder.ring_to_receptor_mm,
                object_receptor_mm=TOOTH_DEPTH_MM,
            ),
            settings=self.settings,
        )
        return np.asarray(film.pixels // GREY_LEVELS, dtype=np.uint8)


def moving_film(station: Station, mouth: FilmMouth, *, columns: int = COLUMNS) -> MovingFilm:
    """Gather all that stays while exposures change.

    Parameters
    ----------
    station : Station
    mouth : FilmMouth
        Of the same mouth and region, thinned (`thinned_mouth.thinned_mouth`) or the film will lag.
    columns : int
        Pixels along the receptor's longer side.
    """
    longer = 2.0 * max(station.half_width_mm, station.half_height_mm)
    meshes = [part.mesh for part in mouth.parts]
    groups = [int(part.group) for part in mouth.parts]
    frames = [int(part.is_lower) for part in mouth.parts]
    block = bite_block(station)
    if block is not None:
        meshes.append(block)
        groups.append(int(ShellGroup.BITE_BLOCK))
        frames.append(2)
    # Only surfaces that are there are summed: most mouths carry no fillings.
    present = sorted(set(groups))
    shells = mouth_shells()
    tube = station.tube
    return MovingFilm(
        station=station,
        grid=ReceptorGrid.covering(
            width_mm=2.0 * station.half_width_mm,
            height_mm=2.0 * station.half_height_mm,
            pixel_mm=longer / columns,
        ),
        shells=ShellStack.of(
            meshes,
            [present.index(group) for group in groups],
            frames=frames,
            group_count=len(present),
        ),
        nodes=spectrum_nodes(
            [shells[group] for group in present],
            tube_spectrum(
                tube.kv,
                target_angle_deg=tube.target_angle_deg,
                filtration_mm_al=tube.filtration_mm_al,
            ),
            detector(DETECTORS[station.receptor.kind]),
            count=FEWEST_NODES if set(present) <= WITHOUT_METAL else MOST_NODES,
        ),
        settings=film_settings(
            station.receptor,
            quanta_per_mm2=exposing(
                tube, station.receptor, end_to_receptor_mm=station.holder.ring_to_receptor_mm
            ).quanta_per_mm2,
        ),
    )


__all__ = ["MovingFilm", "moving_film"]
