"""Read closed meshes from STL and OBJ files."""

from io import BytesIO
from pathlib import Path

import numpy as np
import trimesh

from bitewright.errors import BitewrightError
from bitewright.files.disk import read_file
from bitewright.space import ClosedMesh, OpenMeshError

KINDS = {".stl": "stl", ".obj": "obj"}
MERGE_DIGITS = 5  # corners that agree to 0.00001 mm are one; our choice
LEAST_EXTENT_MM, GREATEST_EXTENT_MM = 0.5, 500.0


class MeshFileError(BitewrightError):
    """A mesh file cannot be read, is empty, open, or of an impossible size."""

    def __init__(self, path: Path, problem: str, advice: str) -> None:
        self.path = path
        self.problem = problem
        self.advice = advice
        super().__init__(f"The mesh {path} {problem}: {advice}.")


def read_mesh(path: Path, *, mm_per_unit: float = 1.0) -> ClosedMesh:
    """One closed surface, of one or several bodies, in the file's own frame.

    Corners that coincide are merged (STL repeats them for every triangle) and triangles without
    area dropped. A file wound inside out is turned as a whole; bodies are not judged singly,
    since one inside another may be meant as a cavity. Materials and colours are left aside.

    Parameters
    ----------
    path : Path
        Ending in .stl (binary or text) or .obj.
    mm_per_unit : float
        These formats do not say their unit; 1 for a file in millimetres, 10 in centimetres. [mm]

    Raises
    ------
    FileUnreadableError
        If the file cannot be opened.
    MeshFileError
        If it is neither format, damaged, without triangles, not closed, or its largest extent is
        not from 0.5 to 500 mm (our choice: a mistaken unit).
    """
    path = Path(path)
    kind = KINDS.get(path.suffix.lower())
    if kind is None:
        raise MeshFileError(path, "is of no known format", "give an .stl or .obj file")
    loaded = _loaded(path, read_file(path), kind)
    _check_extent(path, loaded, mm_per_unit)
    mesh = ClosedMesh(loaded.vertices * mm_per_unit, loaded.faces)
    _check_closed(path, mesh)
    return mesh if mesh.volume_mm3 > 0 else ClosedMesh(mesh.vertices_mm, mesh.triangles[:, ::-1])


def _loaded(path: Path, data: bytes, kind: str) -> trimesh.Trimesh:
    try:
        with np.errstate(all="ignore"):  # a corner that is no number is refused by its extent
            mesh = trimesh.load_mesh(BytesIO(data), file_type=kind, process=False)
            mesh.merge_vertices(merge_tex=True, merge_norm=True, digits_vertex=MERGE_DIGITS)
            mesh.update_faces(mesh.nondegenerate_faces())
    except Exception as error:  # a parser fails in many ways on damaged content
        problem = "cannot be read; it is damaged or not what its name says"
        raise MeshFileError(path, problem, "export it anew") from error
    if not len(mesh.faces):
        raise MeshFileError(path, "holds no triangles that can be read", "export its surface anew")
    return mesh


def _check_extent(path: Path, loaded: trimesh.Trimesh, mm_per_unit: float) -> None:
    with np.errstate(all="ignore"):
        extent_mm = float(np.ptp(loaded.vertices, axis=0).max()) * mm_per_unit
    if not LEAST_EXTENT_MM <= extent_mm <= GREATEST_EXTENT_MM:  # true for NaN
        problem = (
            f"would be {extent_mm:.3g} mm large, not {LEAST_EXTENT_MM:g} to {GREATEST_EXTENT_MM:g}"
        )
        raise MeshFileError(path, problem, "say how many millimetres one unit of the file is")


def _check_closed(path: Path, mesh: ClosedMesh) -> None:
    try:
        mesh.checked()
    except OpenMeshError as error:
        problem = "is not closed, so no length through it is defined"
        advice = "fill its holes, make its winding consistent and give it again"
        raise MeshFileError(path, problem, advice) from error


__all__ = ["MeshFileError", "read_mesh"]
