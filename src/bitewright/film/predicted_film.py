"""The film an exposure will give: path lengths, spectrum, field edge, image chain, label."""

from collections.abc import Mapping
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from bitewright.equipment.receptors import ReceptorKind
from bitewright.exposing.exposure import Exposures
from bitewright.film.beam_mask import beam_mask
from bitewright.film.bite_block import bite_block
from bitewright.film.develop import develop
from bitewright.film.film_kinds import USUAL, Handling, exposing, film_settings
from bitewright.film.film_parts import FilmMouth
from bitewright.film.path_lengths import PathLengths, path_lengths
from bitewright.film.radiograph import Radiograph
from bitewright.film.receptor_grid import ReceptorGrid
from bitewright.film.shells import ShellGroup, mouth_shells
from bitewright.film.simulated_label import with_label
from bitewright.film.trabeculae import add_trabeculae
from bitewright.film.transmission import transmission
from bitewright.film.unevenness import add_unevenness
from bitewright.physics.detector import detector
from bitewright.physics.penumbra import geometric_unsharpness_mm
from bitewright.physics.spectrum import tube_spectrum
from bitewright.row_bands import ALONE, Threads, watched
from bitewright.space import Pose
from bitewright.steps import Begin, unwatched

Floats = NDArray[np.float64]

DETECTORS = {
    ReceptorKind.FILM: "film",
    ReceptorKind.PLATE: "phosphor_plate",
    ReceptorKind.SENSOR: "sensor",
}
TOOTH_DEPTH_MM = 12.0
"""Crowns lie about this far before the recording plane: where unsharpness is judged. Our choice."""


def predicted_film(
    exposures: Exposures,
    mouth: FilmMouth,
    *,
    pixel_mm: float | None = None,
    handling: Handling = USUAL,
    generator: np.random.Generator | None = None,
    threads: Threads = ALONE,
    provenance: Mapping[str, str | float | int] | None = None,
    begin: Begin = unwatched,
) -> Radiograph:
    """Render the film of the first exposure.

    Parameters
    ----------
    exposures : Exposures
        Only the first is rendered.
    mouth : FilmMouth
    pixel_mm : float, optional
        Pixel size; the receptor's own if left out. [mm]
    handling : Handling
        How it is exposed, displayed and handled.
    generator : numpy Generator, optional
        Draws the noise; no noise without it.
    threads : Threads
    provenance : mapping, optional
        Added to the film's own.
    begin : Begin
        Called again and again, from any of the threads; may refuse to go on.

    Returns
    -------
    Radiograph
        With the word SIMULATED in the picture and in its provenance.
    """
    film = unlabelled_film(
        exposures,
        mouth,
        pixel_mm=pixel_mm,
        handling=handling,
        generator=generator,
        threads=threads,
        provenance=provenance,
        begin=begin,
    )
    return replace(film, pixels=with_label(film.pixels))


