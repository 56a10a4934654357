"""Teeth rendered by the film's own kernel: volumes and silhouettes to hold against geometry."""

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from bitewright.film.path_lengths import PathLengths, path_lengths
from bitewright.film.receptor_grid import ReceptorGrid
from bitewright.mouth.crown_lines import CrownLines
from bitewright.mouth.open_direction import across_beams, silhouette_overlap_mm
from bitewright.mouth.tooth_forms import is_right
from bitewright.space import Pose
from trials.scanned_teeth import ScannedTeeth

Floats = NDArray[np.float64]
FAR_MM = 50_000.0
SOURCE_MM = 350.0
BEHIND_MM = 15.0
GRID = ReceptorGrid.covering(width_mm=100.0, height_mm=90.0, pixel_mm=0.1)
FINE = ReceptorGrid.covering(width_mm=32.0, height_mm=60.0, pixel_mm=0.03)


def seen_from_the_right(teeth: ScannedTeeth, codes: list[int]) -> tuple[PathLengths, Pose]:
    """Teeth, each its own group, by a source so far that its rays are parallel to 0.1%."""
    centre = np.mean([teeth.meshes[code].vertices_mm.mean(axis=0) for code in codes], axis=0)
    axes = [[0, -1, 0], [0, 0, -1], [1, 0, 0]]
    receptor_from_mouth = Pose(np.transpose(axes), centre + np.array([40.0, 0.0, 0.0])).inverse()
    meshes = [teeth.meshes[code].moved(receptor_from_mouth) for code in codes]
    lengths = path_lengths(meshes, list(range(len(codes))), (0.0, 0.0, -FAR_MM), GRID)
    return lengths, receptor_from_mouth


def rendered_volumes_mm3(teeth: ScannedTeeth, codes: list[int]) -> Mapping[int, float]:
    """Path lengths of each tooth times the pixels' area."""
    lengths, _ = seen_from_the_right(teeth, codes)
    sums = lengths.checked().lengths_mm.sum(axis=(1, 2), dtype=np.float64)
    return dict(zip(codes, (sums * GRID.pixel_mm**2).tolist(), strict=True))


def overlap_both_ways_mm(
    teeth: ScannedTeeth, pair: tuple[int, int], azimuth_deg: float
) -> tuple[float, float]:
    """Widest overlap of two whole teeth in a rendered image, and by their edges' geometry.

    A point source 350 mm from the contact, the receptor square to the central ray 15 mm behind.
    """
    right = is_right(pair[0])
    contact = teeth.approaches[pair].point_mouth
    along = across_beams(np.array([azimuth_deg]), right=right)[0]
    u = along if right else -along
    v = np.array([0.0, 0.0, -1.0])
    away = np.cross(u, v)
    receptor_from_mouth = Pose(np.transpose([u, v, away]), contact + BEHIND_MM * away).inverse()
    meshes = [teeth.meshes[code].moved(receptor_from_mouth) for code in pair]
    source = (0.0, 0.0, -SOURCE_MM - BEHIND_MM)
    lengths = path_lengths(meshes, [0, 1], source, FINE).checked().lengths_mm
    front, back = (image > 0.0 if right else image[:, ::-1] > 0.0 for image in lengths)
    both = front.any(axis=1) & back.any(axis=1)
    first = front[both].argmax(axis=1)
    last = back.shape[1] - back[both, ::-1].argmax(axis=1)
    rendered = (last - first).max() * FINE.pixel_mm * SOURCE_MM / (SOURCE_MM + BEHIND_MM)
    found = silhouette_overlap_mm(
        *(CrownLines.of_mesh(teeth.meshes[code]) for code in pair),
        np.array([azimuth_deg]),
        right=right,
        through_mouth=contact,
        source_mm=SOURCE_MM,
    )
    return float(rendered), float(found[0])
