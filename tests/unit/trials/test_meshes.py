"""Meshes from STL and OBJ."""

from pathlib import Path

import numpy as np
import pytest
import trimesh

from bitewright.files.disk import FileUnreadableError
from trials.meshes import MeshFileError, read_mesh

UNREADABLE = r"cannot be read|no triangles that can be read"
BALL = trimesh.creation.icosphere(subdivisions=2, radius=4.0)


def saved(path: Path, mesh: trimesh.Trimesh) -> Path:
    mesh.export(path)
    return path


@pytest.mark.parametrize("name", ["a.stl", "a.obj", "a.STL"])
def test_a_ball_is_read_closed(tmp_path: Path, name: str) -> None:
    saved(tmp_path / name.lower(), BALL).rename(tmp_path / name)
    mesh = read_mesh(tmp_path / name)
    assert mesh.unmatched_edge_count() == 0
    assert len(mesh.vertices_mm) == len(BALL.vertices)
    assert mesh.volume_mm3 == pytest.approx(BALL.volume, rel=1e-5)


def test_text_stl_too(tmp_path: Path) -> None:
    (tmp_path / "a.stl").write_text(trimesh.exchange.stl.export_stl_ascii(BALL))
    assert read_mesh(tmp_path / "a.stl").volume_mm3 == pytest.approx(BALL.volume, rel=1e-5)


def test_several_bodies_are_one_mesh(tmp_path: Path) -> None:
    two = trimesh.util.concatenate([BALL, BALL.copy().apply_translation([20, 0, 0])])
    for name in ("a.stl", "a.obj"):
        mesh = read_mesh(saved(tmp_path / name, two))
        assert mesh.volume_mm3 == pytest.approx(2 * BALL.volume, rel=1e-5)


def test_the_files_unit_is_said_by_the_reader(tmp_path: Path) -> None:
    path = saved(tmp_path / "a.stl", BALL.copy().apply_scale(0.1))
    mesh = read_mesh(path, mm_per_unit=10.0)
    assert np.ptp(mesh.vertices_mm, axis=0) == pytest.approx([8.0] * 3, rel=0.01)


def test_inside_out_is_turned(tmp_path: Path) -> None:
    turned = BALL.copy()
    turned.invert()
    assert read_mesh(saved(tmp_path / "a.stl", turned)).volume_mm3 > 0


def test_a_hole_is_refused(tmp_path: Path) -> None:
    holed = trimesh.Trimesh(BALL.vertices, BALL.faces[1:], process=False)
    with pytest.raises(MeshFileError, match="fill its holes"):
        read_mesh(saved(tmp_path / "a.stl", holed))


def test_one_triangle_wound_the_other_way_is_refused(tmp_path: Path) -> None:
    faces = BALL.faces.copy()
    faces[0] = faces[0][::-1]
    twisted = trimesh.Trimesh(BALL.vertices, faces, process=False)
    with pytest.raises(MeshFileError, match="not closed"):
        read_mesh(saved(tmp_path / "a.stl", twisted))


@pytest.mark.parametrize("mm_per_unit", [0.01, 1000.0, float("nan")])
def test_an_impossible_size_is_refused(tmp_path: Path, mm_per_unit: float) -> None:
    with pytest.raises(MeshFileError, match="how many millimetres"):
        read_mesh(saved(tmp_path / "a.stl", BALL), mm_per_unit=mm_per_unit)


@pytest.mark.parametrize(
    ("name", "content", "problem"),
    [
        ("a.ply", b"ply", "no known format"),
        ("a.stl", b"", UNREADABLE),
        ("a.stl", b"solid nothing\nendsolid", UNREADABLE),
        ("a.stl", bytes(80) + (9).to_bytes(4, "little") + bytes(60), UNREADABLE),
        ("a.obj", b"v 0 0 0\nv 1 0 0\nv 0 1 0\n", UNREADABLE),
        ("a.obj", b"v 0 0 0\nf 1 2 3\n", UNREADABLE),
        ("a.obj", b"\x00\x01\xff", UNREADABLE),
    ],
)
def test_what_is_no_mesh_is_refused(
    tmp_path: Path, name: str, content: bytes, problem: str
) -> None:
    (tmp_path / name).write_bytes(content)
    with pytest.raises(MeshFileError, match=problem):
        read_mesh(tmp_path / name)


def test_a_missing_file_is_refused(tmp_path: Path) -> None:
    with pytest.raises(FileUnreadableError):
        read_mesh(tmp_path / "none.stl")


@pytest.mark.realdata
@pytest.mark.parametrize(
    "pattern", ["atlas_teeth_ccbysa/teeth_mm/*.stl", "scan_crowns_mit/*/*.obj"]
)
def test_every_real_tooth_is_closed_and_of_a_tooths_size(shared_data: Path, pattern: str) -> None:
    paths = sorted((shared_data / "real").glob(pattern))
    assert len(paths) == 28
    for path in paths:
        mesh = read_mesh(path)
        assert 50 < mesh.volume_mm3 < 2500, path.name


@pytest.mark.realdata
def test_an_open_real_mandible_is_refused(shared_data: Path) -> None:
    with pytest.raises(MeshFileError, match="not closed"):
        read_mesh(shared_data / "real" / "atlas_teeth_ccbysa" / "mandible_mm.stl")