def unlabelled_film(
    exposures: Exposures,
    mouth: FilmMouth,
    *,
    pixel_mm: float | None = None,
    handling: Handling = USUAL,
    generator: np.random.Generator | None = None,
    threads: Threads = ALONE,
    provenance: Mapping[str, str | float | int] | None = None,
    begin: Begin = unwatched,
) -> Radiograph:
    """The same film without the word in its picture: to learn from, never to be written as a film.

    Parameters
    ----------
    exposures, mouth, pixel_mm, handling, generator, threads, provenance, begin
        As `predicted_film`.
    """
    at = exposures.station
    grid = ReceptorGrid.covering(
        width_mm=2.0 * at.half_width_mm,
        height_mm=2.0 * at.half_height_mm,
        pixel_mm=pixel_mm or at.receptor.pixel_mm,
    )
    lengths = film_lengths(exposures, mouth, grid, threads=threads, begin=begin).lengths_mm
    add_trabeculae(
        lengths,
        exposures,
        grid,
        mouth.spongiosa,
        threads=watched(threads, begin, "the bone's texture"),
    )
    add_unevenness(lengths, exposures, grid, threads=threads)
    spectrum = tube_spectrum(
        at.tube.kv,
        target_angle_deg=at.tube.target_angle_deg,
        filtration_mm_al=at.tube.filtration_mm_al,
    )
    shares = transmission(
        lengths,
        mouth_shells(),
        spectrum,
        detector(DETECTORS[at.receptor.kind]),
        threads=watched(threads, begin, "the spectrum"),
    )
    begin("the picture")
    dose = exposing(
        at.tube, at.receptor, end_to_receptor_mm=at.holder.ring_to_receptor_mm, mas=handling.mas
    )
    said = {
        "kerma_at_end_mgy": round(dose.kerma_at_end_mgy, 4),
        "look": handling.look,
        "mouth": at.outlines.mouth.name,
        "receptor": at.receptor.name,
        "tube": at.tube.name,
        **(provenance or {}),
    }
    return develop(
        shares,
        pixel_mm=grid.pixel_mm,
        beam_mask=beam_mask(exposures, grid),
        exposure=dose.exposure,
        unsharpness_mm=geometric_unsharpness_mm(
            focal_spot_mm=at.tube.focal_spot_mm,
            source_receptor_mm=at.tube.source_to_end_mm + at.holder.ring_to_receptor_mm,
            object_receptor_mm=TOOTH_DEPTH_MM,
        ),
        settings=film_settings(at.receptor, quanta_per_mm2=dose.quanta_per_mm2, handling=handling),
        generator=generator,
        provenance=said,
    )


def film_lengths(
    exposures: Exposures,
    mouth: FilmMouth,
    grid: ReceptorGrid,
    *,
    threads: Threads = ALONE,
    begin: Begin = unwatched,
) -> PathLengths:
    """Lengths of the first exposure's rays inside every shell group, signs checked.

    Parameters
    ----------
    exposures : Exposures
        Only the first counts.
    mouth : FilmMouth
    grid : ReceptorGrid
    threads : Threads
    begin : Begin
        Called again and again, from any of the threads; may refuse to go on.
    """
    upper, lower = poses_of_jaws(exposures)
    meshes = [part.mesh for part in mouth.parts]
    groups = [int(part.group) for part in mouth.parts]
    poses = [lower if part.is_lower else upper for part in mouth.parts]
    block = bite_block(exposures.station)
    if block is not None:
        meshes.append(block)
        groups.append(int(ShellGroup.BITE_BLOCK))
        poses.append(Pose.identity())
    return path_lengths(
        meshes,
        groups,
        upper.points(exposures.beam.sources_mouth[0]),
        grid,
        poses=poses,
        group_count=len(ShellGroup),
        threads=threads,
        begin=begin,
    ).checked()


def poses_of_jaws(exposures: Exposures) -> tuple[Pose, Pose]:
    """What moves upper and lower jaw, closed, into the first exposure's receptor frame. [mm]"""
    seat = exposures.seat
    upper = Pose(seat.axes_mouth[0], -seat.axes_mouth[0] @ seat.centres_mouth[0])
    hinge = exposures.station.outlines.hinge_mm
    return upper, upper @ _opening(hinge, float(seat.opening_deg[0]))


def _opening(hinge_mm: tuple[float, float], opening_deg: float) -> Pose:
    """The mandible's movement as a pose: `jaws.opened`."""
    sin, cos = np.sin(np.deg2rad(opening_deg)), np.cos(np.deg2rad(opening_deg))
    turn = np.array([[1.0, 0.0, 0.0], [0.0, cos, -sin], [0.0, sin, cos]])
    hinge = np.array([0.0, *hinge_mm])
    return Pose(turn, hinge - turn @ hinge)


__all__ = ["film_lengths", "poses_of_jaws", "predicted_film", "unlabelled_film"]
